// Single recordings: crank speed in all its courses, and recordings that are of little or no use.
#include <algorithm>

#include "simulate/cases.hpp"

namespace cranknote::simulate {

namespace {

Course draw_course(const Engine& e, double seconds, Dice& dice) {
    const double idle = e.idle_rpm * (1.0 + dice.normal(0.0, 0.02));
    const double what = dice.uniform();
    if (what < 0.40) return idle_course(idle, seconds, dice.uniform(0.003, 0.013));
    if (what < 0.48) return idle_course(idle, seconds, dice.uniform(0.015, 0.022));
    if (what < 0.56) return hunting_course(idle, seconds, dice);
    if (what < 0.63) return step_course(idle, seconds, dice);
    if (what < 0.70)
        return run_up_course(idle, std::min(3000.0, idle + 300.0 * 0.35 * seconds), seconds, dice);
    if (what < 0.86) {
        auto c = idle_course(dice.chance(0.08) ? dice.uniform(3000, 7000) : dice.uniform(1100, 3000), seconds,
                             dice.uniform(0.003, 0.012));
        c.name = "held";
        return c;
    }
    if (what < 0.93) return cold_course(1400.0, 1000.0, dice.uniform(0.0, 15.0), seconds);
    if (what < 0.96) return start_course(idle, seconds, dice);
    return shut_off_course(idle, seconds, seconds * dice.uniform(0.6, 0.9));
}

Case one_take(const CaseKey& key, const Engine& e, const Phone& phone, TakePlan plan, const Dice& dice,
              double fault_chance) {
    Case c = empty_case(key, e, dice);
    Dice draw = dice.fork("one");
    auto bench = make_bench(e, dice.fork("shop").state(), phone, dice.fork("live").state());
    if (draw.chance(fault_chance)) {
        bench.faults.push_back(draw_fault(e, draw));
        bench.levels.push_back(draw.uniform(-6.0, 9.0));
        c.truth.guilty.push_back(bench.faults.back().cause);
    }
    plan.name = "a1";
    plan.placement = put_down(dice.fork("placement").state());
    plan.state.cold = plan.course.name == "cold";
    c.takes = record(bench, {plan});
    return c;
}

/// A recording that is of little use, and the quality code that should say so.
struct Trouble {
    TakePlan plan;
    Phone phone;
    std::vector<std::string> codes;
};

Trouble draw_trouble(const Engine& e, int index, Dice& dice) {
    Trouble t;
    t.phone = make_phone(dice.next(), {});
    t.phone.gain_control = false;
    t.plan.course = idle_course(e.idle_rpm, 12.0, 0.01);
    switch (index % 10) {
        case 0:
            t.plan.course = off_course(10.0);
            t.plan.disturbances = draw_disturbances(0.7, dice);
            t.codes = {"engine-off"};
            break;
        case 1:
            t.plan.course = idle_course(e.idle_rpm, dice.uniform(0.3, 2.0), 0.01);
            t.codes = {"short"};
            break;
        case 2:
            t.phone.target_db = dice.uniform(-78.0, -70.0);
            t.phone.floor_db = -70.0;
            t.codes = {"quiet"};
            break;
        case 3:
            t.plan.course = stall_course(e.idle_rpm, 12.0, dice);
            t.codes = {"stalls"};
            break;
        case 4:
            t.phone.target_db = dice.uniform(-4.0, 1.0);
            t.codes = {"clipped"};
            break;
        case 5:
            t.plan.disturbances = {{"speech", dice.uniform(0.0, 8.0)}};
            t.codes = {"speech"};
            break;
        case 6:
            t.plan.disturbances = {{"wind", dice.uniform(6.0, 16.0)}};
            t.phone.low_cut = 0.0;
            t.codes = {"wind"};
            break;
        case 7:
            t.plan.course = run_up_course(e.idle_rpm, e.idle_rpm + 1500.0, 12.0, dice);
            t.codes = {"unsteady"};
            break;
        case 8:
            t.phone.suppresses_noise = true;
            t.codes = {"noise-suppression"};
            break;
        default:
            t.phone.rate = 8000.0;
            t.phone.suppresses_noise = dice.chance(0.5);
            t.phone.codec = "opus";
            t.phone.kbit = 12;
            t.codes = {"band-limit", "messenger"};
    }
    return t;
}

}  // namespace

Case make_speed_case(const CaseKey& key) {
    const Dice dice = dice_of(key);
    Dice draw = dice.fork("speed");
    const Engine e = make_engine(engine_seed(key));
    if (key.purpose == Purpose::trouble) {
        auto t = draw_trouble(e, key.index, draw);
        Case c = one_take(key, e, t.phone, t.plan, dice, 0.0);
        c.takes.front().truth.quality = t.codes;
        return c;
    }
    TakePlan plan;
    plan.course = draw_course(e, draw.uniform(10.0, 16.0), draw);
    plan.disturbances = draw_disturbances(0.45, draw);
    const Phone phone = make_phone(draw.next(), {0.3, 0.08, 0.15, 0.04, 0.05, false});
    return one_take(key, e, phone, plan, dice, 0.35);
}

}  // namespace cranknote::simulate
