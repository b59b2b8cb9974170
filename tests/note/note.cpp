// The note in all its forms, from one example, and from a hostile one.
#include "note/note.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "example/example.hpp"
#include "figure/number_text.hpp"
#include "figure/utf8.hpp"
#include "note/card.hpp"
#include "note/html.hpp"
#include "note/job_json.hpp"
#include "note/numbers.hpp"
#include "note/pdf.hpp"
#include "note/plain_text.hpp"
#include "note/save.hpp"
#include "read_as.hpp"
#include "shell.hpp"
#include "units/error.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;
using Catch::Contains;

namespace {

std::string html_facts(const std::string& html) {
    write_file("test_note.html", html);
    const auto facts =
        output_of("python3 '" CRANKNOTE_SOURCE_DIR "/tests/note/html_facts.py' test_note.html");
    std::remove("test_note.html");
    return read_as(facts);
}

struct PdfFacts {
    std::string text, fonts, info;
};
PdfFacts pdf_facts(const std::string& pdf) {
    write_file("test_note.pdf", pdf);
    PdfFacts facts{read_as(output_of("pdftotext -enc UTF-8 -layout test_note.pdf -")),
                   output_of("pdffonts test_note.pdf"), read_as(output_of("pdfinfo test_note.pdf"))};
    std::remove("test_note.pdf");
    return facts;
}

NoteData hostile() {
    const std::string evil =
        "<script>window.ran=1</script>\"><img src=x onerror=window.ran=1> =1+1 \x1b[31m\xff \xe2\x80\xae"
        "abc";
    auto d = example_note();
    d.title = evil;
    d.facts = {{evil, evil}, {"Owner", "עברית \xd8\xb9\xd8\xb1\xd8\xa8\xd9\x8a"}};
    d.complaint = std::string(10000, 'w') + "\n\n" + evil;
    d.done = {evil};
    d.guilty[0].cause = evil;
    d.guilty[0].part = evil;
    d.complaints[0].suspects = d.guilty;
    d.complaints[0].by_state.clear();
    d.states.clear();
    for (int i = 0; i < 40; ++i) {
        auto s = example_note().states[0];
        s.state.name = evil + std::to_string(i);
        s.recordings[0].file = "../" + evil;
        d.complaints[0].by_state.push_back({s.state.name, Decibel{-40.0}, {}, Verdict::there});
        d.states.push_back(s);
    }
    d.side_a = evil;
    for (auto& p : d.layout->parts)
        if (p.name == "alternator") p.name = evil;
    d.clips[0].title = evil;
    d.sources = {{evil, evil}};
    return d;
}

}  // namespace

TEST_CASE("note: what the owner must read comes first", "[note]") {
    const auto text = read_as(plain_text_of(note_document(example_note())));
    const auto order = {"Repair note",
                        "The noise is gone",
                        "at least 12.6 dB weaker",
                        "Complaint: Came back two days after",
                        "A scrape, 1.90–3.48 kHz. It comes once in 2.0 crank turns",
                        "Worked on before: alternator and alternator belt",
                        "Found: Upper timing cover touches the timing belt (81 %)",
                        "Seen on upper timing cover: shiny line along the inside edge",
                        "Done: Upper timing cover spaced and refitted; alternator belt lined up",
                        "How sure: Recorded under like conditions",
                        "Cautions",
                        "What is not known",
                        "States recorded",
                        "Causes, and what speaks",
                        "SHA-256"};
    std::size_t at = 0;
    for (const auto* words : order) {
        CAPTURE(words);
        const auto found = text.find(words, at);
        REQUIRE(found != std::string::npos);
        at = found;
    }
    CHECK_THAT(text, Contains("An invented example"));
    CHECK_THAT(text, Contains("Belt deflection: 12 mm; Target 8 ± 2 mm: out; as found"));
    CHECK_THAT(text, Contains("Ignition timing: Target 6 ± 2 °"));  // not known is not zero
}

