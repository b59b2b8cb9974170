// Whole elimination jobs, next steps, repair and stop.
#include <iostream>

#include "diagnose/engine.hpp"
#include "diagnose/synthetic.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

std::vector<State> elimination(const Layout& layout, const std::vector<Cause>& guilty) {
    std::vector<State> states{state("as found")};
    for (const auto& p : layout.pulls) {
        auto s = states.back();
        for (const auto& r : p.requires_)
            if (std::find(s.off.begin(), s.off.end(), r) == s.off.end()) s.off.push_back(r);
        s.off.push_back(p.name);
        s.name = p.name;
        if (run_limit(layout, s.off).run == RunWithout::never || states.size() >= 5) continue;
        states.push_back(s);
    }
    for (const auto& g : guilty) {
        auto s = state("set right: " + g.text);
        s.repaired = true;
        s.repaired_what = g.part.value_or("");
        states.push_back(s);
    }
    return states;
}

TrackedComplaint tracked(Synthetic& s, const Layout& layout, const Cause& guilty,
                         const std::vector<State>& states, int id) {
    TrackedComplaint c;
    c.id = id;
    const auto as_found = setting_of(layout, states.front());
    c.finding = s.of(guilty, as_found, as_found);
    c.finding.verdict = Verdict::there;
    c.marked = true;
    const auto settings = settings_of(layout, states);
    for (std::size_t i = 0; i < states.size(); ++i)
        c.by_state.push_back({states[i].name,
                              std::nullopt,
                              {},
                              i == 0 ? Verdict::there : s.verdict(guilty, as_found, settings[i])});
    return c;
}

bool in_question(const Cause& c) { return c.kind != CauseKind::outside && c.must_have.empty(); }

}  // namespace

TEST_CASE("whole jobs drawn from each cause's predictions") {
    int cases = 0, first = 0;
    unsigned seed = 50000;
    for (const auto& [name, layout] : presets()) {
        const auto causes = causes_of(layout);
        for (const auto& guilty : causes) {
            if (!in_question(guilty)) continue;
            Synthetic s(layout, seed++);
            JobEvidence job;
            job.states = elimination(layout, {guilty});
            job.complaints = {tracked(s, layout, guilty, job.states, 1)};
            const auto v = suspects_of_job(layout, job);
            ++cases;
            first += place_of_guilty(v.guilty, causes, guilty) == 1;
        }
    }
    const double share = static_cast<double>(first) / cases;
    if (std::getenv("CRANKNOTE_TABLES")) std::cout << "jobs: first " << share << " of " << cases << "\n";
    INFO(share << " of " << cases);
    CHECK(share > .6);
}

TEST_CASE("two causes in one job: both among the first three") {
    int cases = 0, both = 0;
    unsigned seed = 90000;
    for (const auto& [name, layout] : presets()) {
        const auto causes = causes_of(layout);
        for (std::size_t i = 0; i + 7 < causes.size(); i += 3) {
            const auto &one = causes[i], &two = causes[i + 7];
            if (!in_question(one) || !in_question(two)) continue;
            Synthetic s(layout, seed++);
            JobEvidence job;
            job.states = elimination(layout, {one, two});
            job.complaints = {tracked(s, layout, one, job.states, 1), tracked(s, layout, two, job.states, 2)};
            const auto v = suspects_of_job(layout, job);
            const int a = place_of_guilty(v.guilty, causes, one), b = place_of_guilty(v.guilty, causes, two);
            ++cases;
            both += a >= 1 && a <= 3 && b >= 1 && b <= 3;
        }
    }
    const double share = static_cast<double>(both) / cases;
    if (std::getenv("CRANKNOTE_TABLES"))
        std::cout << "two causes: both in three " << share << " of " << cases << "\n";
    INFO(share << " of " << cases);
    CHECK(cases > 50);
    CHECK(share > .5);
}

