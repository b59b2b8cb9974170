#include "example/example.hpp"

#include <algorithm>
#include <cmath>
#include <random>

namespace cranknote::test {

namespace {

/// A bump of `height` dB around `at`, `width` octaves wide.
double bump(double x, double at, double width, double height) {
    const double d = std::log2(x / at) / width;
    return height * std::exp(-d * d);
}

/// An idling engine's level over ratio: firing lines of a five-cylinder over a falling floor.
double healthy(double ratio) {
    double level = -38.0 - 9.0 * std::log10(1.0 + ratio / 4.0);
    for (int k = 1; k < 40; ++k) level += bump(ratio, 2.5 * k, 0.012, 16.0 / std::sqrt(k));
    return level + bump(ratio, 22.0, 0.01, 9.0) + bump(ratio, 44.0, 0.01, 7.0);
}

Curve curve(double from, double to, std::size_t count, double per_ratio, std::uint32_t seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> wander(0.0, 0.8);
    Curve c;
    for (std::size_t i = 0; i < count; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(count - 1);
        const double x = from * std::pow(to / from, share), ratio = x / per_ratio;
        const double gone = bump(ratio, 190.0, 0.45, 11.0) + bump(ratio, 21.2, 0.012, 13.0);
        const double change = -gone + bump(ratio, 7.0, 0.2, 0.8) + bump(ratio, 600.0, 0.35, 7.0);
        const double half = 2.0 + 1.2 / std::sqrt(1.0 + share * 8.0) + 0.4 * std::sin(9.0 * share);
        c.x.push_back(x);
        c.a.push_back(static_cast<float>(healthy(ratio) + gone + wander(random)));
        c.b.push_back(static_cast<float>(healthy(ratio) + gone + change + wander(random)));
        c.change.push_back(static_cast<float>(change + 0.3 * std::sin(40.0 * share)));
        c.low.push_back(c.change.back() - static_cast<float>(half));
        c.high.push_back(c.change.back() + static_cast<float>(half));
    }
    return c;
}

Finding scrape_gone() {
    Finding f;
    f.id = "f1";
    f.axis = Axis::hz;
    f.low = Hertz{1900.0};
    f.high = Hertz{3480.0};
    f.beat_ratio = Ratio{0.5};
    f.a = Decibel{-41.23};
    f.b = Decibel{-52.31};
    f.change = Decibel{-11.08};
    f.interval = {Decibel{-13.44}, Decibel{-8.71}};
    f.q = 0.000123456;
    f.flagged = true;
    f.verdict = Verdict::gone;
    f.presence = {1.0, 0.03};
    f.character = Character::scrape;
    f.beat_follows = Follows::crank;
    f.prominence = 10.2;
    f.explained_by = {{"upper timing cover touches the timing belt", "timing belt", "cam wheel turn",
                       Ratio{0.5}, 0.002, 0.97},
                      {"valve tick", "valve train", "once per cycle", Ratio{0.5}, 0.001, 0.95}};
    return f;
}

Finding tone_gone() {
    Finding f;
    f.id = "f2";
    f.axis = Axis::ratio;
    f.low = Hertz{284.1};
    f.high = Hertz{288.0};
    f.ratio = Ratio{21.204};
    f.a = Decibel{-46.0};
    f.b = Decibel{-59.1};
    f.change = Decibel{-13.1};
    f.interval = {Decibel{-16.0}, Decibel{-10.2}};
    f.q = 0.0021;
    f.flagged = true;
    f.verdict = Verdict::gone;
    f.character = Character::tone;
    f.follows = Follows::crank;
    f.expected = "it went silent with the alternator belt";
    f.explained_by = {{"alternator hums", "alternator", "electrical, 6th", Ratio{21.3}, 0.018, 0.8}};
    return f;
}

Finding hiss_new() {
    Finding f;
    f.id = "f3";
    f.low = Hertz{7000.0};
    f.high = Hertz{9500.0};
    f.a = Decibel{-66.0};
    f.b = Decibel{-59.0};
    f.change = Decibel{7.0};
    f.interval = {Decibel{3.9}, Decibel{10.1}};
    f.q = 0.031;
    f.flagged = true;
    f.verdict = Verdict::fresh;
    f.character = Character::hiss;
    f.follows = Follows::fixed;
    return f;
}

Finding chirp_there() {
    Finding f;
    f.id = "f4";
    f.low = Hertz{3900.0};
    f.high = Hertz{5100.0};
    f.beat_ratio = Ratio{0.291};
    f.a = Decibel{-50.0};
    f.b = Decibel{-50.4};
    f.change = Decibel{-0.4};
    f.interval = {Decibel{-3.1}, Decibel{2.2}};
    f.q = 0.71;
    f.verdict = Verdict::there;
    f.character = Character::tick;
    f.presence = {0.8, 0.77};
    f.explained_by = {
        {"alternator belt runs out of line", "alternator belt", "belt turn", Ratio{0.2914}, 0.01, 0.96}};
    return f;
}

}  // namespace

RecordingSummary example_recording(const std::string& file, double rpm) {
    RecordingSummary r;
    r.file = file;
    r.duration = Seconds{14.2};
    r.used = {Seconds{1.1}, Seconds{13.1}};
    r.rate = SampleRate{48000.0};
    r.speed.mean = Rpm{rpm};
    r.speed.interval = {Rpm{rpm - 0.6}, Rpm{rpm + 0.6}};
    r.speed.low = Rpm{rpm * 0.985};
    r.speed.high = Rpm{rpm * 1.014};
    r.speed.confidence = 0.987;
    r.speed.alternatives = {{Rpm{rpm * 2.0}, 0.011}};
    for (int i = 0; i <= 120; ++i) {
        const double t = 1.1 + 0.1 * i;
        r.speed.track.at.push_back(Seconds{t});
        r.speed.track.rpm.push_back(
            Rpm{rpm * (1.0 + 0.009 * std::sin(0.9 * t) + 0.005 * std::sin(2.3 * t + 1.0))});
    }
    r.quality = {{QualityCode::low_cut, Severity::note,
                  "The phone hears little below 100 Hz: the firing itself is cut off.", Hertz{100.0}}};
    return r;
}

Comparison example_comparison() {
    Comparison c;
    c.a = {example_recording("as-found.m4a", 812.3)};
    c.b = {example_recording("cover-off.mp4", 806.9)};
    c.comparable.hz = {Hertz{60.0}, Hertz{15500.0}};
    c.comparable.ratio = {Ratio{4.4}, Ratio{1150.0}};
    c.comparable.why = {"Nothing above 15.50 kHz: the codec of as-found.m4a ends there."};
    c.level_offset = Decibel{-1.74};
    c.spread = {false, Decibel{2.5}, Decibel{6.2}};
    c.findings = {scrape_gone(), tone_gone(), hiss_new(), chirp_there()};
    c.remarks = {"Without a repeat, a steady broadband change under 6 dB would not be seen."};
    c.over_ratio = curve(0.5, 1150.0, 2400, 1.0, 1);
    c.over_hz = curve(60.0, 15500.0, 1600, 13.5, 2);
    return c;
}

std::vector<Suspect> example_suspects() {
    Suspect edge, belt, other;
    edge.cause = "upper timing cover touches the timing belt";
    edge.part = "timing belt";
    edge.also = {"upper timing cover"};
    edge.kind = CauseKind::edge;
    edge.probability = 0.81234567;
    edge.evidence_for = {"It scrapes once per cam turn (0.50×).",
                         "It went when the upper timing cover came off."};
    edge.evidence_against = {"A valve would tick at the same rate."};
    belt.cause = "alternator belt runs out of line";
    belt.part = "alternator belt";
    belt.kind = CauseKind::misalignment;
    belt.probability = 0.11;
    belt.evidence_for = {"A chirp comes once per belt turn (0.29×)."};
    belt.tied_with = {"alternator belt slips"};
    other.cause = "something else";
    other.probability = 0.0777;
    return {edge, belt, other};
}

Layout example_layout() {
    return parse_layout(R"(
schema = 1
name = "Five in line, invented"
[engine]
cylinders = 5
firing_order = [1, 2, 4, 5, 3]
[[drive]]
name = "timing belt"
kind = "toothed"
driver = "crank sprocket"
pitch_mm = 9.525
teeth = 121
route = ["crank sprocket", "cam wheel", "timing tensioner"]
[[drive]]
name = "alternator belt"
kind = "ribbed"
driver = "crank pulley"
belt = "6PK1538"
route = ["crank pulley", "alternator", "steering pump"]
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
diameter_mm = 150
at_mm = [0, 0]
[[part]]
name = "crank sprocket"
kind = "crank sprocket"
turns_with = "crank"
teeth = 22
at_mm = [0, 0]
[[part]]
name = "cam wheel"
kind = "cam wheel"
drive = "timing belt"
teeth = 44
at_mm = [10, 370]
[[part]]
name = "timing tensioner"
kind = "tensioner"
drive = "timing belt"
diameter_mm = 60
back_side = true
at_mm = [-64, 190]
[[part]]
name = "alternator"
kind = "alternator"
drive = "alternator belt"
turns = [10, 26]
at_mm = [210, 130]
[[part]]
name = "steering pump"
kind = "steering pump"
drive = "alternator belt"
diameter_mm = 130
at_mm = [-190, 150]
[[cover]]
name = "upper timing cover"
can_touch = ["cam wheel", "timing belt"]
[[cover]]
name = "lower timing cover"
can_touch = ["crank pulley", "timing belt"]
[[pull]]
name = "alternator belt off"
off = ["alternator belt"]
minutes = 10
cautions = ["No charging and no steering help while it is off."]
[[pull]]
name = "upper timing cover off"
off = ["upper timing cover"]
minutes = 25
cautions = ["The toothed belt is open: keep hands, sleeves and leads away."]
)",
                        "example");
}