TEST_CASE("note: without a repair the conclusion stands on top", "[note]") {
    auto d = example_note();
    d.repair.reset();
    CHECK_THAT(read_as(plain_text_of(note_document(d))),
               Contains("Most likely: upper timing cover touches the timing belt"));
    d.conclusion = Conclusion::open;
    CHECK_THAT(plain_text_of(note_document(d)), Contains("The cause is still open"));
    CHECK_THAT(plain_text_of(note_document({})),
               Contains("The cause is still open"));  // an empty note is a note
}

TEST_CASE("note: a repair that does not hold says so", "[note]") {
    auto d = example_note();
    d.repair->verdict = RepairOutcome::something_new;
    d.repair->new_findings = {d.comparison->findings[2]};
    d.repair->conditions_alike = false;
    d.repair->why = {"It was cold before and warm after."};
    const auto text = read_as(plain_text_of(note_document(d)));
    CHECK_THAT(text, Contains("[!] Something new is heard after the repair"));
    CHECK_THAT(text, Contains("New: 7.00–9.50 kHz, a hiss: new."));
    CHECK_THAT(text, Contains("not recorded under like conditions. It was cold before and warm after."));
}

TEST_CASE("note: of several complaints each is told, and what is gone of them", "[note]") {
    auto d = example_note();
    auto second = d.complaints[0];
    second.id = 2;
    second.finding = d.comparison->findings[2];
    second.by_state[3].verdict = Verdict::weaker;
    second.conclusion = Conclusion::open;
    d.complaints.push_back(second);
    d.repair->verdict = RepairOutcome::weaker;
    const auto text = read_as(plain_text_of(note_document(d)));
    CHECK_THAT(text, Contains("[?] Noises gone: 1 of 2"));
    CHECK_THAT(text, Contains("(1) A scrape, 1.90–3.48 kHz.") && Contains("(2) A hiss, 7.00–9.50 kHz."));
    CHECK_THAT(text, Contains("(2) Still open. Most likely so far: upper timing cover"));
    CHECK_THAT(text, Contains("Now: (1) Gone. (2) Weaker."));
    d.repair->verdict = RepairOutcome::there;
    for (auto& c : d.complaints) c.by_state[3].verdict = Verdict::there;
    CHECK_THAT(plain_text_of(note_document(d)), Contains("[!] The noise is still there"));
}

TEST_CASE("note: what is left out of a long table is counted", "[note]") {
    auto d = example_note();
    const auto one = d.comparison->findings[0];
    d.comparison->findings.assign(19, one);
    CHECK_THAT(read_as(plain_text_of(note_document(d))),
               Contains("And 7 more changes, in the note's CSV and JSON."));  // 19 less the 12 that are shown
    CHECK(note_json(d)["comparison"]["findings"].size() == 19);
    d.comparison->findings.assign(12, one);
    CHECK(plain_text_of(note_document(d)).find("more changes") == std::string::npos);
}

