#include "simulate/truth.hpp"

namespace cranknote::simulate {

std::string name_of(Relation relation) {
    switch (relation) {
        case Relation::alone:
            return "alone";
        case Relation::unchanged:
            return "unchanged";
        case Relation::healthy_off:
            return "healthy off";
        case Relation::guilty_off:
            return "guilty off";
        case Relation::changed:
            return "changed";
    }
    return "";
}

Rpm mean_speed(const TakeTruth& truth, Seconds from, Seconds to) {
    const double seconds = (to - from).value();
    if (seconds <= 0.0) return Rpm{0.0};
    return Rpm{truth.track.turns_between(from, to) / seconds * 60.0};
}

}  // namespace cranknote::simulate
