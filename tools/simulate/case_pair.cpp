// Pairs: two states, or one state twice.
#include <algorithm>

#include "simulate/cases.hpp"

namespace cranknote::simulate {

namespace {

/// What one pair is about, before it is recorded.
struct Pair {
    Relation relation = Relation::unchanged;
    bool untouched = false;  ///< the phone
    bool cold = false;
    int repeats = 1;  ///< recordings a side
    TrueState a, b;
    std::vector<bool> faults_a, faults_b;
    std::vector<Fault> faults;
    std::vector<double> levels;
    std::optional<char> fault_side;
};

/// Checks under which a fault is heard at all.
std::vector<std::string> needed_checks(const Engine& e, const Fault& f) {
    if (sounds_in(e, f, {})) return {};
    for (const char* check : {"ac-on", "clutch-down"}) {
        Circumstances now;
        now.with = {check};
        if (sounds_in(e, f, now)) return {check};
    }
    return {};
}

void unchanged(const Engine& e, Pair& p, Dice& dice) {
    p.relation = Relation::unchanged;
    if (!dice.chance(0.3)) return;
    p.faults = {draw_fault(e, dice)};
    p.levels = {dice.uniform(-6.0, 9.0)};
    p.a.with = p.b.with = needed_checks(e, p.faults.front());
    p.faults_a = p.faults_b = {true};
}

void healthy_off(const Engine& e, Pair& p, Dice& dice) {
    p.relation = Relation::healthy_off;
    if (e.pulls.empty()) return unchanged(e, p, dice);
    const auto& pull = e.pulls[static_cast<std::size_t>(dice.pick(static_cast<int>(e.pulls.size())))];
    take_off(e, pull.name, p.b.off);
    p.b.name = pull.name;
}

void changed(const Engine& e, Pair& p, int index, Dice& dice) {
    p.relation = Relation::changed;
    p.faults = {draw_fault(e, dice)};
    p.levels = {-12.0 + 3.0 * (index % 9)};
    p.fault_side = dice.chance(0.6) ? 'a' : 'b';
    p.a.with = p.b.with = needed_checks(e, p.faults.front());
    p.faults_a = {p.fault_side == 'a'};
    p.faults_b = {p.fault_side == 'b'};
    p.b.repaired = p.fault_side == 'a';
    p.b.name = p.b.repaired ? "repaired" : "later";
}

void telling(const Engine& e, Pair& p, Dice& dice) {
    p.relation = Relation::guilty_off;
    p.faults = {draw_fault(e, dice)};
    p.levels = {dice.uniform(0.0, 12.0)};
    p.fault_side = 'a';
    p.faults_a = p.faults_b = {true};
    const auto& f = p.faults.front();
    p.a.with = needed_checks(e, f);
    const auto pulls = silenced_by(e, f);
    if (!pulls.empty() && p.a.with.empty()) {
        for (const auto& name : pulls) take_off(e, name, p.b.off);
        p.b.name = pulls.front();
    } else if (!p.a.with.empty() && dice.chance(0.7)) {
        p.b.name = "without " + p.a.with.front();  // its load or pedal is what switches it off
    } else if (f.variant == "input shaft") {
        p.b.with = {"clutch-down"};
        p.b.name = "clutch down";
    } else {
        p.b.with = p.a.with;
        p.b.repaired = true;
        p.b.name = "repaired";
        p.faults_b = {false};
    }
}

Pair draw_pair(const CaseKey& key, const Engine& e, Dice& dice) {
    Pair p;
    switch (key.purpose) {
        case Purpose::unchanged:
            unchanged(e, p, dice);
            break;
        case Purpose::unchanged_same_placement:
            unchanged(e, p, dice);
            p.untouched = true;
            break;
        case Purpose::healthy_off:
            healthy_off(e, p, dice);
            p.untouched = dice.chance(0.3);
            break;
        case Purpose::fault_untouched:
            changed(e, p, key.index, dice);
            p.untouched = true;
            break;
        case Purpose::fault_repeats:
            changed(e, p, key.index, dice);
            p.repeats = 2;
            break;
        case Purpose::telling:
            telling(e, p, dice);
            p.untouched = dice.chance(0.5);
            break;
        case Purpose::cold:
            p.cold = true;
            key.index % 3 == 0   ? unchanged(e, p, dice)
            : key.index % 3 == 1 ? healthy_off(e, p, dice)
                                 : changed(e, p, key.index, dice);
            break;
        default:
            changed(e, p, key.index, dice);
    }
    p.a.cold = p.b.cold = p.cold;
    return p;
}

/// Idles of one job lie a per cent or two apart; one pair in ten, up to six.
double speed_off(int index, Dice& dice) {
    if (index % 10 == 9) return (dice.chance(0.5) ? 1.0 : -1.0) * dice.uniform(0.035, 0.055);
    return std::clamp(dice.normal(0.0, 0.012), -0.03, 0.03);
}

bool passing(const Disturbance& d) { return d.kind == "speech" || d.kind == "clanks" || d.kind == "wind"; }

struct Session {
    double seconds, wander, base_off, other_off;
    bool held;
    double held_rpm;
    std::vector<Disturbance> standing;
};

Session draw_session(const CaseKey& key, Dice& dice) {
    Session s{dice.uniform(10.0, 16.0),
              dice.uniform(0.004, 0.013),
              dice.normal(0.0, 0.015),
              speed_off(key.index, dice),
              dice.chance(0.05),
              dice.uniform(1500.0, 2800.0),
              {}};
    for (const auto& d : draw_disturbances(0.3, dice))
        if (!passing(d)) s.standing.push_back(d);
    return s;
}

TakePlan plan_take(const Engine& e, const Pair& p, const Session& s, char side, int repeat, Dice& dice) {
    TakePlan t;
    t.side = side;
    t.name = std::string(1, side) + std::to_string(repeat + 1);
    t.state = side == 'a' ? p.a : p.b;
    t.faults = side == 'a' ? p.faults_a : p.faults_b;
    const double off = s.base_off + (side == 'b' ? s.other_off : 0.0) + dice.normal(0.0, 0.004);
    const double seconds = s.seconds * dice.uniform(0.9, 1.15);
    t.course = idle_course(idle_in(e, t.state, off), std::max(10.0, seconds), s.wander);
    if (s.held && !p.cold) {
        t.course =
            idle_course(s.held_rpm * (1.0 + s.other_off * (side == 'b')), std::max(10.0, seconds), s.wander);
        t.course.name = "held";
        t.state.with.emplace_back("held-speed");
    }
    if (p.cold) {
        t.since_start = dice.uniform(1.0, 3.0);
        t.course =
            cold_course(1400.0 * (1.0 + off), 1000.0 * (1.0 + off), t.since_start, std::max(14.0, seconds));
    }
    t.disturbances = s.standing;
    for (const auto& d : draw_disturbances(0.2, dice))
        if (passing(d)) t.disturbances.push_back({d.kind, d.level_db - 6.0});
    return t;
}

}  // namespace

Case make_pair_case(const CaseKey& key) {
    const Dice dice = dice_of(key);
    Dice draw = dice.fork("pair");
    const Engine e = make_engine(engine_seed(key));
    Case c = empty_case(key, e, dice);
    const Pair p = draw_pair(key, e, draw);
    const Session s = draw_session(key, draw);
    const Phone phone = make_phone(draw.next(), {0.15, 0.02, 0.12, 0.02, 0.03, false});
    auto bench = make_bench(e, dice.fork("shop").state(), phone, dice.fork("live").state());
    bench.faults = p.faults;
    bench.levels = p.levels;

    const auto first = put_down(dice.fork("placement").state());
    std::vector<TakePlan> plans;
    for (const char side : {'a', 'b'})
        for (int r = 0; r < p.repeats; ++r) {
            auto t = plan_take(e, p, s, side, r, draw);
            t.placement_number = p.untouched ? 0 : static_cast<int>(plans.size());
            t.placement = t.placement_number == 0 ? first : put_down_again(first, draw.next());
            plans.push_back(std::move(t));
        }
    c.takes = record(bench, plans);
    c.truth.relation = p.relation;
    c.truth.same_placement = p.untouched;
    c.truth.fault_side = p.fault_side;
    for (const auto& f : p.faults) c.truth.guilty.push_back(f.cause);
    if (!p.levels.empty()) c.truth.level_nominal = p.levels.front();
    return c;
}

}  // namespace cranknote::simulate
