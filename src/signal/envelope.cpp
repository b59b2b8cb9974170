#include "signal/envelope.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "signal/fft.hpp"

namespace cranknote::signal {

BandPowers band_powers(std::span<const float> x, double rate,
                       const std::vector<std::pair<double, double>>& edges, std::size_t length,
                       std::size_t hop) {
    BandPowers out;
    out.rate = rate / static_cast<double>(hop);
    out.first = 0.5 * static_cast<double>(length) / rate;
    out.edges = edges;
    out.band.resize(edges.size());
    if (x.size() < length) return out;
    const std::size_t count = (x.size() - length) / hop + 1;
    std::vector<float> window(length);
    double energy = 0.0;
    for (std::size_t i = 0; i < length; ++i) {
        window[i] = static_cast<float>(0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) /
                                                            static_cast<double>(length)));
        energy += static_cast<double>(window[i]) * static_cast<double>(window[i]);
    }
    const double step = rate / static_cast<double>(length);
    const auto scale = static_cast<float>(2.0 / (static_cast<double>(length) * energy));
    struct Range {
        std::size_t first, last;
    };
    std::vector<Range> ranges;
    for (const auto& [low, high] : edges) {
        const auto a = static_cast<std::size_t>(std::max(1.0, std::ceil(low / step - 0.5)));
        const auto b = static_cast<std::size_t>(std::max(0.0, std::ceil(high / step - 0.5)));
        ranges.push_back({a, std::clamp(b, a, length / 2)});
    }
    for (auto& b : out.band) b.resize(count);
    RealFft fft(length);
    std::vector<float> buffer(length), power(length / 2 + 1);
    std::vector<std::complex<float>> lines(length / 2 + 1);
    for (std::size_t j = 0; j < count; ++j) {
        const float* s = x.data() + j * hop;
        for (std::size_t i = 0; i < length; ++i) buffer[i] = s[i] * window[i];
        fft.forward(buffer, lines);
        for (std::size_t k = 0; k < power.size(); ++k) power[k] = std::norm(lines[k]);
        for (std::size_t b = 0; b < ranges.size(); ++b) {
            float sum = 0.0F;
            for (std::size_t k = ranges[b].first; k < ranges[b].last; ++k) sum += power[k];
            out.band[b][j] = sum * scale;
        }
    }
    return out;
}

std::vector<float> hilbert_envelope(std::span<const float> x) {
    const std::size_t n = x.size() - x.size() % 2;
    if (n < 4) return std::vector<float>(x.size(), 0.0F);
    RealFft fft(n);
    std::vector<std::complex<float>> lines(n / 2 + 1);
    fft.forward(x.first(n), lines);
    // The Hilbert transform turns each line by -90 degrees; DC and the Nyquist line have none.
    for (auto& c : lines) c = {c.imag(), -c.real()};
    lines.front() = lines.back() = 0.0F;
    std::vector<float> quadrature(n), out(x.size(), 0.0F);
    fft.inverse(lines, quadrature);
    for (std::size_t i = 0; i < n; ++i) out[i] = std::hypot(x[i], quadrature[i]);
    if (n < x.size()) out.back() = out[n - 1];
    return out;
}

}  // namespace cranknote::signal