namespace {

/// A scrape once per cam turn on the test engine, before anything was done.
JobEvidence scrape_job(double beat) {
    JobEvidence job;
    job.states = {state("as found")};
    TrackedComplaint c;
    c.finding = changed(Character::scrape, Verdict::there, 2000, 5000);
    c.finding.beat_ratio = Ratio{beat};
    c.finding.beat_error = .004;
    c.marked = true;
    c.by_state = {{"as found", Decibel{-40}, {Decibel{-41}, Decibel{-39}}, Verdict::there}};
    job.complaints = {c};
    return job;
}

void tell(JobEvidence& job, const State& s, Verdict v, std::optional<Decibel> upper = std::nullopt) {
    job.states.push_back(s);
    job.complaints[0].by_state.push_back({s.name, std::nullopt, {std::nullopt, upper}, v});
}

const Step* step(const std::vector<Step>& steps, StepKind kind, const std::string& name) {
    for (const auto& s : steps)
        if (s.kind == kind && s.name == name) return &s;
    return nullptr;
}

}  // namespace

TEST_CASE("next steps: never a forbidden state, and what is off is free") {
    const auto layout = engine();
    auto job = scrape_job(1.0);
    auto v = suspects_of_job(layout, job);
    REQUIRE(!v.next_steps.empty());
    for (const auto& s : v.next_steps) {
        INFO(s.name);
        CHECK(run_limit(layout, s.off).run != RunWithout::never);
        CHECK(s.minutes > 0.0);
        CHECK(s.expected_bits >= 0.0);
        CHECK_THAT(s.bits_per_minute, within(s.expected_bits / s.minutes, 1e-9, "the same division"));
    }
    for (std::size_t i = 1; i < v.next_steps.size(); ++i)
        CHECK(v.next_steps[i - 1].bits_per_minute >= v.next_steps[i].bits_per_minute);
    CHECK(step(v.next_steps, StepKind::pull, "timing belt off") == nullptr);
    const auto* lower = step(v.next_steps, StepKind::pull, "lower timing cover off");
    REQUIRE(lower);
    CHECK(lower->requires_ == std::vector<std::string>{"alternator belt off", "upper timing cover off"});
    const double before = lower->minutes;
    tell(job, state("both off", {"alternator belt off", "upper timing cover off"}), Verdict::there);
    v = suspects_of_job(layout, job);
    lower = step(v.next_steps, StepKind::pull, "lower timing cover off");
    REQUIRE(lower);
    CHECK(lower->requires_.empty());
    CHECK_THAT(before - lower->minutes,
               within(10 + 10 + 25 + 25, 1e-9, "minutes of the two pulls, off and on"));
    CHECK(std::find(lower->off.begin(), lower->off.end(), "alternator belt off") != lower->off.end());
    CHECK(step(v.next_steps, StepKind::refit, "alternator belt off") != nullptr);
}

TEST_CASE("next steps: seconds from cold is said, waiting for it counts, cautions come with the pull") {
    const auto layout = engine();
    auto job = scrape_job(1.2);
    job.states[0].cold = false;
    const auto warm = suspects_of_job(layout, job).next_steps;
    job.states[0].cold = true;
    const auto cold = suspects_of_job(layout, job).next_steps;
    const auto *w = step(warm, StepKind::pull, "alternator belt off"),
               *c = step(cold, StepKind::pull, "alternator belt off");
    REQUIRE(w);
    REQUIRE(c);
    const Labour labour;
    CHECK_THAT(w->minutes - c->minutes, within(labour.waiting * labour.cooling, 1e-9, "the cooling wait"));
    CHECK(w->cautions.size() >= 2);
}

TEST_CASE("next steps: a check that was done is not proposed again, and a tie is broken by measuring") {
    const auto layout = engine();
    auto job = scrape_job(1.2);
    CHECK(step(suspects_of_job(layout, job).next_steps, StepKind::check, "mist"));
    tell(job, state("mist", {}, {"mist"}), Verdict::there);
    CHECK_FALSE(step(suspects_of_job(layout, job).next_steps, StepKind::check, "mist"));
}

TEST_CASE("next steps: a first repeat is proposed until there is one") {
    const auto layout = engine();
    auto job = scrape_job(1.2);
    const auto has_repeat_step = [&] {
        const auto steps = suspects_of_job(layout, job).next_steps;
        return std::any_of(steps.begin(), steps.end(),
                           [](const Step& s) { return s.kind == StepKind::repeat; });
    };
    CHECK(has_repeat_step());
    tell(job, state("as found again"), Verdict::there);
    CHECK_FALSE(has_repeat_step());
}

