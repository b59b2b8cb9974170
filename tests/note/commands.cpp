// Notes and cards as a person or a script asks for them.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

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
    void put(const std::string& name, const std::string& text) const { scratch_.put(name, text); }
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

TEST_CASE("note: a job in every form, beside the notes before it", "[note][command]") {
    const Bench bench;
    const auto must = [&](const std::vector<std::string>& arguments) {
        const auto said = bench.run(arguments);
        INFO(said.err);
        REQUIRE(said.code == 0);
        return said.out;
    };
    must({"new", "job", "--layout", "small.toml", "--title", "Howls =1+1 <b>"});
    must({"add", "job", "a.wav", "--state", "as found"});
    must({"add", "job", "b.wav", "--state", "belt off", "--off", "fan belt off", "--coolant", "cold"});
    const std::vector<std::string> all{"note",  "job",       "--html", "--pdf", "--letter", "--text",
                                       "--csv", "--figures", "--out",  "out",   "--done",   "belt lined up"};
    CHECK_THAT(must(all), Catch::StartsWith("out/repair-note.html\nout/repair-note.pdf\n"
                                            "out/repair-note.txt\nout/repair-note.csv\n"
                                            "out/repair-note.json\n"));
    const auto html = bench.file("out/repair-note.html");
    CHECK_THAT(html, Contains("Howls =1+1 &lt;b&gt;") && Contains("Belt lined up") && Contains("SHA-256"));
    CHECK_THAT(bench.file("out/repair-note.pdf"), Catch::StartsWith("%PDF-"));
    CHECK_THAT(bench.file("out/repair-note.txt"), Catch::StartsWith("Repair note"));
    CHECK_THAT(bench.file("out/repair-note-engine.png"), Catch::StartsWith("\x89PNG"));
    // Its numbers are those of the other surface.
    const auto numbers = nlohmann::json::parse(must({"note", "job", "--json", "--done", "belt lined up"}));
    const auto suspects = nlohmann::json::parse(must({"suspects", "job", "--json"}));
    CHECK(numbers == nlohmann::json::parse(bench.file("out/repair-note.json")));
    for (const auto* key : {"complaints", "guilty", "conclusion", "repair"})
        CHECK(numbers[key] == suspects[key]);
    // The usual name makes room for what is there; one that was asked for does not.
    CHECK_THAT(must({"note", "job", "--html", "--out", "out"}), Contains("out/repair-note-2.html"));
    CHECK(bench.file("out/repair-note.html") == html);
    CHECK(bench.run({"note", "job", "--html", "--out", "out", "--name", "repair-note"}).code == 2);
    CHECK(bench.file("out/repair-note.html") == html);
    must({"note", "job", "--html", "--out", "out", "--name", "repair-note", "--replace"});
    CHECK_THAT(must({"note", "job", "--text"}), Contains("job/notes/repair-note.txt"));
}

TEST_CASE("note: a job without recordings is no all-clear", "[note][command]") {
    const Bench bench;
    REQUIRE(bench.run({"new", "job", "--layout", "small.toml"}).code == 0);
    REQUIRE(bench.run({"note", "job", "--text", "--out", "out"}).code == 0);
    const auto text = bench.file("out/repair-note.txt");
    CHECK_THAT(text, Contains("The cause is still open") && Contains("No recording can be judged yet."));
    CHECK_THAT(text, !Contains("Nothing stands out"));
}

TEST_CASE("note: another language is a file, and wrong calls say what is wrong", "[note][command]") {
    const Bench bench;
    const auto table = bench.run({"note", "--list-sentences"});
    CHECK(table.code == 0);
    CHECK_THAT(table.out, Contains("note_title = \"Repair note\""));
    REQUIRE(bench.run({"new", "job", "--layout", "small.toml"}).code == 0);
    REQUIRE(bench.run({"add", "job", "a.wav", "--state", "as found"}).code == 0);
    bench.put("de.toml", "note_title = \"Reparaturbericht\"\n");
    CHECK(bench.run({"note", "job", "--text", "--out", "o", "--sentences", "de.toml"}).code == 0);
    CHECK_THAT(bench.file("o/repair-note.txt"), Catch::StartsWith("Reparaturbericht"));
    bench.put("bad.toml", "note_titel = \"x\"\n");
    const auto bad = bench.run({"note", "job", "--sentences", "bad.toml"});
    CHECK(bad.code == 1);
    CHECK_THAT(bad.err, Contains("bad.toml:1"));
    CHECK(bench.run({"note"}).code == 2);
    CHECK(bench.run({"note", "job", "--units", "stone"}).code == 2);
    CHECK(bench.run({"note", "job", "--name", "a/b"}).code == 2);
    CHECK(bench.run({"note", "nowhere"}).code != 0);
}
