#include "job/evidence.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "figure/number_text.hpp"
#include "job/disk.hpp"
#include "job/history.hpp"
#include "layout/kinematics.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

constexpr Celsius surely_cold{50}, surely_warm{70};
// Within this a coolant reading by hand and a fan's cycle leave an idle as it is (common practice).
constexpr double same_temperature = 15.0;
// A cold idle falls for minutes; recordings this far apart in it are of different engine speeds.
constexpr Seconds same_moment{10};

std::vector<cranknote::State> states_of(const Layout& layout, const Job& job) {
    std::vector<cranknote::State> states;
    bool repaired = false;
    for (const auto& s : job.states) {
        repaired = repaired || s.repaired;
        const auto still = still_when_off(layout, s.off);
        cranknote::State state;
        state.name = s.name;
        state.off = s.off;
        state.still.assign(still.begin(), still.end());
        state.with = s.with;
        state.repaired = repaired;
        state.repaired_what = s.repaired_what;
        state.from_cold_seconds = run_limit(layout, s.off).run == RunWithout::seconds_from_cold;
        bool any = false, all_cold = true;
        for (const auto& r : job.recordings) {
            if (r.state != s.name) continue;
            any = true;
            all_cold = all_cold && is_cold(r.coolant).value_or(false);
        }
        state.cold = any && all_cold;
        states.push_back(std::move(state));
    }
    return states;
}

std::string placement_of(const Job& job, const Recording& r) {
    if (r.placement) return "said: " + *r.placement;
    for (const auto& other : job.recordings)  // said of another stretch of the same file
        if (other.sha256 == r.sha256 && other.placement) return "said: " + *other.placement;
    return "file: " + r.sha256;
}

std::string temperature_text(const Coolant& c) {
    if (const auto* felt = std::get_if<Warmth>(&c)) return *felt == Warmth::cold ? "cold" : "warm";
    return number_text(std::get<Celsius>(c).value(), 0) + " °C";
}

bool same_coolant(const Coolant& a, const Coolant& b) {
    const auto* x = std::get_if<Celsius>(&a);
    const auto* y = std::get_if<Celsius>(&b);
    if (x && y) return std::abs(x->value() - y->value()) <= same_temperature;
    return is_cold(a) == is_cold(b);
}

}  // namespace

Layout layout_of(const Job& job) {
    if (job.layout) return parse_layout(*job.layout, "layout.toml");
    if (job.cylinders) return typical_layout(*job.cylinders);
    throw Error("the job says neither a layout nor how many cylinders", "job.json",
                "set \"cylinders\" in job.json, or put a layout.toml beside it");
}

std::optional<bool> is_cold(const std::optional<Coolant>& coolant) {
    if (!coolant) return std::nullopt;
    if (const auto* felt = std::get_if<Warmth>(&*coolant)) return *felt == Warmth::cold;
    const Celsius t = std::get<Celsius>(*coolant);
    if (t < surely_cold) return true;
    if (t >= surely_warm) return false;
    return std::nullopt;
}

std::vector<std::string> unlike(const Recording& a, const Recording& b) {
    std::vector<std::string> why;
    if (a.coolant && b.coolant && !same_coolant(*a.coolant, *b.coolant))
        why.push_back("Coolant was " + temperature_text(*a.coolant) + " in one and " +
                      temperature_text(*b.coolant) + " in the other.");
    const bool both_cold = is_cold(a.coolant) == true && is_cold(b.coolant) == true;
    if (both_cold && a.since_start && b.since_start &&
        std::abs(a.since_start->value() - b.since_start->value()) > same_moment.value())
        why.push_back("From cold, one begins " + number_text(a.since_start->value(), 0) +
                      " s after the start and the other " + number_text(b.since_start->value(), 0) + " s.");
    if (std::set(a.loads.begin(), a.loads.end()) != std::set(b.loads.begin(), b.loads.end()))
        why.emplace_back("Other loads were on.");
    if (a.near != b.near) why.emplace_back("The microphone was near another thing.");
    return why;
}

std::optional<fs::path> find_sister(const fs::path& folder, const Like& like) {
    if (like.path.empty()) return std::nullopt;
    std::error_code ec;
    const fs::path parent = fs::absolute(folder, ec).lexically_normal().parent_path();
    const fs::path sister = (parent / fs::path(like.path)).lexically_normal();
    try {
        if (load_newest_good(Places{sister}).loaded.job.id == like.id) return sister;
    } catch (const Error&) {  // moved, deleted, or damaged: the job does without it
    }
    return std::nullopt;
}

Evidence evidence_of(const fs::path& folder, const Job& job) {
    Evidence e;
    e.layout = layout_of(job);
    e.states = states_of(e.layout, job);
    for (const auto& r : job.recordings) {
        EvidenceRecording out;
        out.id = r.id;
        out.file = inside(folder, r.file);
        out.sha256 = r.sha256;
        out.state = static_cast<std::size_t>(job.state(r.state) - job.states.data());
        out.from = r.from;
        out.to = r.to;
        out.tag = r.rpm;
        out.pickup_channel = r.pickup_channel;
        out.placement = placement_of(job, r);
        out.near = r.near;
        out.since_start = r.since_start;
        out.cold = is_cold(r.coolant);
        e.recordings.push_back(std::move(out));
    }
    e.complaints = job.complaints;
    e.worked_on = job.worked_on;
    e.saw = job.saw;
    if (job.like) e.sister = find_sister(folder, *job.like);
    return e;
}

}  // namespace cranknote::job
