#include "desk/hear.hpp"

#include <fmt/format.h>

#include <set>

#include "audio/decode.hpp"
#include "compare/compare.hpp"
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

}  // namespace

Heard hear(const job::EvidenceRecording& r, const Layout& layout, std::stop_token stop) {
    Heard heard;
    try {
        SpeedSettings settings;
        settings.cylinders = layout.engine.cylinders;
        settings.stroke = layout.engine.stroke;
        settings.tag = r.tag;
        heard.examined = std::make_shared<Examined>(
            examine_file(r.file.string(), {r.from, r.to, longest_analysed}, settings, stop));
    } catch (const Stopped&) {
        return {};
    } catch (const Error& e) {
        heard.trouble = e.trouble + (e.advice.empty() ? "." : ": " + e.advice + ".");
    }
    return heard;
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
