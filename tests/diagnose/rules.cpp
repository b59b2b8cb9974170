// The trade's decision rules, as tests. All of them are common practice unless another source is named.
#include <numeric>

#include "diagnose/engine.hpp"
#include "diagnose/job.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

/// A job with one marked complaint and what came of it in each state after as found.
struct Told {
    State state;
    Verdict verdict;
};

JobVerdict judged(const Layout& layout, const Finding& finding, const std::vector<Told>& told,
                  const Hands& hands = {}) {
    JobEvidence job;
    job.hands = hands;
    job.states = {state("as found")};
    TrackedComplaint c;
    c.finding = finding;
    c.finding.verdict = Verdict::there;
    c.marked = true;
    c.by_state = {{"as found", Decibel{-40.0}, {Decibel{-41.0}, Decibel{-39.0}}, Verdict::there}};
    for (const auto& t : told) {
        job.states.push_back(t.state);
        c.by_state.push_back({t.state.name, std::nullopt, {}, t.verdict});
    }
    job.complaints = {c};
    return suspects_of_job(layout, job);
}

/// A steady noise of no particular ratio: only the states speak.
Finding plain(Character c = Character::scrape) {
    auto f = changed(c, Verdict::there, 1500, 4000);
    return f;
}

/// Probability that the guilty thing hangs on this drive (the drive or what it alone turns), if it is on the
/// list at all.
double on_drive(const Layout& layout, const std::vector<Suspect>& suspects, const std::string& drive) {
    const auto still = still_when_off(layout, {drive});
    double p = 0.0;
    for (const auto& s : suspects)
        if (s.part && (*s.part == drive || still.contains(*s.part))) p += s.probability;
    double listed = 0.0;
    for (const auto& s : suspects) listed += s.kind == CauseKind::other ? 0.0 : s.probability;
    return p / listed;
}

double of_kind(const std::vector<Suspect>& suspects, CauseKind kind) {
    double p = 0.0;
    for (const auto& s : suspects)
        if (s.kind == kind) p += s.probability;
    return p;
}

}  // namespace

TEST_CASE("rule: belt off and the noise is gone, so it is the belt or what it drives") {
    const auto layout = engine();
    const auto before = judged(layout, plain(), {});
    const auto v = judged(layout, plain(), {{state("belt off", {"alternator belt off"}), Verdict::gone}});
    const double was = on_drive(layout, before.complaints[0].suspects, "alternator belt");
    const double is = on_drive(layout, v.complaints[0].suspects, "alternator belt");
    CHECK(was < .5);
    CHECK(is > .85);
}

TEST_CASE("rule: belt off and the noise stays, so it is the engine, the timing drive or the frame") {
    const auto layout = engine();
    const auto v = judged(layout, plain(), {{state("belt off", {"alternator belt off"}), Verdict::there}});
    CHECK(on_drive(layout, v.complaints[0].suspects, "alternator belt") < .06);
}

TEST_CASE("rule: cannot tell counts neither for nor against") {
    const auto layout = engine();
    const auto before = judged(layout, plain(), {});
    const auto v =
        judged(layout, plain(), {{state("belt off", {"alternator belt off"}), Verdict::cannot_tell}});
    for (const auto& s : before.complaints[0].suspects)
        CHECK_THAT(probability(v.complaints[0].suspects, s.cause),
                   within(s.probability, 1e-12, "no evidence at all: the same computation"));
}

TEST_CASE("rule: mist silences a chirp, not a slip squeal (a maker's service manual, 1998)") {
    const auto layout = engine();
    const auto dry = judged(layout, plain(Character::tick), {});
    const auto quiet = judged(layout, plain(Character::tick), {{state("mist", {}, {"mist"}), Verdict::gone}});
    const auto louder =
        judged(layout, plain(Character::tone), {{state("mist", {}, {"mist"}), Verdict::stronger}});
    const auto dry_tone = judged(layout, plain(Character::tone), {});
    const auto of = [](const JobVerdict& v, CauseKind k) { return of_kind(v.complaints[0].suspects, k); };
    CHECK(of(quiet, CauseKind::misalignment) > 3.0 * of(dry, CauseKind::misalignment));
    CHECK(of(quiet, CauseKind::misalignment) > 5.0 * of(quiet, CauseKind::slip));
    CHECK(of(louder, CauseKind::slip) > 2.0 * of(dry_tone, CauseKind::slip));
    CHECK(of(louder, CauseKind::slip) > of(louder, CauseKind::misalignment));
}

TEST_CASE("rule: a plug lead off changes a knock, so it is that cylinder's (US Army OD1001)") {
    const auto layout = engine();
    auto f = changed(Character::tick, Verdict::there, 600, 1200);
    f.beat_ratio = Ratio{1.0};
    const auto changes =
        judged(layout, f, {{state("cut", {}, {"cylinder-cut"}), Verdict::weaker}}).complaints[0].suspects;
    const auto stays =
        judged(layout, f, {{state("cut", {}, {"cylinder-cut"}), Verdict::there}}).complaints[0].suspects;
    CHECK(of_kind(changes, CauseKind::knock) > 2.0 * of_kind(stays, CauseKind::knock));
    CHECK(changes.front().kind == CauseKind::knock);
}

TEST_CASE("rule: lock, lamps and air conditioning single out pump and alternator without tools") {
    const auto layout = engine();
    auto f = changed(Character::tone, Verdict::there, 140, 180);
    const auto lock =
        judged(layout, f, {{state("lock", {}, {"lock"}), Verdict::stronger}}).complaints[0].suspects;
    CHECK(on_drive(layout, lock, "steering belt") > .5);
    const auto lamps =
        judged(layout, f, {{state("lamps", {}, {"lamps-on"}), Verdict::stronger}}).complaints[0].suspects;
    CHECK(on_drive(layout, lamps, "alternator belt") > .4);
}

