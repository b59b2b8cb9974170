// Findings drawn from a cause's own predictions: how well the judgement does if the predictions hold. This
// measures the inference, not the predictions; those are measured on simulated sound (tools/score).
#pragma once

#include <random>
#include <string>
#include <vector>

#include "diagnose/course.hpp"
#include "diagnose/evidence.hpp"
#include "diagnose/job.hpp"

namespace cranknote::test {

class Synthetic {
  public:
    Synthetic(const Layout& layout, unsigned seed) : layout_(layout), random_(seed) {}

    /// A finding as this cause would give it, judged between the two states.
    [[nodiscard]] Finding of(const Cause& cause, const Setting& a, const Setting& b);
    /// A healthy tone or hiss of something that stops between a and b (of the running engine, if nothing).
    [[nodiscard]] Finding healthy(const Setting& a, const Setting& b);
    /// The verdict in another state, judged against as found; "cannot tell" in one of twelve.
    [[nodiscard]] Verdict verdict(const Cause& cause, const Setting& as_found, const Setting& now);
    [[nodiscard]] double uniform() { return std::uniform_real_distribution<double>(0.0, 1.0)(random_); }
    [[nodiscard]] double normal() { return std::normal_distribution<double>()(random_); }
    template <class Weights>
    [[nodiscard]] std::size_t pick(const Weights& w) {
        return std::discrete_distribution<std::size_t>(w.begin(), w.end())(random_);
    }

  private:
    std::optional<Ratio> drawn(const std::vector<HeardAt>& lines, double error);
    const Layout& layout_;
    std::mt19937_64 random_;
};

/// What a mechanic would take off or do to prove this cause: the layout's pull that silences it with the
/// least work, or "set right" where none does.
[[nodiscard]] State telling_state(const Layout& layout, const Cause& cause);

/// Causes that no sound could ever tell from this one: the same kind and part, or the same predictions.
[[nodiscard]] bool inseparable(const Cause& a, const Cause& b);

/// Place (from 1) of the guilty cause, or of one inseparable from it, in a list of suspects; 0: not in it.
[[nodiscard]] int place_of_guilty(const std::vector<Suspect>& suspects, const std::vector<Cause>& causes,
                                  const Cause& guilty);

}  // namespace cranknote::test
