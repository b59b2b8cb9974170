// Statistics that a few wild values cannot pull away.
//
// Unless said otherwise: NaN values are left out, and nothing left gives NaN. The spans are not changed.
// Sources: Huber 1981, Robust Statistics; Theil 1950; Sen 1968.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace cranknote::signal {

/// The middle value, or the mean of the two middle ones. Linear time.
[[nodiscard]] double median(std::span<const double> values);
[[nodiscard]] float median(std::span<const float> values);

/// The value below which a share p (0..1) lies, linear between order statistics (Hyndman & Fan 1996, type 7).
[[nodiscard]] double sample_quantile(std::span<const double> values, double p);

/// Median absolute deviation from the median, times 1.4826: a standard deviation for Gaussian values, still
/// right when nearly half of them are wild.
[[nodiscard]] double median_deviation(std::span<const double> values);

/// The value with half of the weight on either side (the mean of two neighbours where the weight splits
/// evenly). Weights not above 0 (or NaN) leave their value out. weights.size() == values.size().
[[nodiscard]] double weighted_median(std::span<const double> values, std::span<const double> weights);

struct Line {
    double slope, intercept;
    [[nodiscard]] double at(double x) const { return intercept + slope * x; }
};

/// Theil-Sen line: the median slope of all pairs, through the median of what is left. Right while fewer than
/// 29 % of the points are wild. Pairs of equal x are left out; fewer than two different x give slope 0 and
/// the median. Time and memory n^2/2: meant for up to a few thousand points. x.size() == y.size().
[[nodiscard]] Line theil_sen(std::span<const double> x, std::span<const double> y);

/// Huber's location: mean with values further than `tuning` robust deviations held back. 1.345 keeps 95 % of
/// the mean's efficiency for Gaussian values. The deviation is median_deviation(); where it is 0, the median.
[[nodiscard]] double huber_location(std::span<const double> values, double tuning = 1.345);

/// Median over the `width` values around each value (an even width is made one larger), as long as the input.
/// Beyond the ends the values are mirrored (c b a | a b c). NaN counts as lower than everything.
/// Time n log(width): two heaps that meet at the median (Haerdle & Steiger 1995, Appl. Statist. 44).
[[nodiscard]] std::vector<float> running_median(std::span<const float> values, std::size_t width);
[[nodiscard]] std::vector<double> running_median(std::span<const double> values, std::size_t width);

}  // namespace cranknote::signal
