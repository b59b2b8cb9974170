// A whole job as a note: what people typed and what was computed stand where a reader looks for them.
#include "note/job_note.hpp"

#include <catch2/catch.hpp>

#include "example/example.hpp"
#include "figure/utf8.hpp"
#include "note/plain_text.hpp"
#include "read_as.hpp"

using namespace cranknote;
using namespace cranknote::test;
using Catch::Contains;

namespace {

job::Recording recording(const std::string& id, const std::string& file, const std::string& state) {
    job::Recording r;
    r.id = id;
    r.file = "recordings/" + file;
    r.sha256 = std::string(64, id.back());
    r.state = state;
    return r;
}

job::Job example_job() {
    job::Job j;
    j.title = "Chirps and scrapes at idle";
    j.vehicle = "Minibus, five cylinders";
    j.mileage = "212 400 km";
    j.who = "The mechanic";
    j.when = job::moment_from("2026-03-01T09:30:00Z");
    j.worked_on = {"alternator"};
    j.states = {{"as found", {}, {}, false, "", ""},
                {"upper timing cover off", {"upper timing cover off"}, {}, false, "", ""},
                {"repaired", {}, {}, true, "upper timing cover", ""}};
    j.recordings = {recording("r1", "as-found.m4a", "as found"), recording("r2", "again.m4a", "as found"),
                    recording("r3", "cover-off.mp4", "upper timing cover off"),
                    recording("r4", "repaired.m4a", "repaired")};
    j.recordings[0].coolant = job::Celsius{82.0};
    j.recordings[0].weather = "dry, 12 °C";
    j.recordings[0].loads = {"headlamps"};
    j.recordings[1].coolant = job::Warmth::cold;
    j.recordings[1].since_start = Seconds{20.0};
    job::Complaint c;
    c.id = 1;
    c.comes = job::Comes::sometimes;
    c.when = {"cold", "wet"};
    j.complaints = {c};
    j.readings = {{"Belt deflection", 12.0, "mm", 8.0, 2.0, "r1", {}, ""}};
    return j;
}

JobResult example_result(const job::Job& job) {
    JobResult r;
    r.evidence.layout = example_layout();
    for (const auto& s : job.states) {
        State state;
        state.name = s.name;
        state.off = s.off;
        state.repaired = s.repaired;
        state.repaired_what = s.repaired_what;
        r.evidence.states.push_back(state);
    }
    const std::size_t of_state[] = {0, 0, 1, 2};
    for (std::size_t i = 0; i < job.recordings.size(); ++i) {
        job::EvidenceRecording e;
        e.id = job.recordings[i].id;
        e.file = "/somewhere/job/" + job.recordings[i].file;
        e.state = of_state[i];
        r.evidence.recordings.push_back(e);
        r.recordings.push_back({example_recording(e.file.string(), 810.0 + static_cast<double>(i)), ""});
    }
    r.evidence.saw = {{"shiny line along the inside edge", "upper timing cover", true, {}, ""}};
    r.pairs = {{1, false, 0.07, example_comparison()}, {2, false, 0.07, example_comparison()}};
    const auto note = example_note();
    r.verdict.complaints = note.complaints;
    r.verdict.complaints[0].by_state.erase(r.verdict.complaints[0].by_state.begin() + 1);
    r.verdict.guilty = note.guilty;
    r.verdict.conclusion = Conclusion::named;
    r.verdict.repair = note.repair;
    r.repair = example_comparison();
    r.verdict.stop = {true, "The complaint is gone after the repair."};
    return r;
}

std::string text_of_job(const job::Job& job, const JobResult& result, const NoteWords& words = {}) {
    return read_as(plain_text_of(note_document(note_of_job(job, result, words))));
}

}  // namespace

