#include "signal/special.hpp"

#include <array>
#include <cmath>
#include <cstddef>

namespace cranknote::signal {
namespace {

constexpr double tiny = 1e-300;
constexpr double precise = 1e-16;
constexpr int most_terms = 1'000'000;  // far beyond need; a broken argument must end
constexpr double half_log_2pi = 0.918938533204672741780329736406;

/// c[0] + c[1] q + c[2] q^2 + ...
template <std::size_t N>
double polynomial(const std::array<double, N>& c, double q) {
    double sum = 0.0;
    for (std::size_t i = N; i-- > 0;) sum = sum * q + c[i];
    return sum;
}

/// ln Gamma(n + 1) less its leading part ln(sqrt(2 pi n) (n/e)^n), n >= 10 (Abramowitz & Stegun 6.1.41).
double stirling_series(double n) {
    static constexpr std::array c{1.0 / 12,   -1.0 / 360,      1.0 / 1260, -1.0 / 1680,
                                  1.0 / 1188, -691.0 / 360360, 1.0 / 156};
    return polynomial(c, 1.0 / (n * n)) / n;
}

double stirling_error(double n) {
    if (n >= 10.0) return stirling_series(n);
    return log_gamma(n + 1.0) - (n + 0.5) * std::log(n) + n - half_log_2pi;
}

/// r - 1 - ln r without cancellation near r = 1 (Loader's deviance).
double deviance(double r) {
    const double t = r - 1.0;
    if (std::abs(t) > 0.2) return t - std::log(r);
    const double v = t / (2.0 + t), q = v * v;  // ln r = 2 (v + v^3/3 + ...), t - 2 v = t v
    double power = v * q, series = 0.0;
    for (int k = 3; k < 60; k += 2) {
        const double term = power / k;
        series += term;
        if (std::abs(term) < precise * std::abs(series)) break;
        power *= q;
    }
    return t * v - 2.0 * series;
}

Tails from_log_below(double log_below) {
    const double below = std::exp(log_below);
    return {below, -std::expm1(log_below), log_below, std::log1p(-below)};
}

Tails from_log_above(double log_above) {
    const Tails t = from_log_below(log_above);
    return {t.above, t.below, t.log_above, t.log_below};
}

/// Sum of x^n / ((a+1) ... (a+n)).
double gamma_series(double a, double x) {
    double term = 1.0, sum = 1.0;
    for (int n = 1; n < most_terms && term > sum * precise; ++n) {
        term *= x / (a + n);
        sum += term;
    }
    return sum;
}

/// 1/(x+1-a- 1(1-a)/(x+3-a- 2(2-a)/(x+5-a- ...))), by Lentz's method as modified by Thompson & Barnett 1986.
double gamma_fraction(double a, double x) {
    double b = x + 1.0 - a, c = 1.0 / tiny, d = 1.0 / b, h = d;
    for (int i = 1; i < most_terms; ++i) {
        const double numerator = -i * (i - a);
        b += 2.0;
        d = numerator * d + b;
        c = b + numerator / c;
        d = 1.0 / (std::abs(d) < tiny ? tiny : d);
        if (std::abs(c) < tiny) c = tiny;
        h *= d * c;
        if (std::abs(d * c - 1.0) < 4 * precise) break;
    }
    return h;
}

/// The continued fraction of I_x(a, b) a B(a, b) / (x^a y^b); converges fast for x < (a+1)/(a+b+2).
double beta_fraction(double a, double b, double x) {
    double c = 1.0, d = 1.0 - (a + b) * x / (a + 1.0);
    d = 1.0 / (std::abs(d) < tiny ? tiny : d);
    double h = d;
    const auto step = [&](double numerator) {
        d = 1.0 + numerator * d;
        c = 1.0 + numerator / c;
        d = 1.0 / (std::abs(d) < tiny ? tiny : d);
        if (std::abs(c) < tiny) c = tiny;
        h *= d * c;
    };
    for (int i = 1; i < most_terms; ++i) {
        const double m = i;
        step(m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)));
        step(-(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)));
        if (std::abs(d * c - 1.0) < 4 * precise) break;
    }
    return h;
}

}  // namespace

double bessel_i0(double x) {
    const double q = x * x / 4.0;
    double term = 1.0, sum = 1.0;
    for (int k = 1; term > sum * 1e-17; ++k) {
        term *= q / (static_cast<double>(k) * k);
        sum += term;
    }
    return sum;
}

