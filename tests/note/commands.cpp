// Notes and cards as a person or a script asks for them.
#include <catch2/catch.hpp>

#include "cli/program.hpp"
#include "cli/sound.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"

using namespace cranknote::test;
using Catch::Contains;

namespace {

class Bench {
  public:
    Bench() {
        scratch_.put("small.toml", small_layout);
        put_tone(scratch_ / "a.wav", 400.0, 4.0);
        put_tone(scratch_ / "b.wav", 900.0, 4.0);
    }
    [[nodiscard]] Said run(const std::vector<std::string>& arguments) const {
        return run_program(scratch_.path(), arguments);
    }
    [[nodiscard]] std::string file(const std::string& name) const { return text_of(scratch_ / name); }
    [[nodiscard]] std::size_t count() const {
        std::size_t n = 0;
        for ([[maybe_unused]] const auto& e : std::filesystem::directory_iterator(scratch_.path())) ++n;
        return n;
    }

  private:
    Scratch scratch_;
};

}  // namespace

TEST_CASE("compare --note: one file that is whole in itself", "[note][command]") {
    const Bench bench;
    const std::vector<std::string> call{"compare",          "a.wav",  "b.wav",   "--cylinders", "4",
                                        "--same-placement", "--note", "out.html"};
    const auto said = bench.run(call);
    INFO(said.err);
    REQUIRE(said.code == 0);
    const auto html = bench.file("out.html");
    CHECK_THAT(html, Catch::StartsWith("<!DOCTYPE html>"));
    CHECK_THAT(html, Contains("Two states compared") && Contains("<svg") && Contains("data:audio/mpeg"));
    CHECK_THAT(html, Contains("a.wav: SHA-256 ") && Contains("The phone lay untouched"));
    CHECK_THAT(html, Contains("Made with cranknote "));
    // A second time it is refused before anything is computed, and the first stays.
    const auto again = bench.run(call);
    CHECK(again.code == 2);
    CHECK(again.out.empty());
    CHECK_THAT(again.err, Contains("out.html: is there already"));
    CHECK(bench.file("out.html") == html);
    auto over = call;
    over.push_back("--replace");
    CHECK(bench.run(over).code == 0);
}

TEST_CASE("compare --note: as PDF or text by its name, and nothing else", "[note][command]") {
    const Bench bench;
    const std::vector<std::string> call{"compare", "a.wav", "b.wav", "--cylinders", "4", "--note"};
    const auto with = [&](const std::string& name) {
        auto arguments = call;
        arguments.push_back(name);
        return bench.run(arguments);
    };
    CHECK(with("n.pdf").code == 0);
    CHECK_THAT(bench.file("n.pdf"), Catch::StartsWith("%PDF-"));
    CHECK(with("n.txt").code == 0);
    CHECK_THAT(bench.file("n.txt"), Catch::StartsWith("Two states compared"));
    const auto before = bench.count();
    CHECK_THAT(with("n.doc").err, Contains("written as .html, .pdf or .txt"));
    CHECK(with("no/such/folder/n.html").code == 1);
    CHECK(bench.count() == before);  // nothing half-made is left
}

TEST_CASE("card --pdf: a page for the wall, and one with the engine's names", "[note][command]") {
    const Bench bench;
    CHECK(bench.run({"card", "--pdf"}).out == "./recording-card.pdf\n");
    CHECK(bench.run({"card", "--pdf", "--layout", "small.toml", "--letter"}).out ==
          "./recording-card-2.pdf\n");  // the first is kept
    CHECK(bench.run({"card", "--pdf", "--name", "four", "--cylinders", "4", "--out", "cards"}).code == 0);
    CHECK_THAT(bench.file("cards/four.pdf"), Catch::StartsWith("%PDF-"));
    CHECK(bench.run({"card", "--pdf", "--name", "four", "--out", "cards"}).code == 2);
    CHECK(bench.run({"card", "--pdf", "--name", "../four"}).code == 2);
    CHECK(bench.run({"card"}).code == 2);
}