TEST_CASE("stop: when one is sure, and after a good repair") {
    const auto layout = engine();
    auto job = scrape_job(20.0 / 113);
    CHECK_FALSE(suspects_of_job(layout, job).stop.yes);
    tell(job, state("belt off", {"steering belt off"}), Verdict::there);
    tell(job, state("cover off", {"upper timing cover off"}), Verdict::gone);
    tell(job, state("cover on"), Verdict::there);
    auto v = suspects_of_job(layout, job);
    CHECK(v.conclusion == Conclusion::named);
    CHECK(v.guilty.front().cause == "upper timing cover touches the timing belt");
    CHECK(v.stop.yes);
    CHECK_FALSE(v.repair);
    auto done = state("repaired");
    done.repaired = true;
    done.repaired_what = "upper timing cover";
    tell(job, done, Verdict::gone, Decibel{-58});
    v = suspects_of_job(layout, job);
    REQUIRE(v.repair);
    CHECK(v.repair->verdict == RepairOutcome::gone);
    CHECK(v.repair->conditions_alike);
    REQUIRE(v.repair->left_at_most);
    CHECK_THAT(v.repair->left_at_most->value(),
               within(-18.0, 1e-9, "-58 dB at most against -40 dB as found"));
    CHECK(v.stop.yes);
}

TEST_CASE("repair: still there, something new, cold against warm") {
    const auto layout = engine();
    auto done = state("repaired");
    done.repaired = true;
    auto job = scrape_job(.5);
    tell(job, done, Verdict::there);
    CHECK(suspects_of_job(layout, job).repair->verdict == RepairOutcome::there);

    job = scrape_job(.5);
    tell(job, done, Verdict::gone);
    RepairEvidence e;
    e.state = "repaired";
    e.comparison.findings = {changed(Character::tick, Verdict::fresh, 3000, 6000)};
    job.repair = e;
    auto v = suspects_of_job(layout, job);
    CHECK(v.repair->verdict == RepairOutcome::something_new);
    CHECK(v.repair->new_findings.size() == 1);

    job = scrape_job(.5);
    job.states[0].cold = true;
    tell(job, done, Verdict::gone);
    v = suspects_of_job(layout, job);
    CHECK_FALSE(v.repair->conditions_alike);
    CHECK(!v.repair->why.empty());
}

TEST_CASE("a job without complaints ends with nothing stands out") {
    const auto layout = engine();
    JobEvidence job;
    job.states = {state("as found"), state("belt off", {"alternator belt off"})};
    const auto v = suspects_of_job(layout, job);
    CHECK(v.conclusion == Conclusion::nothing_stands_out);
    CHECK(v.guilty.empty());
    CHECK(v.stop.yes);
    CHECK(v.next_steps.empty());
}

TEST_CASE("findings that behave alike are one complaint, those that do not are two") {
    TrackedComplaint a, b, c;
    a.finding = changed(Character::scrape, Verdict::gone, 2000, 4000);
    a.finding.beat_ratio = Ratio{.5};
    b.finding = changed(Character::scrape, Verdict::gone, 5000, 8000);
    b.finding.beat_ratio = Ratio{1.0};  // its second harmonic
    c.finding = changed(Character::tick, Verdict::gone, 3000, 6000);
    c.finding.beat_ratio = Ratio{.31};
    const auto m = merged({a, b, c});
    REQUIRE(m.size() == 2);
    CHECK(m[0].also.size() == 1);
    CHECK(m[1].id == 2);
    b.by_state = {{"x", std::nullopt, {}, Verdict::gone}};
    a.by_state = {{"x", std::nullopt, {}, Verdict::there}};
    CHECK(merged({a, b}).size() == 2);
}

TEST_CASE("causes that the data cannot separate are a tie, with what would separate them") {
    const auto layout = engine();
    auto job = scrape_job(1.0);
    job.complaints[0].finding.beat_ratio.reset();
    const auto v = suspects_of_job(layout, job);
    int tied = 0, with_remedy = 0;
    for (const auto& s : v.complaints[0].suspects) {
        tied += !s.tied_with.empty();
        with_remedy += !s.separated_by.empty();
        for (const auto& name : s.tied_with) CHECK(name != s.cause);
    }
    CHECK(tied >= 2);
    CHECK(with_remedy >= 1);
    CHECK(v.conclusion != Conclusion::named);
}