double log_gamma(double x) {
    if (!(x > 0.0)) return nan;
    double product = 1.0;
    for (; x < 10.0; x += 1.0) product *= x;
    return stirling_series(x) + (x - 0.5) * std::log(x) - x + half_log_2pi - std::log(product);
}

double digamma(double x) {
    if (!(x > 0.0)) return nan;
    double sum = 0.0;
    for (; x < 12.0; x += 1.0) sum -= 1.0 / x;
    static constexpr std::array c{1.0 / 12,  -1.0 / 120,     1.0 / 252, -1.0 / 240,
                                  1.0 / 132, -691.0 / 32760, 1.0 / 12};
    const double q = 1.0 / (x * x);
    return sum + std::log(x) - 0.5 / x - q * polynomial(c, q);
}

double trigamma(double x) {
    if (!(x > 0.0)) return nan;
    double sum = 0.0;
    for (; x < 12.0; x += 1.0) sum += 1.0 / (x * x);
    static constexpr std::array c{1.0,       1.0 / 6,  -1.0 / 30,     1.0 / 42,
                                  -1.0 / 30, 5.0 / 66, -691.0 / 2730, 7.0 / 6};
    const double q = 1.0 / (x * x);
    return sum + polynomial(c, q) / x + 0.5 * q;
}

double tetragamma(double x) {
    if (!(x > 0.0)) return nan;
    double sum = 0.0;
    for (; x < 12.0; x += 1.0) sum -= 2.0 / (x * x * x);
    static constexpr std::array c{1.0,       1.0 / 2, -1.0 / 6,     1.0 / 6,
                                  -3.0 / 10, 5.0 / 6, -691.0 / 210, 35.0 / 2.0};
    const double q = 1.0 / (x * x);
    return sum - q * polynomial(c, q) - q / x;
}

double trigamma_inverse(double value) {
    if (!(value > 0.0)) return nan;
    if (value > 1e14) return 1.0 / std::sqrt(value);  // psi'(y) = 1/y^2 + 1.64...
    if (value < 1e-14) return 1.0 / value;            // psi'(y) = 1/y + ...
    double y = 0.5 + 1.0 / value;
    for (int i = 0; i < 100; ++i) {
        const double t = trigamma(y);
        const double step = t * (1.0 - t / value) / tetragamma(y);
        y += step;
        if (std::abs(step) < 1e-15 * y) break;
    }
    return y;
}

double log_poisson_factor(double a, double x) {
    return -stirling_error(a) - a * deviance(x / a) - half_log_2pi - 0.5 * std::log(a);
}

double log_beta_factor(double a, double b, double x, double y) {
    const double n = a + b;
    const double log_lead = 0.5 * std::log(a / n * b) - half_log_2pi;  // ab/n sqrt(n / (2 pi a b))
    return log_lead + stirling_error(n) - stirling_error(a) - stirling_error(b) - a * deviance(x * n / a) -
           b * deviance(y * n / b);
}

Tails incomplete_gamma(double a, double x) {
    if (!(a > 0.0) || !(x >= 0.0)) return {nan, nan, nan, nan};
    if (x == 0.0) return {0.0, 1.0, -infinity, 0.0};
    if (x == infinity) return {1.0, 0.0, 0.0, -infinity};
    const double factor = log_poisson_factor(a, x);
    if (x < a + 1.0) return from_log_below(factor + std::log(gamma_series(a, x)));
    return from_log_above(factor + std::log(a * gamma_fraction(a, x)));
}

Tails incomplete_beta(double a, double b, double x, double y) {
    if (!(a > 0.0) || !(b > 0.0) || !(x >= 0.0) || !(y >= 0.0)) return {nan, nan, nan, nan};
    if (x == 0.0) return {0.0, 1.0, -infinity, 0.0};
    if (y == 0.0) return {1.0, 0.0, 0.0, -infinity};
    const double factor = log_beta_factor(a, b, x, y);
    if (x < (a + 1.0) / (a + b + 2.0)) return from_log_below(factor + std::log(beta_fraction(a, b, x) / a));
    return from_log_above(factor + std::log(beta_fraction(b, a, y) / b));
}

}  // namespace cranknote::signal
