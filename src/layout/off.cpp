// What stands still when something is off, and whether the engine may run like that.
#include <algorithm>

#include "layout/kinematics.hpp"

namespace cranknote {

namespace {

std::vector<std::string> removable_names(const Layout& layout) {
    auto names = names_of(layout);
    names.resize(names.size() - engine_names.size());
    return names;
}

[[noreturn]] void fail_unknown(const Layout& layout, const std::string& name) {
    const bool of_engine = std::find(engine_names.begin(), engine_names.end(), name) != engine_names.end();
    if (of_engine)
        throw Error("`" + name + "` is of the engine itself and cannot be taken off", "", "",
                    Error::Kind::wrong_call);
    const auto valid = removable_names(layout);
    const auto nearest = nearest_name(name, valid);
    std::string advice = "did you mean `" + nearest + "`?";
    if (nearest.empty()) {
        advice = "the layout has ";
        for (const auto& v : valid) advice += (&v == &valid.front() ? "`" : ", `") + v + "`";
        if (valid.empty()) advice += "no drives, parts, covers or pulls";
    }
    throw Error("no part, drive, cover or pull is called `" + name + "`", "", advice,
                Error::Kind::wrong_call);
}

bool stops_part(const Part& part, const std::set<std::string>& still) {
    if (part.electric) return false;
    return (!part.drive.empty() && still.contains(part.drive)) ||
           (!part.on_shaft_of.empty() && still.contains(part.on_shaft_of));
}

/// A drive stands still without its driver, and a belt without its tensioner hangs slack.
bool stops_drive(const Layout& layout, const Drive& drive, const std::set<std::string>& still) {
    if (still.contains(drive.driver)) return true;
    return std::any_of(layout.parts.begin(), layout.parts.end(), [&](const Part& p) {
        return p.kind == PartKind::tensioner && p.drive == drive.name && still.contains(p.name);
    });
}

/// The stricter of two limits; the first reason stays.
void restrict_to(RunLimit& limit, RunWithout run, const std::string& why) {
    if (run < limit.run) limit = {run, why};
}

bool turns_crank_bolt(PartKind kind) {
    return kind == PartKind::crank_pulley || kind == PartKind::crank_sprocket || kind == PartKind::damper ||
           kind == PartKind::flywheel;
}

/// What follows from a part's kind when it stands still.
void restrict_by_kind(RunLimit& limit, const Part& part) {
    switch (part.kind) {
        case PartKind::cam_wheel:
            return restrict_to(limit, RunWithout::never,
                               "`" + part.name + "` would stand still: valves and pistons can meet.");
        case PartKind::injection_pump:
            return restrict_to(limit, RunWithout::never,
                               "`" + part.name + "` would stand still, and its drive times the engine.");
        case PartKind::oil_pump:
            return restrict_to(limit, RunWithout::never,
                               "`" + part.name + "` would stand still: no oil pressure.");
        case PartKind::water_pump:
            return restrict_to(
                limit, RunWithout::seconds_from_cold,
                "`" + part.name + "` would stand still: start from cold, run for seconds, then engine off.");
        default:
            return;
    }
}

void restrict_by_part(RunLimit& limit, const Layout& layout, const Part& part, bool taken_off) {
    if (part.run_without) {
        const bool seconds = *part.run_without == RunWithout::seconds_from_cold;
        restrict_to(limit, *part.run_without,
                    seconds
                        ? "Without `" + part.name + "`: start from cold, run for seconds, then engine off."
                        : "The layout says never to run without `" + part.name + "`.");
        return;
    }
    const auto* drive = layout.drive(part.drive);
    if (taken_off && turns_crank_bolt(part.kind))
        restrict_to(
            limit, RunWithout::never,
            "`" + part.name + "` sits on the crank: its bolts also hold what times or balances the engine.");
    if (taken_off && drive && is_vital_drive(layout, *drive))
        restrict_to(
            limit, RunWithout::never,
            "`" + part.name + "` keeps `" + drive->name + "` in its place, and that must never come loose.");
    if (drive && drive->run_without && *drive->run_without != RunWithout::never && !taken_off) return;
    restrict_by_kind(limit, part);
}

/// By what it turns, whatever the file says.
bool turns_vital_part(const Layout& layout, const Drive& drive) {
    const auto still = still_when_off(layout, {drive.name});
    return std::any_of(layout.parts.begin(), layout.parts.end(), [&](const Part& p) {
        const bool vital = p.kind == PartKind::cam_wheel || p.kind == PartKind::injection_pump ||
                           p.kind == PartKind::oil_pump;
        return vital && still.contains(p.name);
    });
}

std::string why_never(const Layout& layout, const Drive& drive) {
    if (turns_vital_part(layout, drive))
        return "`" + drive.name + "` times or oils the engine: never run without it.";
    return "The layout says never to run without `" + drive.name + "`.";
}

}  // namespace

std::set<std::string> expand_off(const Layout& layout, const std::vector<std::string>& off) {
    std::set<std::string> out;
    auto add = [&](const std::string& name) {
        if (!layout.drive(name) && !layout.part(name) && !layout.cover(name)) fail_unknown(layout, name);
        out.insert(name);
    };
    for (const auto& name : off) {
        if (const auto* pull = layout.pull(name))
            std::for_each(pull->off.begin(), pull->off.end(), add);
        else
            add(name);
    }
    return out;
}

std::set<std::string> still_when_off(const Layout& layout, const std::vector<std::string>& off) {
    std::set<std::string> still;
    for (const auto& name : expand_off(layout, off))
        if (!layout.cover(name)) still.insert(name);
    for (std::size_t before = still.size() + 1; before != still.size();) {
        before = still.size();
        for (const auto& d : layout.drives)
            if (stops_drive(layout, d, still)) still.insert(d.name);
        for (const auto& p : layout.parts)
            if (stops_part(p, still)) still.insert(p.name);
    }
    return still;
}

bool is_vital_drive(const Layout& layout, const Drive& drive) {
    return drive.run_without == RunWithout::never || turns_vital_part(layout, drive);
}

RunLimit run_limit(const Layout& layout, const std::vector<std::string>& off) {
    RunLimit limit;
    const auto taken = expand_off(layout, off);
    const auto still = still_when_off(layout, off);
    for (const auto& d : layout.drives) {
        if (!still.contains(d.name) || !d.run_without) continue;
        const bool seconds = *d.run_without == RunWithout::seconds_from_cold;
        restrict_to(limit, *d.run_without,
                    seconds ? "Without `" + d.name + "`: start from cold, run for seconds, then engine off."
                            : why_never(layout, d));
    }
    for (const auto& p : layout.parts)
        if (still.contains(p.name)) restrict_by_part(limit, layout, p, taken.contains(p.name));
    return limit;
}

}  // namespace cranknote
