#include "simulate/fault.hpp"

#include <algorithm>
#include <cmath>

#include "simulate/fault_scene.hpp"

namespace cranknote::simulate {

namespace {

/// On and off by turns of about a second, with the wanted share of the time on; fades of 30 ms.
SlowGain come_and_go(double share, double seconds, Dice& dice, double& made) {
    SlowGain g;
    if (share >= 0.999) return g;
    const auto count = static_cast<std::size_t>(seconds * 100.0) + 2;
    const double length = dice.ratio(0.7, 2.5);
    bool on = dice.chance(share);
    double left = 0.0, now = on ? 1.0 : 0.0;
    // A fault that is there for share of the time is made so within this recording, not only on average.
    double sounded = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        if (left <= 0.0) {
            const double so_far = i > 0 ? sounded / static_cast<double>(i) : share;
            on = dice.chance(std::clamp(share + 2.0 * (share - so_far), 0.0, 1.0));
            left = (on ? share : 1.0 - share) * 2.0 * length * dice.uniform(0.5, 1.5);
        }
        left -= 0.01;
        now += std::clamp((on ? 1.0 : 0.0) - now, -0.33, 0.33);
        sounded += now;
        g.values.push_back(static_cast<float>(now));
    }
    made = sounded / static_cast<double>(count);
    return g;
}

FaultSound by_kind(FaultScene& s) {
    const auto& cause = s.fault.cause;
    if (cause.kind == "outside") return outside_fault(s);
    if (cause.part && s.engine.drive(*cause.part)) return drive_fault(s);
    if (cause.part && s.engine.part(*cause.part)) return part_fault(s);
    return engine_fault(s);
}

}  // namespace

FaultSound render_fault(const Engine& engine, const Voice& voice, const Motion& motion,
                        const Circumstances& now, const Fault& fault, Dice dice) {
    FaultScene s{engine, voice, motion, now, fault, Dice(fault.seed).fork("fault"), dice.fork("live"), {}};
    for (const float rpm : motion.turning.rpm)
        s.speed.values.push_back(rpm / static_cast<float>(engine.idle_rpm));
    auto f = by_kind(s);
    f.truth.cause = fault.cause;
    const auto presence = come_and_go(fault.presence, motion.turning.seconds(), s.live, f.truth.presence);
    multiply(f.wave, presence, voice.rate);
    scale(f.wave, strength_in(engine, fault, now));
    return f;
}

}  // namespace cranknote::simulate