TEST_CASE("job note: what was typed and what was computed", "[note][job]") {
    const auto job = example_job();
    const auto text = text_of_job(job, example_result(job));
    for (const auto* words :
         {"Chirps and scrapes at idle", "Vehicle: Minibus, five cylinders", "Mileage: 212 400 km",
          "By: The mechanic", "The noise is gone", "Done: Upper timing cover set right",
          "a false-discovery rate of 7 %", "It comes and goes. It comes cold and wet.",
          "coolant 82 °C, on: headlamps, dry, 12 °C, cold, 20", "Worked on before: alternator",
          "as found against", "As found against upper timing cover off", "As found against repaired",
          "Belt deflection: 12 mm; Target 8 ± 2 mm: out; as found", "shiny line along the inside edge",
          "Upper timing cover off: The toothed belt is open", "as-found.m4a: SHA-256",
          "How much two recordings of one state differ here: no repeat"})
        CHECK_THAT(text, Contains(words, Catch::CaseSensitive::No));
    CHECK(text.find("/somewhere") == std::string::npos);  // where the job lies is nobody's business
    CHECK(text.find("A probability is no proof") == std::string::npos);  // it was repaired and is gone
}

TEST_CASE("job note: the mechanic's words win over derived ones", "[note][job]") {
    const auto job = example_job();
    NoteWords words;
    words.complaint = "It chirps.";
    words.done = {"cover spaced", "belt lined up"};
    words.shop = "An invented workshop";
    const auto text = text_of_job(job, example_result(job), words);
    CHECK_THAT(text, Contains("It chirps. It comes and goes."));
    CHECK_THAT(text, Contains("Done: Cover spaced; belt lined up"));
    CHECK(text.find("set right") == std::string::npos);
}

TEST_CASE("job note: an open job says what is not known and what to do next", "[note][job]") {
    auto job = example_job();
    auto result = example_result(job);
    result.verdict.repair.reset();
    result.verdict.conclusion = Conclusion::tie;
    auto& complaint = result.verdict.complaints[0];
    complaint.conclusion = Conclusion::tie;
    complaint.suspects[0].tied_with = {complaint.suspects[1].cause};
    complaint.suspects[0].separated_by = "the check lock";
    result.verdict.complaints[0].by_state[1].verdict = Verdict::cannot_tell;
    result.verdict.stop = {false, "Two causes are left."};
    Step step;
    step.kind = StepKind::look;
    step.name = "look at the upper timing cover";
    step.minutes = 3.0;
    step.cautions = {"Engine off."};
    result.verdict.next_steps = {step};
    result.recordings[3] = {std::nullopt, "it breaks off at once"};
    result.remarks = {"again.m4a was left out."};
    const auto text = text_of_job(job, result);
    for (const auto* words :
         {"More than one cause fits equally well", "Two causes are left.",
          "Look at the upper timing cover: 3 min. Engine off.", "Whether the noise was there in",
          "Which of these it is: upper timing cover touches the timing belt and alternator belt runs out of "
          "line. What would tell: steering on full lock.",
          "One of these, which cannot be told apart: upper timing cover touches the timing belt (81 %) and",
          "Whether a repair helps: nothing was recorded after one",
          "What repaired.m4a would have said: it breaks off at once", "again.m4a was left out."})
        CHECK_THAT(text, Contains(words));
}

TEST_CASE("job note: the pull that took the noise away is shown, and the repair is heard", "[note][job]") {
    const auto job = example_job();
    auto result = example_result(job);
    REQUIRE(telling_pair(result));
    CHECK(*telling_pair(result) == 0);  // the cover off, though it is gone after the repair as well
    const auto listening = listening_of(result);
    REQUIRE(listening);
    CHECK(listening->after == 3);
    CHECK(listening->after_state == "repaired");
    REQUIRE(listening->bands.size() == result.verdict.complaints.size());
    CHECK(listening->bands.front().first == Hertz{1900.0});
    result.verdict.complaints[0].by_state[1].verdict = Verdict::there;
    result.verdict.complaints[0].by_state[1].level = Decibel{-41.0};
    CHECK(*telling_pair(result) == 1);  // only the repair made a difference
    result.pairs.clear();
    CHECK_FALSE(telling_pair(result));
    CHECK_FALSE(listening_of(result));
    CHECK_THAT(text_of_job(job, result), Contains("The noise is gone"));  // and still there is a note
}