TEST_CASE("note: what several suspects share is said once, and so is a tie", "[note]") {
    auto d = example_note();
    auto& s = d.complaints[0].suspects;
    s[0].tied_with = {s[1].cause};
    s[1].tied_with = {s[0].cause};
    s[0].evidence_for = {"it beats with the belt", "its own", "its own"};
    s[1].evidence_for = {"it beats with the belt"};
    const auto text = read_as(plain_text_of(note_document(d)));
    const auto times = [&](const std::string& words) {
        std::size_t n = 0;
        for (auto at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++n;
        return n;
    };
    CHECK(times("it beats with the belt") == 1);
    CHECK(times("+ its own") == 1);
    CHECK(times("These recordings cannot tell it from") == 1);
    CHECK_THAT(text, Contains("What upper timing cover touches the timing belt and alternator belt runs out "
                              "of line have in common + it beats with the belt"));
}

TEST_CASE("note: what all shown suspects share is said once, also without a tie", "[note]") {
    auto d = example_note();
    auto& s = d.complaints[0].suspects;
    REQUIRE(s.size() >= 2);
    for (auto& one : s) one.tied_with.clear();
    s.resize(2);
    s.push_back(s[1]);
    s[2].cause = "idler bearing";
    for (auto& one : s) one.probability = 0.3, one.evidence_for = {"it went with the belt"};
    s[1].evidence_for.emplace_back("it squeals");
    const auto text = read_as(plain_text_of(note_document(d)));
    CHECK_THAT(text, Contains("What these suspects have in common + it went with the belt"));
    CHECK(text.find("it went with the belt") == text.rfind("it went with the belt"));
    CHECK_THAT(text, Contains("+ it squeals"));
}

TEST_CASE("note: a translation and US units", "[note]") {
    NoteSettings settings;
    settings.system = System::us;
    settings.say = Sentences::parse("repair_gone = \"Das Geräusch ist weg\"\n", "de.toml");
    const auto text = read_as(plain_text_of(note_document(example_note(), settings)));
    CHECK_THAT(text, Contains("Das Geräusch ist weg"));
    CHECK_THAT(text, Contains("0.472 in; Target 0.315 ± 0.079 in: out"));
    CHECK_THAT(text, Contains("190 °F"));
}

TEST_CASE("units: both ways, by the factors of NIST SP 811", "[note][units]") {
    CHECK_THAT(shown(100.0, "°C", System::us).value, within(212.0, 1e-9, "exact by definition"));
    CHECK_THAT(shown(10.0, "°C", System::us, true).value, within(18.0, 1e-9, "a difference has no offset"));
    CHECK_THAT(shown(32.0, "F", System::metric).value, within(0.0, 1e-9, "exact by definition"));
    CHECK_THAT(shown(25.4, "mm", System::us).value, within(1.0, 1e-12, "exact by definition"));
    CHECK_THAT(shown(1.0, "bar", System::us).value, within(14.5038, 5e-5, "NIST SP 811 gives six figures"));
    CHECK(shown(820.0, "rpm", System::us).unit == "rpm");
    CHECK(shown(0.55, "V", System::us).decimals == 2);
}

TEST_CASE("note of a comparison: speeds, quality, changes, suspects, method", "[note]") {
    const auto c = example_comparison();
    const auto layout = example_layout();
    State a, b;
    a.name = "before";
    b.name = "after";
    b.off = {"upper timing cover off"};
    auto d = note_of_pair(c, example_suspects(), Conclusion::named, &layout, a, b);
    d.settings = method_of(0.05, true);
    const auto text = read_as(plain_text_of(note_document(d)));
    for (const auto* words :
         {"Two states compared", "Most likely: upper timing cover touches the timing belt", "81 %",
          "1.90–3.48 kHz, a scrape: gone, −11.1 dB (95 %: −13.4 dB to −8.7 dB)", "812.3 rpm, 811.7 … 812.9",
          "806.9 rpm", "To know: The phone hears little below 100 Hz", "It went when the upper timing cover",
          "A valve would tick at the same rate", "it went silent with the alternator belt",
          "Nothing above 15.50 kHz", "Upper timing cover off: The toothed belt is open",
          "false-discovery rate of 5 %", "The phone lay untouched", "A probability is no proof"})
        CHECK_THAT(text, Contains(words));
    // A change that the layout expects is no news for the top of the page.
    CHECK(text.find("21.2×, a tone: gone, −13.1 dB (95 %") == std::string::npos);
    auto still = c;
    still.findings = {c.findings.back()};
    d = note_of_pair(still, {}, Conclusion::nothing_stands_out, nullptr, a, b);
    const auto quiet = read_as(plain_text_of(note_document(d)));
    CHECK_THAT(quiet, Contains("Nothing stands out") && Contains("Nothing changed beyond"));
}

TEST_CASE("html: self-contained, no script, no outside address, its style by hash", "[note][html]") {
    const auto html = html_of(note_document(example_note()));
    const auto facts = html_facts(html);
    CHECK_THAT(facts, Catch::StartsWith("audio 4 svg True Repair note"));
    CHECK_THAT(facts, Contains("The noise is gone"));
    CHECK(html.find("http://") == html.find("http://www.w3.org/2000/svg"));  // a name, not an address
    CHECK(html.find("https://") == std::string::npos);
    CHECK(html.size() < 5'000'000);
}

TEST_CASE("html: a hostile job stays text", "[note][html]") {
    const auto html = html_of(note_document(hostile()));
    const auto facts = html_facts(html);
    CHECK_THAT(facts,
               Catch::StartsWith("audio 4 svg True"));  // nothing forbidden, nothing unbalanced before it
    CHECK_THAT(facts,
               Contains("<script>window.ran=1</script>\"><img src=x onerror=window.ran=1>"));  // as text
    CHECK(html.find('\x1b') == std::string::npos);
    CHECK(html.find("\xe2\x80\xae") == std::string::npos);
    CHECK(html.size() < 5'000'000);
}

TEST_CASE("html: a browser shows it, plays it, prints it, and nothing leaves the file", "[note][browser]") {
    struct Case {
        const char* what;
        NoteData data;
    };
    for (const auto& c : {Case{"example", example_note()}, Case{"hostile", hostile()}}) {
        CAPTURE(c.what);
        write_file("test_browser.html", html_of(note_document(c.data)));
        const auto answer =
            output_of("python3 '" CRANKNOTE_SOURCE_DIR "/tests/note/browser.py' test_browser.html");
        std::remove("test_browser.html");
        if (answer.find("no chromium on this machine") != std::string::npos) {
            WARN(answer);
            return;
        }
        CHECK_THAT(answer, Catch::StartsWith("facts {"));  // no complaint stands before the facts
        CHECK_THAT(answer, Contains("\"clips\": 4"));
        CHECK_THAT(answer, Contains("\"scripts ran\": 0"));
        CHECK(answer.find("\"printed pages\": 0") == std::string::npos);
    }
}

TEST_CASE("pdf: text can be searched, fonts are embedded, properties are set", "[note][pdf]") {
    for (const auto paper : {Paper::a4, Paper::letter}) {
        const auto facts = pdf_facts(pdf_of(note_document(example_note()), paper));
        CHECK_THAT(facts.text, Contains("The noise is gone"));
        CHECK_THAT(facts.text, Contains("gone −11.1 dB"));  // inside the figure
        const auto pages = facts.info.substr(facts.info.find("Pages: ") + 7, 1);
        CHECK_THAT(facts.text, Contains("page 1 of " + pages) && Contains("page " + pages + " of " + pages));
        CHECK_THAT(facts.info, Contains("Repair note: Minibus of the rowing club"));
        CHECK_THAT(facts.info, Contains("The mechanic, An invented workshop"));
        CHECK_THAT(facts.info, Contains("2026"));
        CHECK_THAT(facts.info, Contains(paper == Paper::a4 ? "(A4)" : "(letter)"));
        std::istringstream lines(facts.fonts);
        std::string line;
        std::getline(lines, line);
        std::getline(lines, line);
        int fonts = 0;
        for (; std::getline(lines, line); ++fonts)
            CHECK_THAT(line, Contains(" yes yes "));  // embedded, a subset
        CHECK(fonts > 0);
    }
}

TEST_CASE("pdf: the first page alone tells the owner", "[note][pdf]") {
    write_file("test_first.pdf", pdf_of(note_document(example_note())));
    const auto first = read_as(output_of("pdftotext -enc UTF-8 -l 1 test_first.pdf -"));
    std::remove("test_first.pdf");
    for (const auto* words : {"Minibus, five cylinders", "The noise is gone", "it chirps at idle", "Found",
                              "Done", "How sure", "Cautions", "What is not known"})
        CHECK_THAT(first, Contains(words));
}

TEST_CASE("pdf: no heading stands alone at a page's foot, and no line alone on the next page",
          "[note][pdf]") {
    using namespace document;
    Document d;
    d.title = "Pages";
    d.footer = "FOOTER";
    for (int i = 0; i < 80; ++i) {
        d.blocks.emplace_back(Heading{"HEADING " + std::to_string(i), i % 5 == 4});
        std::string text = "START";
        for (int k = 0; k < 13 * (i % 7) + 3; ++k) text += " word" + std::to_string(k);
        d.blocks.emplace_back(Paragraph{text + " END"});
        if (i % 3 == 0) d.blocks.emplace_back(Items{{{"\u2022", text + " END"}}});
        if (i % 4 == 0)
            d.blocks.emplace_back(Table{{{"HEADING of a column", false, 1.0}}, {{"START cell END"}}});
    }
    write_file("test_pages.pdf", pdf_of(d));
    std::istringstream pages(output_of("pdftotext -enc UTF-8 -layout test_pages.pdf -"));
    std::remove("test_pages.pdf");
    int count = 0;
    for (std::string page; std::getline(pages, page, '\f'); ++count) {
        CAPTURE(count, page);
        std::vector<std::string> lines;
        std::istringstream all(page);
        for (std::string line; std::getline(all, line);)
            if (line.find_first_not_of(' ') != std::string::npos) lines.push_back(line);
        REQUIRE(lines.size() > 3);
        CHECK_THAT(lines.back(), Contains("FOOTER"));
        CHECK_THAT(lines[lines.size() - 2], !Contains("HEADING"));
        const bool rest = !Catch::contains(lines[0], "START") && Catch::contains(lines[0], "END");
        CHECK_FALSE(rest);  // the last line of a text that began on the page before
    }
    CHECK(count > 5);
}

TEST_CASE("pdf: the same note gives the same bytes", "[note][pdf]") {
    CHECK(pdf_of(note_document(example_note())) == pdf_of(note_document(example_note())));
}

TEST_CASE("pdf: a hostile job breaks no page", "[note][pdf]") {
    const auto facts = pdf_facts(pdf_of(note_document(hostile())));
    CHECK_THAT(facts.text, Contains("<script>window.ran=1</script>"));
    CHECK_THAT(facts.info, Contains("JavaScript: no"));
    CHECK_THAT(facts.text, Contains("page 1 of"));
}

TEST_CASE("text: lines are as wide as asked for, also from a hostile job", "[note][text]") {
    std::istringstream lines(plain_text_of(note_document(hostile()), 60));
    for (std::string line; std::getline(lines, line);) {
        CHECK(columns_of(line) <= 60);
        CHECK(line.find('\x1b') == std::string::npos);
    }
}

TEST_CASE("csv: quoted, and no formula reaches a spreadsheet", "[note][csv]") {
    CHECK(csv_text("plain") == "plain");
    CHECK(csv_text("a,\"b\"") == "\"a,\"\"b\"\"\"");
    for (const auto* formula : {"=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0"}) {
        CAPTURE(formula);
        CHECK_THAT(csv_text(formula), Catch::StartsWith("\"'"));
    }
    auto d = example_note();
    d.guilty[0].cause = "=HYPERLINK(\"x\")";
    write_file("test_note.csv", csv_of(d));
    const auto read = output_of(
        "python3 -c \"import "
        "csv;rows=list(csv.reader(open('test_note.csv',encoding='utf-8-sig',newline='')));"
        "print({len(r) for r in rows},[r for r in rows if r[0]=='suspect'][0],[r for r in rows if "
        "r[2]=='change'][0])\"");
    std::remove("test_note.csv");
    CHECK_THAT(read, Contains("{7}"));
    CHECK_THAT(read, Contains("'=HYPERLINK"));
    CHECK_THAT(read, Contains("'0.8123'"));
    CHECK_THAT(read, Contains("['finding', 'f1', 'change', '-11.1', '-13.4', '-8.7', 'dB']"));
}

TEST_CASE("json: the note's numbers are those of the comparison's JSON", "[note][json]") {
    const auto d = example_note();
    const auto json = note_json(d);
    CHECK(json["comparison"] == to_json(*d.comparison, d.guilty, d.conclusion));
    CHECK(json["complaints"][0]["by_state"][2]["interval_db"] == Json::array({nullptr, -54.0}));
    CHECK(json["repair"]["left_at_most_db"] == -12.6);
    CHECK(json["readings"][3]["value"].is_null());
    CHECK(json["complaint"] == d.complaint);
    CHECK(json["done"] == Json(d.done));
    CHECK(json["worked_on"] == Json(d.worked_on));
    CHECK(json["saw"][1] == Json{{"on", "alternator"}, {"text", "bearing turns freely"}, {"for", false}});
    // The text shows the same digits.
    const auto text = plain_text_of(note_document(d));
    const double change = json["comparison"]["findings"][0]["change_db"].get<double>();
    CHECK_THAT(text, Contains(change_text(Decibel{change})));
}

TEST_CASE("json: a job's verdict as the contract has it", "[note][json]") {
    const auto d = example_note();
    JobVerdict v;
    v.complaints = d.complaints;
    v.guilty = d.guilty;
    v.conclusion = Conclusion::named;
    v.repair = d.repair;
    v.stop = {true, "One cause is probable enough to be repaired."};
    Step step;
    step.kind = StepKind::look;
    step.name = "look at the upper timing cover";
    step.near = "upper timing cover";
    step.minutes = 3.0;
    step.expected_bits = 0.123456;
    step.bits_per_minute = 0.0411519;
    v.next_steps = {step};
    std::vector<State> states;
    for (const auto& s : d.states) states.push_back(s.state);
    auto json = suspects_json("minibus", states, v, {});
    const auto valid = [](const Json& j) {
        write_file("test_suspects.json", text_of(j));
        const auto complaint =
            output_of("python3 '" CRANKNOTE_SOURCE_DIR "/tests/note/validate.py' '" CRANKNOTE_SOURCE_DIR
                      "/tests/schema/suspects.json' test_suspects.json");
        std::remove("test_suspects.json");
        return complaint;
    };
    CHECK(valid(json) == "");
    v.repair.reset();
    CHECK(valid(suspects_json("minibus", states, v, {})) == "");
    json["next_steps"][0]["kind"] = "guess";
    CHECK(valid(json) != "");
}

TEST_CASE("save: whole, and never over another note unless told", "[note][save]") {
    const std::filesystem::path folder = "test_save", file = folder / "note.html";
    std::filesystem::remove_all(folder);
    std::filesystem::create_directory(folder);
    save_note(file, "first");
    CHECK_THROWS_WITH(save_note(file, "second"), Contains("is there already"));
    CHECK(output_of("cat test_save/note.html") == "first");
    save_note(file, "second", Existing::replace);
    CHECK(output_of("cat test_save/note.html") == "second");
    std::filesystem::create_symlink("nowhere", folder / "link.html");
    CHECK_THROWS(save_note(folder / "link.html", "x"));  // a dangling link is a name in use
    CHECK_THROWS_AS(save_note(folder / "no" / "such.html", "x"), Error);
    CHECK(output_of("ls -A test_save") == "link.html\nnote.html\n");  // nothing half-made is left
    std::filesystem::remove_all(folder);
}

TEST_CASE("card: one page, with the engine's names to tick", "[note][card]") {
    const auto card = pdf_facts(pdf_of(recording_card()));
    CHECK_THAT(card.info, Contains("Pages: 1"));
    CHECK_THAT(card.text, Contains("Where the phone goes"));
    for (const auto paper : {Paper::a4, Paper::letter})
        CHECK_THAT(pdf_facts(pdf_of(recording_card(), paper)).info, Contains("Pages: 1"));
    const auto layout = pdf_facts(pdf_of(layout_card(example_layout())));
    for (const auto* name :
         {"alternator belt off", "upper timing cover off", "steering pump", "timing tensioner", "50"})
        CHECK_THAT(layout.text, Contains(name));
}
