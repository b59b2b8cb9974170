#include "note/json.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <limits>
#include <locale>

#include "example/example.hpp"

using namespace cranknote;

namespace {

/// Validates against tests/schema/NAME.json by python3-jsonschema (draft 7). Returns its complaint, or "".
std::string complaint_of(const std::string& schema, const std::string& json) {
    const std::string file = "test_note_" + schema + ".json";
    std::ofstream(file) << json;
    const std::string command = "python3 '" CRANKNOTE_SOURCE_DIR
                                "/tests/note/validate.py' '" CRANKNOTE_SOURCE_DIR "/tests/schema/" +
                                schema + ".json' '" + file + "' 2>&1";
    std::string output;
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    char buffer[512];
    while (std::fgets(buffer, sizeof buffer, pipe)) output += buffer;
    const int status = pclose(pipe);
    std::remove(file.c_str());
    if (status != 0 && output.empty()) output = "validator failed";
    return output;
}

/// Decimal comma, thousands point: what half of Europe sets.
struct Comma : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

}  // namespace

TEST_CASE("json: a recording as the contract has it", "[note][json]") {
    const auto r = test::example_recording("a.wav", 812.3);
    const auto json = to_json(r);
    CHECK(complaint_of("speed", text_of(json)) == "");
    CHECK(json["speed"]["rpm"] == 812.3);
    CHECK(json["speed"]["source"] == "sound");
    CHECK(json["speed"]["track"].size() == 121);
    CHECK(json["speed"]["track"][0][0] == 1.1);
    CHECK(json["quality"][0]["code"] == "low-cut");
}

TEST_CASE("json: an unknown speed is null, not zero", "[note][json]") {
    RecordingSummary r = test::example_recording("a.wav", 800.0);
    r.speed = SpeedReading{};
    const auto json = to_json(r);
    CHECK(complaint_of("speed", text_of(json)) == "");
    CHECK(json["speed"]["rpm"].is_null());
    CHECK(json["speed"]["interval"] == Json::array({nullptr, nullptr}));
    CHECK(json["speed"]["low"].is_null());
}

TEST_CASE("json: a comparison as the contract has it", "[note][json]") {
    const auto json = to_json(test::example_comparison(), test::example_suspects(), Conclusion::named);
    CHECK(complaint_of("compare", text_of(json)) == "");
    CHECK(json["findings"][0]["change_db"] == -11.1);
    CHECK(json["findings"][0]["interval_db"] == Json::array({-13.4, -8.7}));
    CHECK(json["findings"][0]["q"] == 0.000123);
    CHECK(json["findings"][0]["ratio"].is_null());
    CHECK(json["findings"][2]["verdict"] == "new");
    CHECK(json["suspects"][0]["probability"] == 0.8123);
    CHECK(json["suspects"][2]["part"].is_null());
    CHECK(json["conclusion"] == "named");
    CHECK(json["spread"]["source"] == "default");
}

TEST_CASE("json: a portrait has no other side", "[note][json]") {
    const auto json =
        portrait_json(test::example_recording("a.wav", 812.3), test::example_comparison().findings);
    CHECK(complaint_of("portrait", text_of(json)) == "");
    CHECK_FALSE(json["findings"][0].contains("b_db"));
    CHECK_FALSE(json["findings"][0].contains("change_db"));
}

TEST_CASE("json: numbers are finite or null", "[note][json]") {
    auto c = test::example_comparison();
    c.findings[0].a = Decibel{-std::numeric_limits<double>::infinity()};
    c.findings[0].change = Decibel{std::nan("")};
    c.findings[0].presence = {std::nan(""), 0.0};
    c.level_offset = Decibel{-0.001};
    const auto json = to_json(c, {}, Conclusion::open);
    CHECK(json["findings"][0]["a_db"].is_null());
    CHECK(json["findings"][0]["change_db"].is_null());
    const auto text = text_of(json);
    CHECK(text.find("nan") == std::string::npos);
    CHECK(text.find("inf") == std::string::npos);
    CHECK(text.find("-0.0,") == std::string::npos);
}

TEST_CASE("json: the schemas refuse what breaks the contract", "[note][json]") {
    auto json = to_json(test::example_comparison(), test::example_suspects(), Conclusion::named);
    json["findings"][0]["verdict"] = "fresh";
    CHECK(complaint_of("compare", text_of(json)) != "");
    json = to_json(test::example_comparison(), test::example_suspects(), Conclusion::named);
    json["findings"][0].erase("q");
    CHECK(complaint_of("compare", text_of(json)) != "");
}

TEST_CASE("json: text that is no UTF-8 is repaired", "[note][json]") {
    auto r = test::example_recording(
        "b\xff"
        "d.wav",
        800.0);
    CHECK(complaint_of("speed", text_of(to_json(r))) == "");
}

TEST_CASE("json: the same under a locale with decimal commas", "[note][json]") {
    const auto before =
        text_of(to_json(test::example_comparison(), test::example_suspects(), Conclusion::tie));
    const auto kept = std::locale::global(std::locale(std::locale::classic(), new Comma));
    const auto after =
        text_of(to_json(test::example_comparison(), test::example_suspects(), Conclusion::tie));
    std::locale::global(kept);
    CHECK(before == after);
}
