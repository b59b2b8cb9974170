#include "speed/follow.hpp"

#include <utility>

#include "speed/running.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double most_unlocked = 0.10;     // share of the running time
constexpr Seconds shortest_followed{1.0};  // of a stretch that is worth reading
constexpr Seconds worth_cutting{0.5};
constexpr int most_cuts = 2;

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
    f.evidence = std::move(whole);
    // Refined on its own, a stretch may show an end that does not belong to it.
    for (int cut = 0; cut < most_cuts; ++cut) {
        const auto [from, to] =
            cut == 0 ? f.running.used : running_stretch(f.about.pieces, f.evidence.duration).used;
        if (to - from < shortest_followed) {
            f.course = {};
            break;
        }
        if (f.evidence.duration - (to - from) <= worth_cutting) {
            if (cut == 0) f.running.used = {Seconds{0}, duration};
            break;
        }
        const Seconds start = cut == 0 ? Seconds{0} : f.running.used.first;
        f.running.used = {start + from, start + to};
        f.evidence = part_of(f.evidence, from, to);
        f.course = refined(f.evidence, shifted(std::move(f.course), from), &f.about);
    }
    return f;
}

}  // namespace cranknote::speed_detail
