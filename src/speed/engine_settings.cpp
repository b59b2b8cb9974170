#include "speed/engine_settings.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote {

namespace {

bool evenly(std::vector<Degrees> at, double cycle) {
    std::sort(at.begin(), at.end());
    const double step = cycle / static_cast<double>(std::max<std::size_t>(1, at.size()));
    for (std::size_t i = 0; i + 1 < at.size(); ++i)
        if (std::abs((at[i + 1] - at[i]).value() - step) > 1.0) return false;
    return true;
}

}  // namespace

SpeedSettings speed_settings_of(const Engine& engine) {
    SpeedSettings s;
    s.cylinders = engine.cylinders;
    s.stroke = engine.stroke;
    s.firing_order = engine.firing_order;
    s.fires_evenly = evenly(engine.firing_deg, engine.stroke == 2 ? 360.0 : 720.0);
    return s;
}

}  // namespace cranknote
