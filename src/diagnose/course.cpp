#include "diagnose/course.hpp"

#include <algorithm>
#include <numeric>

#include "diagnose/wording.hpp"

namespace cranknote {
namespace {

enum : std::size_t { there, weaker, gone, stronger, fresh };

Course mixed(const Course& a, const Course& b, double share_of_b) {
    Course c{};
    for (std::size_t i = 0; i < c.size(); ++i) c[i] = (1 - share_of_b) * a[i] + share_of_b * b[i];
    return c;
}

Course normalised(Course c) {
    const double sum = std::accumulate(c.begin(), c.end(), 0.0);
    for (auto& x : c) x /= sum;
    return c;
}

/// What an answer to a check turns "unchanged" into.
Course answered(const Course& unchanged, const Answer& a, const Likelihoods& l) {
    Course c{};
    for (std::size_t i = 0; i < c.size(); ++i) c[i] = a.unchanged * unchanged[i];
    // Even a clear answer is sometimes too small to be measured: a fifth of it stays "there" (judged).
    constexpr double missed = .2;
    c[there] += missed * (a.stronger + a.weaker);
    c[stronger] += (1 - missed) * a.stronger;
    c[weaker] += (1 - missed) * a.weaker;
    for (std::size_t i = 0; i < c.size(); ++i) c[i] += a.gone * l.silenced[i];
    return c;
}

/// The answer when the check is taken away again.
Answer reversed(const Answer& a) { return {a.weaker + a.gone, a.stronger, 0.0, a.unchanged}; }

Course with_checks(Course c, const Cause& cause, const Setting& reference, const Setting& now,
                   const Likelihoods& l) {
    for (const auto& check : now.with)
        if (!reference.with.contains(check))
            if (const auto a = cause.answers.find(check); a != cause.answers.end())
                c = answered(c, a->second, l);
    for (const auto& check : reference.with)
        if (!now.with.contains(check))
            if (const auto a = cause.answers.find(check); a != cause.answers.end())
                c = answered(c, reversed(a->second), l);
    if (reference.cold == now.cold) return c;
    const auto warm = cause.answers.find("warm");
    if (warm == cause.answers.end()) return c;
    return answered(c, now.cold ? reversed(warm->second) : warm->second, l);
}

bool any_new(const std::set<std::string>& now, const std::set<std::string>& before) {
    return std::any_of(now.begin(), now.end(), [&](const auto& x) { return !before.contains(x); });
}

/// Side effects of taking things off on what keeps sounding.
Course with_side_effects(Course c, const Layout& layout, const Setting& reference, const Setting& now,
                         const Likelihoods& l) {
    const auto cover_off = [&](const Setting& in, const Setting& not_in) {
        return std::any_of(in.off.begin(), in.off.end(), [&](const auto& name) {
            return layout.cover(name) != nullptr && !not_in.off.contains(name);
        });
    };
    if (cover_off(now, reference)) c = mixed(c, {.0, .0, .0, 1.0, .0}, l.cover_lets_out);
    if (cover_off(reference, now)) c = mixed(c, {.0, 1.0, .0, .0, .0}, l.cover_lets_out);
    if (any_new(now.still, reference.still) || any_new(reference.still, now.still))
        c = mixed(c, {.2, .4, .0, .4, .0}, l.load_shift);
    return c;
}

Course with_repair(Course c, const Layout& layout, const Cause& cause, const Setting& reference,
                   const Setting& now, const Likelihoods& l) {
    double cured = 0.0;
    for (const auto& what : now.repaired) {
        if (reference.repaired.contains(what)) continue;
        cured = std::max(cured,
                         what.empty() ? l.repaired_unnamed : l.repaired_gone * concerns(layout, cause, what));
    }
    return mixed(c, l.silenced, cured);
}

bool turns(const Setting& s, const std::string& name) {
    return !s.still.contains(name) && !s.off.contains(name);
}

}  // namespace

Setting setting_of(const Layout& layout, const State& state) {
    Setting s;
    s.off = expand_off(layout, state.off);
    s.still = still_when_off(layout, state.off);
    s.with.insert(state.with.begin(), state.with.end());
    s.cold = state.cold || state.from_cold_seconds;
    if (state.repaired) s.repaired.insert(state.repaired_what);
    return s;
}

std::vector<Setting> settings_of(const Layout& layout, const std::vector<State>& states) {
    std::vector<Setting> settings;
    std::set<std::string> repaired;
    for (const auto& state : states) {
        settings.push_back(setting_of(layout, state));
        repaired.merge(settings.back().repaired);
        settings.back().repaired = repaired;
    }
    return settings;
}

bool can_sound(const Cause& cause, const Setting& s) {
    if (s.with.contains("shut-off") && cause.kind != CauseKind::outside && cause.kind != CauseKind::other)
        return false;
    if (!cause.must_have.empty() && !s.with.contains(cause.must_have)) return false;
    return std::all_of(cause.must_turn.begin(), cause.must_turn.end(),
                       [&](const auto& name) { return turns(s, name); }) &&
           std::none_of(cause.must_be_on.begin(), cause.must_be_on.end(),
                        [&](const auto& name) { return s.off.contains(name); });
}

double concerns(const Layout& layout, const Cause& cause, const std::string& name) {
    if (const auto* pull = layout.pull(name)) {
        double most = 0.0;
        for (const auto& item : pull->off) most = std::max(most, concerns(layout, cause, item));
        return most;
    }
    const auto names = [&](const std::vector<std::string>& list) {
        return std::find(list.begin(), list.end(), name) != list.end();
    };
    if (cause.part == name || names(cause.also)) return 1.0;
    if (!cause.part) return 0.0;
    constexpr double same_drive = .5;
    // A part was named: the drive it runs on, and what shares that drive or its shaft.
    if (const auto* p = layout.part(name)) {
        if (!p->drive.empty() && p->drive == *cause.part) return same_drive;
        if (!p->on_shaft_of.empty() && p->on_shaft_of == *cause.part) return same_drive;
        if (const auto* q = layout.part(*cause.part); q && q->on_shaft_of == name) return same_drive;
    }
    // A drive was named: everything that runs on it.
    if (const auto* d = layout.drive(name))
        for (const auto& on : d->route)
            if (on == *cause.part && on != d->driver) return same_drive;
    return 0.0;
}

Course course_of(const Layout& layout, const Cause& cause, const Setting& reference, const Setting& now,
                 double presence, bool touched, const Likelihoods& l) {
    const bool before = can_sound(cause, reference), after = can_sound(cause, now);
    if (!before && !after) return normalised(l.chance);
    if (before && !after) return normalised(l.silenced);
    if (!before) return normalised(l.started);
    Course c = with_checks(l.unchanged, cause, reference, now, l);
    c = with_side_effects(c, layout, reference, now, l);
    c = mixed(c, l.silenced, l.chance_silence * std::clamp(1.0 - presence, 0.0, 1.0));
    if (touched) c = mixed(c, l.silenced, l.cured_by_touch);
    return normalised(with_repair(c, layout, cause, reference, now, l));
}

std::string what_is_off(const Setting& here, const Setting& not_here) {
    std::vector<std::string> names;
    for (const auto& name : here.off)
        if (!not_here.off.contains(name)) names.push_back(name);
    return wording::joined(names);
}

std::string step_text(const Setting& from, const Setting& to) {
    for (const auto& check : to.with)
        if (!from.with.contains(check)) return "with " + check;
    if (const auto off = what_is_off(to, from); !off.empty()) return "with the " + off + " off";
    if (const auto on = what_is_off(from, to); !on.empty()) return "with the " + on + " back on";
    for (const auto& what : to.repaired)
        if (!from.repaired.contains(what))
            return what.empty() ? "after the repair" : "after the " + what + " was set right";
    return "when recorded again";
}

std::optional<std::size_t> place_of(Verdict verdict) {
    switch (verdict) {
        case Verdict::there:
            return there;
        case Verdict::weaker:
            return weaker;
        case Verdict::gone:
            return gone;
        case Verdict::stronger:
            return stronger;
        case Verdict::fresh:
            return fresh;
        case Verdict::cannot_tell:
            break;
    }
    return std::nullopt;
}

}  // namespace cranknote
