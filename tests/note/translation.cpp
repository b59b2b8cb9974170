// A note and a card in another language hold no English sentence of ours: every one comes from the table.
#include <catch2/catch.hpp>
#include <fstream>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include <nlohmann/json.hpp>

#include "figure/number_text.hpp"
#include "note/phrases.hpp"
#include "note/sentences.hpp"
#include "read_as.hpp"
#include "sample_job.hpp"
#include "shell.hpp"

using namespace cranknote;
using namespace cranknote::test;
using Catch::Contains;

namespace {

/// Every Latin letter outside of {places} becomes a Greek one: a complete translation that nobody can read.
std::string pseudo_text(const std::string& text) {
    std::string out;
    bool place = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (c == '{') place = true;
        if (c == '}') place = false;
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        if (letter && !place)
            out += c <= 'Z' ? "\u0394" : "\u03bb";
        else
            out += c;
    }
    return out;
}

std::string pseudo_table() {
    std::istringstream lines(Sentences{}.to_toml());
    std::string out;
    for (std::string line; std::getline(lines, line);) {
        const auto at = line.find(" = ");
        out += (at == std::string::npos ? line : line.substr(0, at + 3) + pseudo_text(line.substr(at + 3))) +
               "\n";
    }
    return out;
}

/// Latin words of three letters and more.
std::set<std::string> words_in(const std::string& text) {
    static const std::regex word("[A-Za-z]{3,}");
    std::set<std::string> words;
    for (std::sregex_iterator it(text.begin(), text.end(), word), end; it != end; ++it)
        words.insert(it->str());
    return words;
}

/// Words of `text` that nobody typed: neither the layout's names and cautions, nor states, files and titles.
std::string left_over(const std::string& text, const std::set<std::string>& typed) {
    static const std::set<std::string> units{"rpm", "kHz"};
    std::string left;
    for (const auto& word : words_in(text)) {
        const bool hash = word.find_first_not_of("abcdef") == std::string::npos;
        auto small = word;
        if (small[0] >= 'A' && small[0] <= 'Z') small[0] = static_cast<char>(small[0] - 'A' + 'a');
        if (!hash && !units.count(word) && !typed.count(word) && !typed.count(small)) left += word + " ";
    }
    return left;
}

/// What is to be read of the page.
std::string without_tags(const std::string& html) {
    std::string out;
    bool tag = false;
    for (auto at = html.find("<main>"); at < html.size(); ++at) {
        if (html[at] == '<') tag = true;
        if (!tag) out += html[at];
        if (html[at] == '>') tag = false, out += ' ';
    }
    for (const auto* entity : {"&quot;", "&amp;", "&lt;", "&gt;", "&#39;"})
        for (auto at = out.find(entity); at != out.npos; at = out.find(entity))
            out.replace(at, std::string(entity).size(), " ");
    return out;
}

}  // namespace

TEST_CASE("translation: every phrase of the computation is found again, and said in the other language",
          "[note][translation]") {
    const auto say = Sentences::parse(pseudo_table(), "pseudo.toml");
    const std::map<std::string, std::string> fill{
        {"line", "tooth mesh"},       {"cause", "an injector ticks"}, {"way", "stayed when recorded again"},
        {"step", "after the repair"}, {"says", "the crank turns"},    {"names", "Xa, Xb and Xc"}};
    for (const auto& p : phrases()) {
        CAPTURE(p.name);
        std::string text(p.english);
        int number = 7;
        for (auto open = text.find('{'); open != std::string::npos; open = text.find('{')) {
            const auto close = text.find('}', open);
            const auto place = text.substr(open + 1, close - open - 1);
            const auto known = fill.find(place);
            text.replace(open, close - open + 1,
                         known != fill.end() ? known->second : std::to_string(number++));
        }
        CAPTURE(text);
        CHECK(Sentences{}.found(text) == text);
        CHECK(words_in(say.found(text)).empty());
        for (int n = 7; n < number; ++n) CHECK_THAT(say.found(text), Contains(std::to_string(n)));
    }
    CHECK(say.found("Rattly thing") == "Rattly thing");  // a name stays
    CHECK(words_in(say.found("Other loads were on. The microphone was near another thing.")).empty());
}

TEST_CASE("translation: a text is found in the template with the most words of its own",
          "[note][translation]") {
    const auto name_of = [](const char* text) {
        const auto m = phrase_of(text);
        return m ? std::string(phrases()[m->phrase].name) : "";
    };
    CHECK(name_of("a piston slaps") == "piston_slaps");
    CHECK(name_of("the clutch's release bearing") == "release_bearing");
    CHECK(name_of("idler bearing") == "bearing");
    CHECK(name_of("the accessory belt goes round") == "says_goes_round");
    CHECK(name_of("turns of the timing belt (beat)") == "line_beat");
    CHECK(name_of("bearing, outer ring, 2nd") == "line_nd");
    CHECK(name_of("went with the upper timing cover off, when this cannot sound") == "way_cannot_sound");
    CHECK(name_of("something that nobody says") == "");
    const auto say = Sentences::parse("[found]\ntouches = \"{other} schleift an {name}\"\n", "de.toml");
    CHECK(say.found("upper cover touches the timing belt") == "timing belt schleift an upper cover");
    CHECK(say.found("timing belt slips") == "timing belt slips");  // not translated: stays English
}

