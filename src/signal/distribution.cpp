#include "signal/distribution.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "signal/special.hpp"

namespace cranknote::signal {
namespace {

constexpr double least = 1e-300, most = 1e300;  // quantiles beyond are called 0 and infinite
constexpr double many = 1e15;  // more degrees of freedom differ from infinity by less than the rounding

bool is_probability(double p) { return p >= 0.0 && p <= 1.0; }

/// Tails of chi-square, F and Student's t in one place; the public functions pick from them.
Tails tails(ChiSquare d, double x) {
    return incomplete_gamma(d.dof / 2.0, std::isnan(x) ? nan : std::max(x, 0.0) / 2.0);
}

Tails swapped(const Tails& t) { return {t.above, t.below, t.log_above, t.log_below}; }

Tails tails(FisherF d, double x) {
    if (!(d.dof_above > 0.0) || !(d.dof_below > 0.0) || std::isnan(x)) return {nan, nan, nan, nan};
    x = std::max(x, 0.0);
    if (d.dof_below > many && d.dof_above > many)
        return x < 1.0 ? Tails{0, 1, -infinity, 0} : Tails{1, 0, 0, -infinity};
    if (d.dof_below > many) return tails(ChiSquare{d.dof_above}, x * d.dof_above);
    if (d.dof_above > many) return swapped(tails(ChiSquare{d.dof_below}, d.dof_below / x));
    if (x == infinity) return {1.0, 0.0, 0.0, -infinity};
    const double above = d.dof_above * x, sum = above + d.dof_below;
    return incomplete_beta(d.dof_above / 2.0, d.dof_below / 2.0, above / sum, d.dof_below / sum);
}

/// Chance of more than |x| one way, and its logarithm.
std::pair<double, double> one_tail(StudentT d, double x) {
    if (d.dof > many) return {survival(Normal{}, std::abs(x)), log_survival(Normal{}, std::abs(x))};
    const Tails t = tails(FisherF{1.0, d.dof}, x * x);
    return {t.above / 2.0, t.log_above - std::numbers::ln2};
}

/// ln of the density of ln x (which is x times the density of x), for the two distributions that are solved
/// for.
double log_density_of_log(ChiSquare d, double x) {
    return std::log(d.dof / 2.0) + log_poisson_factor(d.dof / 2.0, x / 2.0);
}
double log_density_of_log(FisherF d, double x) {
    const double above = d.dof_above * x, sum = above + d.dof_below;
    return log_beta_factor(d.dof_above / 2.0, d.dof_below / 2.0, above / sum, d.dof_below / sum);
}

/// The x > 0 whose log tail (below, or above) is `target`: Newton's method on ln x, kept inside a bracket.
template <class Distribution>
double solve(Distribution d, double target, bool above) {
    const auto excess = [&](double x) {  // rises with x in both cases
        const Tails t = tails(d, x);
        return above ? target - t.log_above : t.log_below - target;
    };
    double low = 0.5, high = 2.0;
    while (low > least && excess(low) > 0.0) high = low, low = std::max(least, low * low);
    while (high < most && excess(high) < 0.0) low = high, high = std::min(most, high * high);
    if (excess(low) > 0.0) return 0.0;
    if (excess(high) < 0.0) return infinity;
    double x = std::sqrt(low) * std::sqrt(high);
    for (int i = 0; i < 200; ++i) {
        const double e = excess(x);
        (e < 0.0 ? low : high) = x;
        const double log_tail = above ? target - e : e + target;
        double next = x * std::exp(-e / std::exp(log_density_of_log(d, x) - log_tail));
        if (!(next > low && next < high)) next = std::sqrt(low) * std::sqrt(high);
        const bool done = std::abs(next - x) < 2e-16 * x;
        x = next;
        if (done) break;
    }
    return x;
}

/// Solves for the smaller tail, which is the one known accurately: p below and q = 1 - p above.
template <class Distribution>
double quantile_between(Distribution d, double p, double q) {
    if (!is_probability(p) || !is_probability(q)) return nan;
    if (std::isnan(tails(d, 1.0).below)) return nan;
    if (p == 0.0) return 0.0;
    if (q == 0.0) return infinity;
    return p < q ? solve(d, std::log(p), false) : solve(d, std::log(q), true);
}

double quantile_between(FisherF d, double p, double q) {
    if (d.dof_above > many && d.dof_below > many) return is_probability(p) && is_probability(q) ? 1.0 : nan;
    if (d.dof_below > many) return quantile_between(ChiSquare{d.dof_above}, p, q) / d.dof_above;
    if (d.dof_above > many) return d.dof_below / quantile_between(ChiSquare{d.dof_below}, q, p);
    return quantile_between<FisherF>(d, p, q);
}

/// The z >= 0 with q above it, q in 0..0.5: Newton's method on the log survival, kept inside a bracket.
double normal_above(double q) {
    if (q == 0.0) return infinity;
    double low = 0.0, high = 40.0, z = std::sqrt(std::max(0.0, -2.0 * std::log(2.0 * q)));
    const double target = std::log(q);
    for (int i = 0; i < 100; ++i) {
        const double s = log_survival(Normal{}, z), e = target - s;
        (e < 0.0 ? low : high) = z;
        const double log_density = -0.5 * z * z - 0.5 * std::log(2.0 * std::numbers::pi);
        double next = z - e / std::exp(log_density - s);
        if (!(next >= low && next <= high)) next = 0.5 * (low + high);
        const bool done = std::abs(next - z) < 1e-15 * std::max(1.0, z);
        z = next;
        if (done) break;
    }
    return z;
}

double student_above(StudentT d, double q) {
    if (d.dof > many) return normal_above(q);
    return std::sqrt(quantile_between(FisherF{1.0, d.dof}, 1.0 - 2.0 * q, 2.0 * q));
}

}  // namespace

double survival(Normal, double x) { return 0.5 * std::erfc(x / std::numbers::sqrt2); }
double cdf(Normal, double x) { return survival(Normal{}, -x); }

double log_survival(Normal, double x) {
    if (x < -1.0) return std::log1p(-cdf(Normal{}, x));
    if (x < 30.0) return std::log(survival(Normal{}, x));
    // Asymptotic series (Abramowitz & Stegun 26.2.12); at x = 30 its eighth term is below 1e-15.
    const double q = 1.0 / (x * x);
    double term = 1.0, sum = 1.0;
    for (int k = 1; k <= 7; ++k) {
        term *= -(2.0 * k - 1.0) * q;
        sum += term;
    }
    return -0.5 * x * x - std::log(x) - 0.5 * std::log(2.0 * std::numbers::pi) + std::log(sum);
}

double quantile_above(Normal, double q) {
    if (!is_probability(q)) return nan;
    return q <= 0.5 ? normal_above(q) : -normal_above(1.0 - q);
}
double quantile(Normal, double p) { return -quantile_above(Normal{}, p); }
double two_sided(Normal, double x) { return std::erfc(std::abs(x) / std::numbers::sqrt2); }

double cdf(ChiSquare d, double x) { return tails(d, x).below; }
double survival(ChiSquare d, double x) { return tails(d, x).above; }
double log_survival(ChiSquare d, double x) { return tails(d, x).log_above; }
double quantile(ChiSquare d, double p) { return quantile_between(d, p, 1.0 - p); }
double quantile_above(ChiSquare d, double q) { return quantile_between(d, 1.0 - q, q); }

double cdf(FisherF d, double x) { return tails(d, x).below; }
double survival(FisherF d, double x) { return tails(d, x).above; }
double log_survival(FisherF d, double x) { return tails(d, x).log_above; }
double quantile(FisherF d, double p) { return quantile_between(d, p, 1.0 - p); }
double quantile_above(FisherF d, double q) { return quantile_between(d, 1.0 - q, q); }

double survival(StudentT d, double x) {
    const double tail = one_tail(d, x).first;
    return x < 0.0 ? 1.0 - tail : tail;
}
double cdf(StudentT d, double x) { return survival(d, -x); }
double log_survival(StudentT d, double x) {
    const auto [tail, log_tail] = one_tail(d, x);
    return x < 0.0 ? std::log1p(-tail) : log_tail;
}
double quantile_above(StudentT d, double q) {
    if (!is_probability(q)) return nan;
    return q <= 0.5 ? student_above(d, q) : -student_above(d, 1.0 - q);
}
double quantile(StudentT d, double p) { return -quantile_above(d, p); }
double two_sided(StudentT d, double x) { return 2.0 * one_tail(d, x).first; }

double log_survival(Exponential d, double x) { return d.mean > 0.0 ? -std::max(x, 0.0) / d.mean : nan; }
double survival(Exponential d, double x) { return std::exp(log_survival(d, x)); }
double cdf(Exponential d, double x) { return -std::expm1(log_survival(d, x)); }
double quantile_above(Exponential d, double q) {
    return is_probability(q) && d.mean > 0.0 ? -std::log(q) * d.mean : nan;
}
double quantile(Exponential d, double p) {
    return is_probability(p) && d.mean > 0.0 ? -std::log1p(-p) * d.mean : nan;
}

double log_survival(Rayleigh d, double x) {
    const double scaled = std::max(x, 0.0) / d.sigma;
    return d.sigma > 0.0 ? -0.5 * scaled * scaled : nan;
}
double survival(Rayleigh d, double x) { return std::exp(log_survival(d, x)); }
double cdf(Rayleigh d, double x) { return -std::expm1(log_survival(d, x)); }
double quantile_above(Rayleigh d, double q) {
    return d.sigma * std::sqrt(2.0 * quantile_above(Exponential{}, q));
}
double quantile(Rayleigh d, double p) { return d.sigma * std::sqrt(2.0 * quantile(Exponential{}, p)); }

double chance_of_any(double p, double tries) { return -std::expm1(tries * std::log1p(-p)); }

Decibel level_bias(double dof) {
    return Decibel{10.0 / std::numbers::ln10 * (digamma(dof / 2.0) - std::log(dof / 2.0))};
}

Decibel level_deviation(double dof) {
    return Decibel{10.0 / std::numbers::ln10 * std::sqrt(trigamma(dof / 2.0))};
}

LevelInterval level_interval(double dof, double confidence) {
    const double tail = 0.5 * (1.0 - confidence);
    return {decibel_of_power(dof / quantile_above(ChiSquare{dof}, tail)),
            decibel_of_power(dof / quantile(ChiSquare{dof}, tail))};
}

LevelInterval difference_interval(double dof_a, double dof_b, double confidence) {
    const double tail = 0.5 * (1.0 - confidence);
    return {-decibel_of_power(quantile_above(FisherF{dof_a, dof_b}, tail)),
            decibel_of_power(quantile_above(FisherF{dof_b, dof_a}, tail))};
}

}  // namespace cranknote::signal
