#include "desk/addition.hpp"

#include "desk/next_state.hpp"

namespace cranknote::desk {

job::Addition addition_of(const NextState& next, const Scene& scene) {
    job::Addition a;
    a.state = name_of(next, scene);
    a.off = {next.off.begin(), next.off.end()};
    a.with = {next.with.begin(), next.with.end()};
    a.repaired = next.repaired;
    a.repaired_what = next.repaired_what;
    a.recording.near = next.near;
    if (next.warmth != 0) a.recording.coolant = next.warmth == 1 ? job::Warmth::cold : job::Warmth::warm;
    a.recording.rpm = speed_tag_from(next.rpm);
    if (next.same_placement && !scene.job.recordings.empty())
        a.recording.placement = scene.job.recordings.back().placement;
    if (!a.recording.placement)
        a.recording.placement = "placement " + std::to_string(scene.job.recordings.size() + 1);
    return a;
}

job::Addition addition_to(const job::State& state) {
    job::Addition a;
    a.state = state.name;
    a.off = state.off;
    a.with = state.with;
    a.repaired = state.repaired;
    a.repaired_what = state.repaired_what;
    return a;
}

}  // namespace cranknote::desk
