// Whole jobs: as found, checks, pulls, until the guilty thing is off or set right.
#include <algorithm>

#include "simulate/cases.hpp"

namespace cranknote::simulate {

namespace {

struct Step {
    TrueState state;
    bool phone_untouched = false;
    std::vector<bool> faults;
};

/// A load or a check without tools that this engine can do.
std::string draw_check(const Engine& e, Dice& dice) {
    std::vector<std::string> checks{"clutch-down"};
    if (e.part("steering pump")) checks.emplace_back("lock");
    if (e.part("compressor")) checks.emplace_back("ac-on");
    for (const auto& d : e.drives)
        if (is_friction(d.kind)) {
            checks.emplace_back("mist");
            checks.emplace_back("lamps-on");
            break;
        }
    return checks[static_cast<std::size_t>(dice.pick(static_cast<int>(checks.size())))];
}

std::vector<Fault> draw_guilty(const Engine& e, Dice& dice, int wanted) {
    std::vector<Fault> guilty;
    for (int tries = 0; static_cast<int>(guilty.size()) < wanted && tries < 200; ++tries) {
        auto f = draw_fault(e, dice);
        if (!sounds_in(e, f, {})) continue;
        const bool alike = std::any_of(guilty.begin(), guilty.end(), [&](const Fault& g) {
            return g.cause.kind == f.cause.kind || g.cause.part == f.cause.part;
        });
        if (!alike) guilty.push_back(f);
    }
    return guilty;
}

/// As found, perhaps twice; a check; something innocent; then, one after the other, what silences each fault.
std::vector<Step> draw_steps(const Engine& e, const std::vector<Fault>& guilty, Dice& dice) {
    const std::vector<bool> all(guilty.size(), true);
    std::vector<Step> steps{{{}, false, all}};
    if (dice.chance(0.5)) steps.push_back({{}, false, all});
    if (dice.chance(0.6)) {
        TrueState s;
        s.with = {draw_check(e, dice)};
        s.name = s.with.front();
        steps.push_back({s, true, all});
    }
    std::vector<std::string> off;
    const auto pull_off = [&](const std::string& name) {
        take_off(e, name, off);
        TrueState s;
        s.name = name;
        s.off = off;
        steps.push_back({s, dice.chance(0.3), all});
    };
    if (!e.pulls.empty() && dice.chance(guilty.empty() ? 1.0 : 0.6))
        pull_off(e.pulls[static_cast<std::size_t>(dice.pick(static_cast<int>(e.pulls.size())))].name);
    std::vector<bool> left = all;
    for (std::size_t i = 0; i < guilty.size(); ++i) {
        const auto pulls = silenced_by(e, guilty[i]);
        for (const auto& name : pulls)
            if (std::find(off.begin(), off.end(), name) == off.end()) pull_off(name);
        if (!pulls.empty()) continue;
        left[i] = false;
        TrueState s;
        s.repaired = true;
        s.off = off;
        s.repaired_what = guilty[i].cause.part.value_or("");
        s.name = "set right " + std::to_string(i + 1);
        steps.push_back({s, dice.chance(0.3), left});
    }
    while (steps.size() < 3) {
        if (e.pulls.empty()) {
            steps.push_back({{}, false, left});
            continue;
        }
        const auto before = steps.size();
        for (const auto& p : e.pulls)
            if (steps.size() == before && std::find(off.begin(), off.end(), p.name) == off.end())
                pull_off(p.name);
        if (steps.size() == before) steps.push_back({{}, false, left});
    }
    if (steps.size() < 6 && !guilty.empty() && dice.chance(0.5)) {
        TrueState s;
        s.name = "repaired";
        s.repaired = true;
        steps.push_back({s, false, std::vector<bool>(guilty.size(), false)});
    }
    return steps;
}

}  // namespace

Case make_job_case(const CaseKey& key) {
    const Dice dice = dice_of(key);
    Dice draw = dice.fork("job");
    const Engine e = make_engine(engine_seed(key));
    Case c = empty_case(key, e, dice);
    const int wanted = key.purpose == Purpose::clean_job ? 0 : draw.chance(0.35) ? 2 : 1;
    const Phone phone = make_phone(draw.next(), {0.15, 0.0, 0.1, 0.0, 0.02, false});
    auto bench = make_bench(e, dice.fork("shop").state(), phone, dice.fork("live").state());
    bench.faults = draw_guilty(e, draw, wanted);
    for (const auto& f : bench.faults) {
        bench.levels.push_back(draw.uniform(2.0, 10.0));
        c.truth.guilty.push_back(f.cause);
    }
    const auto first = put_down(dice.fork("placement").state());
    std::vector<TakePlan> plans;
    int placement = -1;
    Placement now = first;
    for (const auto& step : draw_steps(e, bench.faults, draw)) {
        if (!step.phone_untouched || placement < 0) {
            ++placement;
            now = placement == 0 ? first : put_down_again(first, draw.next());
        }
        TakePlan t;
        char number[16];
        std::snprintf(number, sizeof number, "%02d ", static_cast<int>(plans.size()) + 1);
        t.name = number + step.state.name;
        t.state = step.state;
        t.faults = step.faults;
        t.placement = now;
        t.placement_number = placement;
        t.course = idle_course(idle_in(e, t.state, draw.normal(0.0, 0.012)), draw.uniform(10.0, 15.0),
                               draw.uniform(0.004, 0.012));
        plans.push_back(std::move(t));
    }
    c.takes = record(bench, plans);
    return c;
}

}  // namespace cranknote::simulate
