#include "simulate/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "simulate/fourier.hpp"

namespace cranknote::simulate {

double Spectrum::density(double hz) const {
    if (power.empty()) return 0.0;
    const auto i = static_cast<std::size_t>(std::max(0.0, hz / step + 0.5));
    return power[std::min(i, power.size() - 1)];
}

double Spectrum::between(double low_hz, double high_hz) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < power.size(); ++i) {
        const double from = std::max(low_hz, (static_cast<double>(i) - 0.5) * step);
        const double to = std::min(high_hz, (static_cast<double>(i) + 0.5) * step);
        if (to > from) sum += power[i] * (to - from);
    }
    return sum;
}

Spectrum welch(std::span<const float> wave, double rate, std::size_t size) {
    std::vector<float> window(size), block(size);
    double weight = 0.0;
    for (std::size_t i = 0; i < size; ++i) {
        window[i] = static_cast<float>(0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(i) /
                                                            static_cast<double>(size)));
        weight += static_cast<double>(window[i]) * static_cast<double>(window[i]);
    }
    const Fourier fourier(size);
    std::vector<Complex> lines(size / 2 + 1);
    Spectrum s{rate / static_cast<double>(size), std::vector<double>(size / 2 + 1)};
    int blocks = 0;
    for (std::size_t at = 0; at == 0 || at + size <= wave.size(); at += size / 2, ++blocks) {
        for (std::size_t i = 0; i < size; ++i)
            block[i] = at + i < wave.size() ? window[i] * wave[at + i] : 0.0F;
        fourier.forward(block, lines);
        for (std::size_t k = 0; k < lines.size(); ++k) s.power[k] += static_cast<double>(std::norm(lines[k]));
    }
    for (auto& p : s.power) p *= 2.0 / (weight * rate * blocks);
    return s;
}

double critical_band(double hz) {
    const double khz = hz / 1000.0;
    return 25.0 + 75.0 * std::pow(1.0 + 1.4 * khz * khz, 0.69);
}

}  // namespace cranknote::simulate
