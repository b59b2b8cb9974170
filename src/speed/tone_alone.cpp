#include "speed/tone_alone.hpp"

#include <cstddef>

namespace cranknote::speed_detail {

namespace {

constexpr double foretold = 1e-7;  // of the mean square: rounding to 16 bits leaves 1e-8 of a loud tone

}  // namespace

bool tone_alone(std::span<const float> x) {
    if (x.size() < 8) return false;
    // Least squares of x[n] = a x[n-1] + b x[n-2].
    double yy = 0.0, y1 = 0.0, y2 = 0.0, s11 = 0.0, s12 = 0.0, s22 = 0.0;
    for (std::size_t i = 2; i < x.size(); ++i) {
        const auto y = static_cast<double>(x[i]), u = static_cast<double>(x[i - 1]),
                   v = static_cast<double>(x[i - 2]);
        yy += y * y, y1 += y * u, y2 += y * v, s11 += u * u, s12 += u * v, s22 += v * v;
    }
    const double det = s11 * s22 - s12 * s12;
    if (!(yy > 0.0) || !(det > 1e-18 * s11 * s22)) return false;
    const double a = (y1 * s22 - y2 * s12) / det, b = (y2 * s11 - y1 * s12) / det;
    return yy - a * y1 - b * y2 < foretold * yy;
}

}  // namespace cranknote::speed_detail
