// Probability distributions and what they say about averaged spectra.
//
// A distribution is a small value; the functions on it are overloaded:
//     survival(ChiSquare{36}, x)   quantile(FisherF{36, 36}, 0.975)   log_survival(StudentT{4}, 9.0)
// Survival is the chance of more than x; it keeps its relative accuracy in the far tail, and log_survival
// (natural logarithm) goes on where survival underflows. quantile(d, p) has p below it; quantile_above(d, q)
// has q above it, for small q. Relative accuracy 1e-10 or better: of tails, and of the
// probability at a quantile (tests/oracle: 0.1 to 1e4 degrees of freedom; tests/signal: to 1e6). Degrees of
// freedom may be infinite (Student becomes normal, F becomes chi-square over its dof). A parameter out of
// range, a p outside 0..1 or a NaN gives NaN.
#pragma once

#include "signal/special.hpp"
#include "units/units.hpp"

namespace cranknote::signal {

struct Normal {};  ///< mean 0, standard deviation 1
struct ChiSquare {
    double dof;
};
struct FisherF {
    double dof_above, dof_below;  ///< of the numerator, of the denominator
};
struct StudentT {
    double dof;
};
/// Of a spectral line's power over its mean when it is noise of 2 degrees of freedom: mean 1.
struct Exponential {
    double mean = 1.0;
};
/// Of the magnitude of a complex Gaussian whose real and imaginary part have standard deviation sigma each.
struct Rayleigh {
    double sigma = 1.0;
};

[[nodiscard]] double cdf(Normal, double x);
[[nodiscard]] double cdf(ChiSquare, double x);
[[nodiscard]] double cdf(FisherF, double x);
[[nodiscard]] double cdf(StudentT, double x);
[[nodiscard]] double cdf(Exponential, double x);
[[nodiscard]] double cdf(Rayleigh, double x);

[[nodiscard]] double survival(Normal, double x);
[[nodiscard]] double survival(ChiSquare, double x);
[[nodiscard]] double survival(FisherF, double x);
[[nodiscard]] double survival(StudentT, double x);
[[nodiscard]] double survival(Exponential, double x);
[[nodiscard]] double survival(Rayleigh, double x);

[[nodiscard]] double log_survival(Normal, double x);
[[nodiscard]] double log_survival(ChiSquare, double x);
[[nodiscard]] double log_survival(FisherF, double x);
[[nodiscard]] double log_survival(StudentT, double x);
[[nodiscard]] double log_survival(Exponential, double x);
[[nodiscard]] double log_survival(Rayleigh, double x);

[[nodiscard]] double quantile(Normal, double p);
[[nodiscard]] double quantile(ChiSquare, double p);
[[nodiscard]] double quantile(FisherF, double p);
[[nodiscard]] double quantile(StudentT, double p);
[[nodiscard]] double quantile(Exponential, double p);
[[nodiscard]] double quantile(Rayleigh, double p);

[[nodiscard]] double quantile_above(Normal, double q);
[[nodiscard]] double quantile_above(ChiSquare, double q);
[[nodiscard]] double quantile_above(FisherF, double q);
[[nodiscard]] double quantile_above(StudentT, double q);
[[nodiscard]] double quantile_above(Exponential, double q);
[[nodiscard]] double quantile_above(Rayleigh, double q);

/// Two-sided p of a deviation: the chance of more than |x| either way.
[[nodiscard]] double two_sided(Normal, double x);
[[nodiscard]] double two_sided(StudentT, double x);

/// The chance that at least one of `tries` independent tries comes true, each with chance p; exact for tiny
/// p. For a spectrum: the chance that any of so many noise lines stands out as much as the one with p.
[[nodiscard]] double chance_of_any(double p, double tries);

/// A level's error range about the estimate, in dB: the truth lies in [estimate + low, estimate + high].
struct LevelInterval {
    Decibel low, high;
};

/// Mean error in dB of the level of an averaged power of `dof` degrees of freedom (chi-square over dof):
/// 10/ln 10 (psi(dof/2) - ln(dof/2)). Negative: levels read low on average. -2.507 dB for a raw periodogram.
[[nodiscard]] Decibel level_bias(double dof);
/// Standard deviation in dB of that level: 10/ln 10 sqrt(psi'(dof/2)). 5.570 dB for a raw periodogram.
[[nodiscard]] Decibel level_deviation(double dof);
/// Where the true level lies about an averaged power's level, with probability `confidence` (0..1), equal
/// tails: dof / chi-square (Percival & Walden 1993, section 6.10).
[[nodiscard]] LevelInterval level_interval(double dof, double confidence);
/// Where the true level difference of two independent averaged powers lies about the difference found, equal
/// tails: 1 / F. It counts the unsteadiness within each alone, not what differs between recordings.
[[nodiscard]] LevelInterval difference_interval(double dof_a, double dof_b, double confidence);

}  // namespace cranknote::signal
