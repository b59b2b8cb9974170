#include "speed/follow.hpp"

#include <utility>

#include "speed/running.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double most_unlocked = 0.10;  // share of the running time
constexpr Seconds shortest{1.0};        // of a stretch that is worth reading
constexpr Seconds worth_cutting{0.5};

Course shifted(Course c, Seconds by) {
    for (auto& t : c.at) t -= by;
    return c;
}

}  // namespace

Followed followed(Evidence whole, Hertz lowest, Hertz highest) {
    Followed f;
    const Seconds duration = whole.duration;
    f.course = refined(whole, coarse_course(whole, lowest, highest, steady_frames()), &f.about);
    if (f.about.pieces.empty() || unlocked_share(f.about.pieces) > most_unlocked) {
        Refinement about;
        auto bent = refined(whole, coarse_course(whole, lowest, highest, bent_frames()), &about);
        if (locked_time(about.pieces) > locked_time(f.about.pieces))
            f.course = std::move(bent), f.about = std::move(about);
    }
    f.running = running_stretch(f.about.pieces, duration);
    const auto [from, to] = f.running.used;
    if (to - from < shortest) {
        f.course = {};
    } else if (duration - (to - from) > worth_cutting) {
        f.evidence = part_of(whole, from, to);
        f.course = refined(f.evidence, shifted(std::move(f.course), from), &f.about);
        return f;
    }
    f.evidence = std::move(whole);
    return f;
}

}  // namespace cranknote::speed_detail
