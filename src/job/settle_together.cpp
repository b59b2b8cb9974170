#include "job/settle_together.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "speed/together.hpp"

namespace cranknote {

namespace {

constexpr double worth_saying = 0.005;  // of a confidence

Examined with_speed(Examined e, SpeedReading speed) {
    e.portrait.speed.confidence = speed.confidence;
    e.portrait.speed.alternatives = speed.alternatives;
    e.summary.speed = std::move(speed);
    return e;
}

/// Another multiple is likelier by the others, but not sure enough to move to: the reading stays, as doubtful
/// as they make it.
SpeedReading doubted(SpeedReading alone, const SpeedReading& together) {
    const auto likelier = SpeedAlternative{*together.mean, together.confidence};
    for (const auto& a : together.alternatives)
        if (std::abs(a.rpm / *alone.mean - 1.0) < 1e-6) alone.confidence = a.confidence;
    std::erase_if(alone.alternatives,
                  [&](const SpeedAlternative& a) { return std::abs(a.rpm / likelier.rpm - 1.0) < 1e-6; });
    alone.alternatives.insert(alone.alternatives.begin(), likelier);
    alone.remarks.emplace_back("The other recordings of this engine speak against this multiple.");
    return alone;
}

}  // namespace

bool speed_is_moved(const std::vector<std::string>& with) {
    return std::any_of(with.begin(), with.end(),
                       [](const auto& c) { return c == "run-up" || c == "held-speed" || c == "shut-off"; });
}

std::vector<std::optional<Examined>> settled_together(const std::vector<const Examined*>& all,
                                                      const ExamineAgain& again) {
    std::vector<std::optional<Examined>> out(all.size());
    std::vector<SpeedReading> alone;
    std::vector<std::size_t> place;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i]) alone.push_back(all[i]->summary.speed), place.push_back(i);
    const auto together = readings_together(alone);
    std::vector<bool> moved(alone.size(), false);
    for (const auto& to : pointed_to(alone, together)) {
        const auto i = place[to.index];
        moved[to.index] = true;
        auto e = again(i, to.tag);
        if (auto speed = settled_by_others(e.summary.speed, to))
            out[i] = with_speed(std::move(e), std::move(*speed));
    }
    for (std::size_t k = 0; k < alone.size(); ++k) {
        const auto& now = together[k];
        if (moved[k] || !now.mean || std::abs(now.confidence - alone[k].confidence) < worth_saying) continue;
        const bool same = std::abs(*now.mean / *alone[k].mean - 1.0) < 1e-6;
        out[place[k]] = with_speed(*all[place[k]], same ? now : doubted(alone[k], now));
    }
    return out;
}

}  // namespace cranknote