TEST_CASE("translation: the table holds every sentence that the computation's sources say",
          "[note][translation]") {
    write_file("test_table.toml", Sentences{}.to_toml());
    const auto missing = output_of("python3 '" CRANKNOTE_SOURCE_DIR
                                   "/tests/note/phrases.py' '" CRANKNOTE_SOURCE_DIR "/src' test_table.toml");
    std::remove("test_table.toml");
    CHECK(missing == "");
}

TEST_CASE("translation: a whole job's note and the cards hold no English of ours", "[note][translation]") {
    const auto& job = SampleJob::once();
    const auto& scratch = job.folder();
    scratch.put("pseudo.toml", pseudo_table());
    job.must({"note", "job", "--text", "--html", "--pdf", "--out", ".", "--name", "n", "--sentences",
              "pseudo.toml"});
    job.must({"card", "--pdf", "--out", ".", "--name", "c", "--sentences", "pseudo.toml"});
    job.must({"card", "job", "--pdf", "--out", ".", "--name", "l", "--sentences", "pseudo.toml"});

    auto typed =
        words_in("Xyz Stwo Sthree cranknote as found cold again upper cover off refitted m4a mp4 lock");
    std::istringstream layout(test::text_of(SampleJob::layout()));
    for (std::string line; std::getline(layout, line);)
        if (line.starts_with("name") || line.starts_with("cautions") || line.starts_with("belt"))
            for (const auto& word : words_in(line.substr(line.find('=')))) typed.insert(word);
    CHECK(left_over(text_of(scratch / "n.txt"), typed) == "");
    for (const auto* name : {"n", "c", "l"}) {
        CAPTURE(name);
        const auto file = (scratch / (std::string(name) + ".pdf")).string();
        CHECK(left_over(output_of("pdftotext -enc UTF-8 '" + file + "' -"), typed) == "");
    }
    const auto html = without_tags(text_of(scratch / "n.html"));
    CHECK(left_over(html, typed) == "");
    const auto english = job.must({"note", "job", "--json", "--sentences", "pseudo.toml"});
    CHECK(left_over(english, typed) != "");  // the numbers' words stay English
    CHECK(english.find("\u03bb") == std::string::npos);
}

TEST_CASE("the sample's cured noises are gone, not weaker", "[note][sample]") {
    const auto repair = nlohmann::json::parse(SampleJob::once().must({"suspects", "job", "--json"}))["repair"];
    CHECK(repair["verdict"] == "gone");
}

TEST_CASE("note: every number with a unit is one of the JSON's", "[note][json]") {
    const auto& job = SampleJob::once();
    job.must({"note", "job", "--text", "--out", ".", "--name", "numbers", "--replace"});
    const auto text = read_as(text_of(job.folder() / "numbers.txt"));
    const auto json = nlohmann::json::parse(job.must({"note", "job", "--json"}));
    std::set<std::string> known;  // every way in which the note may write one of them
    const std::function<void(const nlohmann::json&)> add = [&](const nlohmann::json& j) {
        if (j.is_number()) {
            const double v = j.get<double>();
            for (const auto& t : {level_text(Decibel{v}), level_text(Decibel{-v}), change_text(Decibel{v}),
                                  ratio_text(Ratio{v}), rpm_text(Rpm{v}), number_text(v, 1) + " rpm",
                                  signed_text(v, 1), probability_text(v), number_text(v, 0) + " dB"})
                known.insert(read_as(t));
        }
        if (j.is_object() && j.contains("low_hz"))
            known.insert(
                read_as(hertz_text({Hertz{j["low_hz"].get<double>()}, Hertz{j["high_hz"].get<double>()}})));
        if (j.is_structured())
            for (const auto& item : j) add(item);
    };
    add(json);
    // Numbers of the method, which are no results; and what the computation writes into its own sentences,
    // which are in the JSON as they are.
    known.insert({"95 %", "5 %", "2.84×", "10 dB"});
    std::size_t checked = 0;
    const auto whole = read_as(json.dump());
    const std::regex number("(?:\u2212|\\+)?[0-9.]+(?:\u2013[0-9.]+)? ?(?:dB|\u00d7|rpm|%|kHz|Hz)(?![a-z])");
    for (std::sregex_iterator it(text.begin(), text.end(), number), end; it != end; ++it, ++checked) {
        const auto said = it->str();
        CAPTURE(said);
        CHECK((known.count(said) || whole.find(said) != std::string::npos));
    }
    CHECK(checked > 30);
}
