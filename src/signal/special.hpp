// Special functions that the distributions stand on. Accurate to 1e-12 relative or better where tests look
// (tests/signal/special.cpp, tests/oracle), for parameters up to 1e6.
#pragma once

#include <limits>

namespace cranknote::signal {

inline constexpr double nan = std::numeric_limits<double>::quiet_NaN();
inline constexpr double infinity = std::numeric_limits<double>::infinity();

/// I_0(x), the modified Bessel function of the first kind and order 0, for |x| below 700, by its series
/// (Abramowitz & Stegun 9.6.12; all terms are positive, so nothing cancels): Kaiser's window is made of it.
[[nodiscard]] double bessel_i0(double x);

/// ln Gamma(x) for x > 0; NaN otherwise. Unlike std::lgamma it writes no global, so threads may share it.
[[nodiscard]] double log_gamma(double x);

/// psi(x) = d/dx ln Gamma(x) for x > 0; NaN otherwise. Recurrence to x >= 12, then Stirling's series
/// (Abramowitz & Stegun 6.3.5, 6.3.18).
[[nodiscard]] double digamma(double x);
/// psi'(x) for x > 0; NaN otherwise (Abramowitz & Stegun 6.4.6, 6.4.12).
[[nodiscard]] double trigamma(double x);
/// psi''(x) for x > 0, negative; NaN otherwise (Abramowitz & Stegun 6.4.6, 6.4.13).
[[nodiscard]] double tetragamma(double x);
/// The y > 0 with trigamma(y) = value, value > 0; NaN otherwise. Newton's method on 1/trigamma, which is
/// convex and nearly straight (Smyth 2004, appendix).
[[nodiscard]] double trigamma_inverse(double value);

/// A probability and its complement, each with full relative accuracy, and the logarithm of each, which stays
/// finite where the probability itself underflows.
struct Tails {
    double below, above, log_below, log_above;
};

/// Regularised incomplete gamma functions P(a, x) below and Q(a, x) above; a > 0, x >= 0, else NaN.
/// Series or continued fraction (Abramowitz & Stegun 6.5.29, 6.5.31); the factor in front is computed in
/// Loader's saddle-point form (Loader 2000), so that large a cancels nothing.
[[nodiscard]] Tails incomplete_gamma(double a, double x);

/// Regularised incomplete beta function I_x(a, b) below and I_y(b, a) above, where y = 1 - x is handed in
/// with its own accuracy; a, b > 0, x and y in 0..1, else NaN. Continued fraction (Abramowitz &
/// Stegun 26.5.8), factor in front as for incomplete_gamma.
[[nodiscard]] Tails incomplete_beta(double a, double b, double x, double y);

/// ln of x^a e^-x / Gamma(a + 1): the factor in front of the incomplete gamma functions (Poisson's
/// probability).
[[nodiscard]] double log_poisson_factor(double a, double x);
/// ln of x^a y^b / B(a, b) with y = 1 - x: the factor in front of the incomplete beta function.
[[nodiscard]] double log_beta_factor(double a, double b, double x, double y);

}  // namespace cranknote::signal