TEST_CASE(
    "rule: a noise that goes when a cover comes off is a contact of that cover; the beat says with what") {
    const auto layout = engine();
    auto f = plain();
    const std::vector<Told> off{{state("cover off", {"upper timing cover off"}), Verdict::gone}};
    f.beat_ratio = Ratio{.5};
    const auto cam = judged(layout, f, off);
    CHECK(cam.complaints[0].suspects.front().cause == "upper timing cover touches the cam wheel");
    f.beat_ratio = Ratio{20.0 / 113};
    const auto belt = judged(layout, f, off);
    CHECK(belt.complaints[0].suspects.front().cause == "upper timing cover touches the timing belt");
    CHECK(belt.conclusion == Conclusion::named);
}

TEST_CASE("rule: what comes back on refitting is confirmed, what does not was cured by the touching") {
    const auto layout = engine();
    const State off = state("belt off", {"alternator belt off"}), on = state("belt back on");
    const auto p = [&](const std::vector<Told>& told) {
        return on_drive(layout, judged(layout, plain(), told).complaints[0].suspects, "alternator belt");
    };
    const double once = p({{off, Verdict::gone}});
    const double confirmed = p({{off, Verdict::gone}, {on, Verdict::there}});
    const double cured = p({{off, Verdict::gone}, {on, Verdict::gone}});
    CHECK(cured > .85);      // it still points at what was touched
    CHECK(confirmed > .85);  // and so does what came back
    CHECK(confirmed > once - .05);
    const auto v = judged(layout, plain(), {{off, Verdict::gone}, {on, Verdict::gone}});
    const auto& said = v.complaints[0].suspects.front().evidence_for;
    CHECK(std::any_of(said.begin(), said.end(), [](const std::string& s) {
        return s.find("cured by the touching") != std::string::npos;
    }));
}

TEST_CASE("rule: what was worked on before the noise is the strongest prior") {
    const auto layout = engine();
    Hands hands;
    hands.worked_on = {"timing tensioner"};
    const auto with = judged(layout, plain(), {}, hands), without = judged(layout, plain(), {});
    const auto bearing = std::string("timing tensioner bearing");
    CHECK(probability(with.complaints[0].suspects, bearing) >
          3.0 * probability(without.complaints[0].suspects, bearing));
}

TEST_CASE("rule: eyes and hands count, for and against") {
    const auto layout = engine();
    auto f = plain();
    f.beat_ratio = Ratio{1.0};
    const std::string rub = "lower timing cover touches the crank pulley";
    const auto blind = probability(judged(layout, f, {}).complaints[0].suspects, rub);
    Hands seen, unseen;
    seen.saw = {{"a shiny mark", "lower timing cover", true}};
    unseen.saw = {{"no mark, dust lies even", "lower timing cover", false}};
    CHECK(probability(judged(layout, f, {}, seen).complaints[0].suspects, rub) > blind);
    CHECK(probability(judged(layout, f, {}, unseen).complaints[0].suspects, rub) < blind);
}

TEST_CASE("rule: the probe that is loudest ranks the place") {
    const auto layout = engine();
    Hands hands;
    hands.probes = {
        {"alternator", Decibel{-30}}, {"water pump", Decibel{-42}}, {"steering pump", Decibel{-44}}};
    const auto probed = judged(layout, plain(), {}, hands).complaints[0].suspects;
    const auto blind = judged(layout, plain(), {}).complaints[0].suspects;
    CHECK(probability(probed, "alternator bearing") > 1.5 * probability(blind, "alternator bearing"));
    CHECK(probability(probed, "water pump bearing") < probability(blind, "water pump bearing"));
}

TEST_CASE("rule: under a run-up what is tied to the crank moves, the rest keeps its pitch") {
    const auto layout = engine();
    auto tied = changed(Character::tone, Verdict::there, 265, 280);
    tied.ratio = Ratio{20.0};
    tied.follows = Follows::crank;
    CHECK(judged(layout, tied, {}).complaints[0].suspects.front().kind == CauseKind::mesh);
    auto fixed = tied;
    fixed.ratio.reset();
    fixed.follows = Follows::fixed;
    CHECK(of_kind(judged(layout, fixed, {}).complaints[0].suspects, CauseKind::mesh) < .1);
}

TEST_CASE("a state that a never-part makes deadly is refused with the reason") {
    const auto layout = engine();
    CHECK_THROWS_AS(judged(layout, plain(), {{state("x", {"timing belt off"}), Verdict::gone}}), Error);
    try {
        refuse_deadly(layout, {"timing belt"});
        FAIL("must throw");
    } catch (const Error& e) {
        CHECK(e.kind == Error::Kind::wrong_call);
        CHECK(e.advice.size() > 10);
    }
}

TEST_CASE("no probability is shown as certainty, and each complaint's sum to one") {
    const auto layout = engine();
    auto f = plain();
    f.beat_ratio = Ratio{20.0 / 113};
    f.beat_error = .001;
    std::vector<Told> told{{state("belt off", {"alternator belt off"}), Verdict::there},
                           {state("cover off", {"upper timing cover off"}), Verdict::gone},
                           {state("cover on"), Verdict::there}};
    const auto v = judged(layout, f, told);
    CHECK(v.complaints[0].suspects.front().probability <= .99);
    CHECK(v.complaints[0].suspects.front().probability > .9);
    CHECK_THAT(sum_of(v.complaints[0].suspects),
               within(1.0, .05, "suspects below half a percent are left out of the list"));
}
