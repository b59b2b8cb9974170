#include "diagnose/causes.hpp"

#include "diagnose/causes_of.hpp"

namespace cranknote {

namespace detail {

const PredictedLine* Workbench::fundamental(const std::string& owner, LineKind kind) const {
    for (const auto& l : lines)
        if (l.owner == owner && l.kind == kind && l.harmonic == 1) return &l;
    return nullptr;
}

UncertainRatio exactly(double ratio) { return {Ratio{ratio}, 0.0, 0.0}; }

HeardAt heard(const PredictedLine& line, std::string name, std::string says, std::vector<double> harmonics) {
    constexpr double miscounted = .1;  // a count in ten is wrong (product's own rate for a mechanic's layout)
    HeardAt h{std::move(name), std::move(says), line.ratio, std::move(harmonics), miscounted, line.count};
    if (line.count) h.count_doubt = .05;  // outside the usual range
    return h;
}

std::vector<double> mostly_first(double share) {
    return {.70 * share, .18 * share, .08 * share, .04 * share};
}

std::vector<double> spread_out(double share) {
    return {.42 * share, .26 * share, .15 * share, .10 * share, .07 * share};
}

void add_turns(std::vector<HeardAt>& to, const Workbench& w, const std::string& part, double share) {
    if (const auto turns = turns_of(w.layout, part))
        to.push_back({"turns of the " + part, "the " + part + " turns", *turns, mostly_first(share)});
}

}  // namespace detail

std::vector<Cause> causes_of(const Layout& layout) {
    const detail::Workbench w{layout, predicted_lines(layout)};
    std::vector<Cause> causes;
    detail::add_drive_causes(causes, w);
    detail::add_part_causes(causes, w);
    detail::add_cover_causes(causes, w);
    detail::add_engine_causes(causes, w);
    detail::add_outside_causes(causes, w);
    return causes;
}

}  // namespace cranknote