namespace {

NoteState example_state(const std::string& name, std::vector<std::string> off, const std::string& file,
                        double rpm) {
    NoteState s;
    s.state.name = name;
    s.state.off = std::move(off);
    s.recordings = {example_recording(file, rpm)};
    s.conditions = "warm";
    return s;
}

/// A second of a scrape that swells, or of a hum.
std::vector<float> example_sound(bool scrape) {
    std::mt19937 random(5);
    std::normal_distribution<float> noise(0.0f, 0.05f);
    std::vector<float> x(48000);
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double t = static_cast<double>(i) / 48000.0;
        x[i] = 0.2f * static_cast<float>(std::sin(2.0 * 3.14159265 * 68.0 * t));
        if (scrape) x[i] += noise(random) * static_cast<float>(1.0 + std::sin(2.0 * 3.14159265 * 6.75 * t));
    }
    return x;
}

}  // namespace

NoteData example_note() {
    auto d = note_of_pair(example_comparison(), example_suspects(), Conclusion::named, nullptr, {}, {});
    d.kind.clear();
    d.side_a = "as found";
    d.side_b = "upper timing cover off";
    d.title = "Minibus of the rowing club: chirps and scrapes at idle";
    d.facts = {{"Vehicle", "Minibus, five cylinders"},
               {"Registration", "XX 123"},
               {"Mileage", "212 400 km"},
               {"Owner", "The rowing club"}};
    d.shop = "An invented workshop";
    d.by = "The mechanic";
    d.date = "1 March 2026";
    d.created = "2026-03-01T10:30:00Z";
    d.complaint = "Came back two days after the new alternator: it chirps at idle and something scrapes.";
    d.conditions = "warm, dry, lamps off";
    d.worked_on = {"alternator", "alternator belt"};
    d.layout = example_layout();
    d.readings = {{"Idle speed", 812.0, "rpm", 820.0, 50.0, "as found"},
                  {"Belt deflection", 12.0, "mm", 8.0, 2.0, "as found"},
                  {"Coolant", 88.0, "°C", {}, {}, "as found"},
                  {"Ignition timing", {}, "°", 6.0, 2.0, ""}};
    d.states = {example_state("as found", {}, "as-found.m4a", 812.3),
                example_state("alternator belt off", {"alternator belt off"}, "belt-off.wav", 838.0),
                example_state("upper timing cover off", {"upper timing cover off"}, "cover-off.mp4", 806.9),
                example_state("repaired", {}, "repaired.m4a", 815.2)};
    d.states[1].state.still = {"alternator belt", "alternator", "steering pump"};
    d.states[3].state.repaired = true;
    d.states[3].state.repaired_what = "upper timing cover";
    ComplaintVerdict c;
    c.finding = d.comparison->findings.front();
    c.suspects = example_suspects();
    c.conclusion = Conclusion::named;
    c.by_state = {{"as found", Decibel{-41.2}, {Decibel{-43.5}, Decibel{-39.0}}, Verdict::there},
                  {"alternator belt off", Decibel{-43.0}, {Decibel{-45.5}, Decibel{-40.4}}, Verdict::there},
                  {"upper timing cover off", Decibel{-56.0}, {std::nullopt, Decibel{-54.0}}, Verdict::gone},
                  {"repaired", Decibel{-57.0}, {std::nullopt, Decibel{-55.0}}, Verdict::gone}};
    d.complaints = {c};
    d.saw = {{"shiny line along the inside edge", "upper timing cover", true},
             {"bearing turns freely", "alternator", false}};
    d.done = {"upper timing cover spaced and refitted", "alternator belt lined up"};
    RepairVerdict r;
    r.state = "repaired";
    r.verdict = RepairOutcome::gone;
    r.left_at_most = Decibel{-12.6};
    d.repair = r;
    d.not_known = {"How it sounds in the wet: it was dry on the day."};
    d.cautions = {"The toothed belt is open with the cover off: keep hands, sleeves and leads away."};
    const auto scrape = example_sound(true), hum = example_sound(false);
    d.clips = clips_of({scrape, SampleRate{48000.0}, "As found"}, {hum, SampleRate{48000.0}, "Repaired"},
                       {std::pair{Hertz{1900.0}, Hertz{3480.0}}}, Decibel{0.0});
    d.settings = {"Speeds from the sound, checked against the gauge."};
    d.sources = {{"as-found.m4a", std::string(64, 'a')}, {"cover-off.mp4", std::string(64, 'b')}};
    d.program = "cranknote 0.1.0";
    d.invented = true;
    return d;
}

}  // namespace cranknote::test
