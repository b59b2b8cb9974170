// `cranknote layout` as a person calls it.
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "layouts.hpp"

using namespace cranknote::test;

namespace {

struct Answer {
    int code = -1;
    std::string out;
};

/// Runs the program; stderr is read with the rest where asked for.
Answer run(const std::string& arguments, bool with_errors = false) {
    const std::string command = std::string(CRANKNOTE_PROGRAM) + " layout " + arguments +
                                (with_errors ? " 2>&1 >/dev/null" : " 2>/dev/null");
    Answer a;
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe);
    std::array<char, 4096> block{};
    for (std::size_t n = 0; (n = fread(block.data(), 1, block.size(), pipe)) > 0;)
        a.out.append(block.data(), n);
    a.code = WEXITSTATUS(pclose(pipe));
    return a;
}

const std::string preset_path = CRANKNOTE_SOURCE_DIR "/samples/layouts/four-toothed-belt.toml";
const std::string bad = CRANKNOTE_SOURCE_DIR "/tests/data/bad/layout_cam_teeth.toml";

}  // namespace

TEST_CASE("layout check prints the table of ratios, narrow enough for a phone") {
    const auto a = run("check " + preset_path);
    CHECK(a.code == 0);
    CHECK(a.out.find("  intake cam wheel                 0.500× exact\n") != std::string::npos);
    CHECK(a.out.find("  tooth mesh                       22.00× exact\n") != std::string::npos);
    std::istringstream lines(a.out +
                             run("check " CRANKNOTE_SOURCE_DIR "/samples/layouts/five-diesel.toml").out);
    for (std::string line; std::getline(lines, line);) {
        INFO(line);
        const auto columns =
            std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; });
        CHECK(columns <= 60);
    }
}

TEST_CASE("layout check --json has the same ratios with their limits") {
    const auto a = run("check --json " + preset_path);
    CHECK(a.code == 0);
    const auto j = nlohmann::json::parse(a.out);
    CHECK(j["schema"] == 1);
    REQUIRE(j["turns"].size() == 12);
    CHECK(j["turns"][11]["part"] == "fan");
    CHECK(j["turns"][11]["ratio"].is_null());  // electric: not known is never zero
    bool mesh = false;
    for (const auto& line : j["lines"])
        mesh =
            mesh || (line["owner"] == "timing belt" && line["line"] == "tooth mesh" && line["ratio"] == 22.0);
    CHECK(mesh);
}

TEST_CASE("layout show prints a layout that layout check takes") {
    const auto shown = run("show --cylinders 5");
    CHECK(shown.code == 0);
    CHECK(cranknote::to_toml(cranknote::parse_layout(shown.out, "shown")) ==
          cranknote::to_toml(cranknote::typical_layout(5)));
    CHECK(shown.out.find("# Names for --off") != std::string::npos);
    CHECK(nlohmann::json::parse(run("show --cylinders 5 --json").out)["names"].size() > 10);
}

TEST_CASE("wrong layouts and wrong calls: one line, nothing on stdout") {
    const auto wrong = run("check " + bad, true);
    CHECK(wrong.code == 1);
    CHECK(wrong.out ==
          "cranknote: " + bad +
              ":17:1: key `teeth`: expected 40 teeth (cam_ratio 0.5 and 20 on `crank sprocket`), found 39\n");
    CHECK(run("check --json " + bad).out.empty());
    CHECK(run("check /no/such.toml", true).out ==
          "cranknote: /no/such.toml: there is no such file (give the path of a layout (.toml))\n");
    CHECK(run("check /no/such.toml").code == 1);
    CHECK(run("check " CRANKNOTE_SOURCE_DIR, true).out.find("not a file") != std::string::npos);
    CHECK(run("check").code == 2);
    CHECK(run("show --cylinders 0").code == 2);
    CHECK(run("show --cylinders 17", true).out ==
          "cranknote: an engine of 17 cylinders is not known here (1 to 16 cylinders)\n");
    CHECK(run("show --cylinders four").code == 2);
    CHECK(run("show").code == 2);
}
