#include "desk/hear.hpp"

#include <fmt/format.h>

#include <set>

#include "audio/decode.hpp"
#include "compare/compare.hpp"
#include "desk/time_ratio.hpp"
#include "job/analysis.hpp"
#include "job/examine_file.hpp"

namespace cranknote::desk {

namespace {

struct Side {
    std::vector<Take> takes;
    std::set<std::string> placements;
};

Side side_of(const Scene& scene, std::size_t state) {
    Side side;
    for (std::size_t i = 0; i < scene.job.recordings.size(); ++i) {
        const auto& r = scene.job.recordings[i];
        const auto& e = scene.heard[i].examined;
        if (r.state != scene.states[state].name || !e) continue;
        side.takes.push_back({&e->portrait, e->summary});
        side.placements.insert(r.placement ? *r.placement : "file " + r.sha256);
    }
    return side;
}

bool shared_placement(const Side& a, const Side& b) {
    return a.placements.size() == 1 && a.placements == b.placements;
}

/// As found against a later state, as the whole job has it; nullptr: not there.
const StateComparison* known_comparison(const Scene& scene, std::size_t a, std::size_t b) {
    if (!scene.analysis || a != 0 || b == 0) return nullptr;
    for (const auto& c : scene.analysis->comparisons)
        if (c.state == b) return &c;
    return nullptr;
}

}  // namespace

Heard hear(const job::EvidenceRecording& r, const Layout& layout, const std::filesystem::path& folder,
           std::stop_token stop) {
    try {
        const auto listened = job::listen(r, layout, job::Cache(folder / "cache"), stop);
        return {listened.examined, listened.trouble};
    } catch (const Stopped&) {
        return {};
    } catch (const Error& e) {
        return {nullptr, e.trouble + (e.advice.empty() ? "." : ": " + e.advice + ".")};
    }
}

Weighed weigh(const std::filesystem::path& folder, const job::Job& job, const job::AnalysisProgress& progress,
              std::stop_token stop) {
    try {
        return {std::make_shared<const job::Analysis>(job::analyse(folder, job, progress, stop)), ""};
    } catch (const Stopped&) {
        return {};
    } catch (const Error& e) {
        return {nullptr, e.trouble + (e.advice.empty() ? "." : ": " + e.advice + ".")};
    }
}

std::shared_ptr<const ThroughTime> hear_through_time(const job::Recording& r,
                                                     const std::filesystem::path& file,
                                                     const Examined& examined, std::stop_token stop) {
    auto result = std::make_shared<ThroughTime>();
    result->recording = r.id;
    const auto& speed = examined.summary.speed;
    if (!speed.mean) {
        result->trouble = "Without a crank speed there is no ratio to draw it over.";
        return result;
    }
    try {
        const auto reading = read_stretch(file.string(), {r.from, r.to, longest_analysed}, {}, stop);
        result->map = time_ratio_map(loudest_channel(reading.recording), reading.recording.rate, speed);
        if (result->map.columns == 0) result->trouble = "It is too short to be drawn through time.";
    } catch (const Stopped&) {
        return nullptr;
    } catch (const Error& e) {
        result->trouble = e.trouble + ".";
    }
    return result;
}

std::string hearing_key(const job::EvidenceRecording& r, const Layout& layout) {
    const auto value = [](const auto& v) { return v ? v->value() : -1.0; };
    return fmt::format("{} {} {} {} {} {} {}", r.sha256, value(r.from), value(r.to), layout.engine.cylinders,
                       layout.engine.stroke, r.tag ? r.tag->rpm.value() : -1.0,
                       r.tag ? r.tag->plus_minus.value() : -1.0);
}

std::shared_ptr<const Compared> compare_states(const Scene& scene, std::size_t a, std::size_t b) {
    auto result = std::make_shared<Compared>();
    result->a = a;
    result->b = b;
    if (const auto* known = known_comparison(scene, a, b)) {
        result->comparison = known->comparison;
        result->suspects = known->suspects;
        result->conclusion = known->conclusion;
        return result;
    }
    const auto side_a = side_of(scene, a), side_b = side_of(scene, b);
    if (side_a.takes.empty() || side_b.takes.empty()) {
        result->trouble = "There is no recording of " + scene.states[side_a.takes.empty() ? a : b].name +
                          " that can be used.";
        return result;
    }
    CompareSettings how;
    how.cylinders = scene.layout.engine.cylinders;
    how.same_placement = a != b && shared_placement(side_a, side_b);
    try {
        result->comparison = compare(side_a.takes, side_b.takes, how);
        if (a == b) result->comparison.findings = standing_out(side_a.takes.front(), how);
        Hands hands;
        hands.worked_on = scene.job.worked_on;
        for (const auto& saw : scene.job.saw) hands.saw.push_back({saw.text, saw.on, saw.speaks_for});
        auto verdict =
            suspects_of_pair(scene.layout, result->comparison, scene.states[a], scene.states[b], hands);
        result->comparison.findings = std::move(verdict.findings);
        result->suspects = std::move(verdict.suspects);
        result->conclusion = verdict.conclusion;
    } catch (const Error& e) {
        result->trouble = e.what();
    }
    return result;
}

}  // namespace cranknote::desk
