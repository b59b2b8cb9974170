#include "note/words.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <locale>
#include <sstream>

#include "example/example.hpp"
#include "figure/number_text.hpp"
#include "figure/utf8.hpp"
#include "units/error.hpp"

using namespace cranknote;
using Catch::Contains;

namespace {

std::size_t widest(const std::string& text) {
    std::size_t most = 0;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) most = std::max(most, columns_of(line));
    return most;
}

/// Lines joined by one space and no-break spaces made plain, so that sentences can be looked for.
std::string flat(const std::string& text) {
    std::string out;
    for (const auto p : code_points(text)) {
        const bool space = p == U' ' || p == U'\n' || p == 0xA0;
        if (space && !out.empty() && out.back() == ' ') continue;
        out += space ? " " : utf8_of(std::u32string(1, p));
    }
    return out;
}

std::string compare_text(std::size_t columns = 56) {
    Wording w;
    w.columns = columns;
    return words_for(test::example_comparison(), test::example_suspects(), Conclusion::named,
                     {"as found", "upper timing cover off"}, w);
}

struct DecimalComma : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
};

}  // namespace

TEST_CASE("words: a comparison reads from conclusion to limits", "[note][words]") {
    const auto text = flat(compare_text());
    CHECK_THAT(text, Catch::StartsWith("Most likely: upper timing cover touches the timing belt (81 %)."));
    CHECK_THAT(text, Contains("1. 1.90–3.48 kHz, a scrape: gone −11.1 dB (95 %: −13.4 dB to −8.7 dB). It "
                              "comes once in 2.0 crank turns (0.50×)."));
    CHECK_THAT(text, Contains("Heard 100 % of the time before, 3 % after."));
    CHECK_THAT(text, Contains("Fits timing belt: cam wheel turn, expected at 0.50×."));
    CHECK_THAT(text, Contains("– 21.2×: gone; it went silent with the alternator belt."));
    CHECK_THAT(text, Contains("Did not change 3. 3.90–5.10 kHz, a tick: still there"));
    CHECK_THAT(text, Contains("These recordings cannot tell it from alternator belt slips."));
    CHECK_THAT(text, Contains("Crank speed 812 rpm (from the sound)."));
    CHECK_THAT(text, Contains("assumed: no repeat was recorded"));
}

TEST_CASE("words: no line is wider than the terminal", "[note][words]") {
    for (const std::size_t columns : {40u, 56u, 80u}) CHECK(widest(compare_text(columns)) <= columns);
}

TEST_CASE("words: an unknown speed says so and offers what it may be", "[note][words]") {
    auto r = test::example_recording("x.wav", 800.0);
    r.speed.mean.reset();
    r.speed.alternatives = {{Rpm{812.0}, 0.48}, {Rpm{1624.0}, 0.45}};
    const auto text = flat(words_for(r));
    CHECK_THAT(text,
               Contains("Crank speed: cannot tell. It could also be 812 rpm (48 %) and 1624 rpm (45 %)."));
}

TEST_CASE("words: an unsure multiple asks for the gauge", "[note][words]") {
    auto r = test::example_recording("x.wav", 800.0);
    r.speed.confidence = 0.6;
    CHECK_THAT(flat(words_for(r)), Contains("--rpm 800~40"));
}

TEST_CASE("words: hostile names cannot drive the terminal", "[note][words]") {
    auto r = test::example_recording(
        "a\x1b[2J\r\nname \xe2\x80\xae"
        "evil\xff.wav",
        800.0);
    const auto text = words_for(r);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find("\xe2\x80\xae") == std::string::npos);
    CHECK_THAT(text, Catch::StartsWith("a [2J name evil\xef\xbf\xbd.wav\n"));
}

TEST_CASE("words: the same under a locale with decimal commas", "[note][words]") {
    const auto before = compare_text();
    const auto kept = std::locale::global(std::locale(std::locale::classic(), new DecimalComma));
    const auto after = compare_text();
    std::locale::global(kept);
    CHECK(before == after);
}

TEST_CASE("words: conclusions", "[note][words]") {
    const auto s = test::example_suspects();
    CHECK(conclusion_sentence(Conclusion::nothing_stands_out, {}) == "Nothing stands out.");
    CHECK_THAT(conclusion_sentence(Conclusion::open, s), Contains("Open"));
    CHECK(conclusion_sentence(Conclusion::tie, {s[1]}) ==
          "A tie: alternator belt runs out of line and alternator belt slips fit equally well.");
}

TEST_CASE("sentences: a translation is a file", "[note][sentences]") {
    const auto say = Sentences::parse("gone = \"weg\"\nspeed_is = \"Kurbeldrehzahl {rpm}\"\n", "de.toml");
    CHECK(say(Say::gone) == "weg");
    CHECK(say(Say::speed_is, {{"rpm", "812"}}) == "Kurbeldrehzahl 812");
    CHECK(say(Say::weaker) == "weaker");
    CHECK(Sentences::parse(Sentences().to_toml(), "en.toml").to_toml() == Sentences().to_toml());
}

TEST_CASE("sentences: errors of a translation name the line", "[note][sentences]") {
    CHECK_THROWS_WITH(Sentences::parse("gone = \"weg\"\nlost = \"x\"\n", "de.toml"),
                      Contains("de.toml:2") && Contains("lost"));
    CHECK_THROWS_WITH(Sentences::parse("speed_is = \"{drehzahl}\"\n", "de.toml"),
                      Contains("de.toml:1") && Contains("{drehzahl}"));
    CHECK_THROWS_WITH(Sentences::parse("gone = 3\n", "de.toml"), Contains("not text"));
    CHECK_THROWS_WITH(Sentences::parse("gone = \n", "de.toml"), Contains("de.toml:1"));
}

TEST_CASE("sentences: an argument is never read as a place", "[note][sentences]") {
    CHECK(Sentences()(Say::recording_of, {{"side", "{file}"}, {"file", "x"}}) == "{file}: x");
}

TEST_CASE("a line that several causes of one part share is said once") {
    cranknote::Finding f;
    f.explained_by = {{"a big end or main bearing knocks", "crank", "cycle (beat)", cranknote::Ratio{0.5}},
                      {"a piston slaps", "crank", "cycle (beat)", cranknote::Ratio{0.5}},
                      {"a valve ticks", "valve train", "cam (beat)", cranknote::Ratio{0.5}}};
    const auto sentences = cranknote::finding_sentences(f, true);
    const auto naming = [&](const std::string& part) {
        return std::count_if(sentences.begin(), sentences.end(), [&](const std::string& s) {
            return s.find("Fits " + part) != std::string::npos;
        });
    };
    CHECK(naming("crank") == 1);
    CHECK(naming("valve train") == 1);
}
