// Many recordings in one call: a line each, errors in the line, taken up where it stopped.
#include <catch2/catch.hpp>
#include <map>
#include <nlohmann/json.hpp>

#include "cli/idle.hpp"
#include "cli/run.hpp"

using namespace cranknote::test;
using nlohmann::json;

namespace {

std::map<std::string, json> by_file(const std::string& out) {
    std::map<std::string, json> lines;
    std::istringstream in(out);
    for (std::string line; std::getline(in, line);) {
        auto one = json::parse(line);
        const auto file = one["file"].get<std::string>();
        REQUIRE_FALSE(lines.contains(file));
        lines[file] = std::move(one);
    }
    return lines;
}

void write_text(const std::string& path, const std::string& text) { std::ofstream(path) << text; }

}  // namespace

TEST_CASE("a line for each recording, the same as alone, with the error in its line") {
    const Folder folder;
    const auto idle = folder / "idle.wav", broken = folder / "not sound.wav";
    write_idle(idle);
    write_text(broken, "no sound in here");
    const auto r =
        cranknote::test::cranknote("batch --json-lines --cylinders 4 '" + idle + "' '" + broken + "'");
    CHECK(r.code == 0);
    auto lines = by_file(r.out);
    REQUIRE(lines.size() == 2);
    CHECK(lines[broken]["error"].get<std::string>().find("not sound.wav") != std::string::npos);
    CHECK(lines[idle] ==
          json::parse(cranknote::test::cranknote("portrait --cylinders 4 --json '" + idle + "'").out));
}

TEST_CASE("without cylinders a line is what speed says, and a list may come on standard input") {
    const Folder folder;
    const auto idle = folder / "idle.wav", list = folder / "list";
    write_idle(idle);
    write_text(list, idle + "\r\n\n");
    const auto r = cranknote::test::cranknote("batch --json-lines < '" + list + "'");
    CHECK(r.code == 0);
    CHECK(by_file(r.out)[idle] == json::parse(cranknote::test::cranknote("speed --json '" + idle + "'").out));
}

TEST_CASE("an earlier output is taken up: results stay, errors and half a line are tried again") {
    const Folder folder;
    const auto one = folder / "one.wav", two = folder / "two.wav", three = folder / "three.wav",
               four = folder / "four.wav", earlier = folder / "earlier.jsonl";
    for (const auto& f : {two, three, four}) write_idle(f);
    write_text(earlier, R"({"schema":1,"file":")" + one + "\"}\n" + R"({"schema":1,"file":")" + two +
                            R"(","error":"gone"})" + "\n" + R"({"schema":1,"file":")" + three);
    const auto r = cranknote::test::cranknote("batch --json-lines --done '" + earlier + "' '" + one + "' '" +
                                              two + "' '" + three + "' '" + four + "'");
    CHECK(r.code == 0);
    const auto lines = by_file(r.out);
    CHECK(lines.size() == 3);
    CHECK_FALSE(lines.contains(one));
    CHECK(r.err == "1 of 4 are done already\n");
}

TEST_CASE("a wrong batch call says what is missing") {
    for (const auto* call : {"batch some.wav", "batch --json-lines --workers 1000 some.wav",
                             "batch --json-lines --cylinders 99 some.wav"}) {
        INFO(call);
        const auto r = cranknote::test::cranknote(call);
        CHECK(r.code == 2);
        CHECK(r.out.empty());
        CHECK_FALSE(r.err.empty());
    }
}
