#include "audio/audition.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "signal/fft.hpp"
#include "signal/resample.hpp"
#include "signal/window.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double stop_db = 70;  // attenuation beside the band

/// Modified Bessel function of the first kind, order 0, by its power series.
double bessel_i0(double x) {
    double sum = 1, term = 1;
    for (int k = 1; k < 200 && term > 1e-12 * sum; ++k) {
        term *= (x / (2 * k)) * (x / (2 * k));
        sum += term;
    }
    return sum;
}

/// Band pass with an odd number of taps. Kaiser 1974: beta = 0.1102 (A - 8.7), length = (A - 8) / (2.285 dw).
std::vector<float> band_filter(double low, double high, double transition, double rate) {
    const double beta = 0.1102 * (stop_db - 8.7);
    const auto half = static_cast<int>(std::ceil((stop_db - 8) / (2.285 * 2 * pi * transition / rate) / 2));
    std::vector<float> taps;
    for (int i = -half; i <= half; ++i) {
        const double t = i, u = static_cast<double>(i) / half;
        const double sinc =
            i == 0 ? 2 * (high - low) / rate
                   : (std::sin(2 * pi * high / rate * t) - std::sin(2 * pi * low / rate * t)) / (pi * t);
        taps.push_back(static_cast<float>(sinc * bessel_i0(beta * std::sqrt(1 - u * u)) / bessel_i0(beta)));
    }
    return taps;
}

/// Convolution with an odd filter, its delay taken out; overlap-add.
std::vector<float> filtered(std::span<const float> x, const std::vector<float>& taps) {
    const auto size = signal::fast_size(std::max<std::size_t>(4 * taps.size(), 4096));
    const auto step = size - taps.size() + 1;
    signal::RealFft fft(size);
    std::vector<float> block(size, 0.0F);
    std::vector<std::complex<float>> filter(size / 2 + 1), spectrum(size / 2 + 1);
    std::copy(taps.begin(), taps.end(), block.begin());
    fft.forward(block, filter);
    const auto delay = taps.size() / 2;
    std::vector<float> out(x.size(), 0.0F);
    for (std::size_t at = 0; at < x.size(); at += step) {
        const auto n = std::min(step, x.size() - at);
        std::fill(std::copy_n(x.begin() + static_cast<std::ptrdiff_t>(at), n, block.begin()), block.end(),
                  0.0F);
        fft.forward(block, spectrum);
        for (std::size_t k = 0; k < spectrum.size(); ++k) spectrum[k] *= filter[k];
        fft.inverse(spectrum, block);
        for (std::size_t i = 0; i < size; ++i)
            if (at + i >= delay && at + i - delay < out.size()) out[at + i - delay] += block[i];
    }
    return out;
}

float rest_gain(std::optional<Decibel> rest) {
    return rest ? static_cast<float>(std::pow(10.0, rest->value() / 20)) : 0.0F;
}

void require_band(Hertz low, Hertz high, SampleRate rate) {
    if (!(low < high) || !(high.value() > 0) || !(low < nyquist(rate)))
        throw Error("the band is empty or above what the recording holds", "",
                    "give two rising frequencies below half the sample rate", Error::Kind::wrong_call);
}

/// Levels of 50 ms blocks in dB, their median.
std::optional<double> median_level(std::span<const float> x, SampleRate rate) {
    const auto block = std::max<std::size_t>(1, static_cast<std::size_t>(0.05 * rate.value()));
    std::vector<double> power;
    for (std::size_t at = 0; at + block <= x.size(); at += block) {
        double sum = 0;
        for (std::size_t i = at; i < at + block; ++i) sum += static_cast<double>(x[i]) * x[i];
        power.push_back(sum / static_cast<double>(block));
    }
    if (power.empty()) return std::nullopt;
    const auto middle = power.begin() + static_cast<std::ptrdiff_t>(power.size() / 2);
    std::nth_element(power.begin(), middle, power.end());
    if (!(*middle > 0)) return std::nullopt;
    return 10 * std::log10(*middle);
}

}  // namespace

std::vector<float> mono(const Recording& recording, std::optional<std::size_t> channel) {
    if (recording.channels.empty()) return {};
    if (channel) return recording.channels.at(std::min(*channel, recording.channels.size() - 1));
    std::vector<float> sum(recording.samples(), 0.0F);
    const auto share = 1.0F / static_cast<float>(recording.channels.size());
    for (const auto& c : recording.channels)
        for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += share * c[i];
    return sum;
}

std::vector<float> at_rate(std::span<const float> x, SampleRate from, SampleRate to) {
    if (from == to || x.empty()) return {x.begin(), x.end()};
    const double step = from / to;
    const auto n = static_cast<std::size_t>(std::ceil(static_cast<double>(x.size()) / step));
    const signal::Interpolator interpolate(std::min(1.0, 1.0 / step));
    std::vector<float> out(n);
    for (std::size_t i = 0; i < n; ++i) out[i] = interpolate.at(x, static_cast<double>(i) * step);
    return out;
}

std::vector<float> band_alone(std::span<const float> x, SampleRate rate, Hertz low, Hertz high,
                              std::optional<Decibel> rest) {
    require_band(low, high, rate);
    const double lo = std::max(low.value(), 0.0);
    const double hi = std::min(high.value(), nyquist(rate).value());
    // A quarter of the band, but no filter longer than 0.4 s, and no shorter one than ears need.
    const double transition = std::clamp((hi - lo) / 4, 10.0, 200.0);
    auto out = filtered(x, band_filter(lo, hi, transition, rate.value()));
    const float g = rest_gain(rest);
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = g * x[i] + (1 - g) * out[i];
    return out;
}

std::vector<float> lines_alone(std::span<const float> x, SampleRate rate, std::span<const Ratio> ratios,
                               const SpeedTrack& track, Hertz width, std::optional<Decibel> rest) {
    const auto size = signal::fast_size(static_cast<std::size_t>(0.2 * rate.value()) / 2 * 2);
    const auto hop = size / 4;
    const auto window = signal::window_values(signal::WindowShape::hann, size);
    const double line_hz = rate.value() / static_cast<double>(size);
    const float g = rest_gain(rest);
    signal::RealFft fft(size);
    std::vector<float> block(size);
    std::vector<std::complex<float>> spectrum(size / 2 + 1);
    std::vector<float> out(x.size(), 0.0F);
    for (std::ptrdiff_t at = -static_cast<std::ptrdiff_t>(size - hop);
         at < static_cast<std::ptrdiff_t>(x.size()); at += static_cast<std::ptrdiff_t>(hop)) {
        const auto sample = [&](std::size_t i) { return at + static_cast<std::ptrdiff_t>(i); };
        const auto inside = [&](std::size_t i) {
            return sample(i) >= 0 && sample(i) < static_cast<std::ptrdiff_t>(x.size());
        };
        for (std::size_t i = 0; i < size; ++i)
            block[i] =
                inside(i) ? x[static_cast<std::size_t>(sample(i))] * static_cast<float>(window[i]) : 0.0F;
        fft.forward(block, spectrum);
        const Rpm speed = track.speed_at(Seconds{static_cast<double>(sample(size / 2)) / rate.value()});
        std::vector<float> mask(spectrum.size(), g);
        for (const auto k : ratios) {
            const double f = frequency_of(k, speed).value();
            // At least the window's own main lobe, +-2 lines: else the line itself would be cut.
            const double reach = std::max(width.value() / 2, 2 * line_hz);
            for (std::size_t i = 0; speed.value() > 0 && i < mask.size(); ++i)
                if (std::abs(static_cast<double>(i) * line_hz - f) <= reach) mask[i] = 1.0F;
        }
        for (std::size_t i = 0; i < mask.size(); ++i) spectrum[i] *= mask[i];
        fft.inverse(spectrum, block);
        // Hann twice at a quarter's hop adds up to 1.5.
        for (std::size_t i = 0; i < size; ++i)
            if (inside(i))
                out[static_cast<std::size_t>(sample(i))] += block[i] * static_cast<float>(window[i] / 1.5);
    }
    return out;
}

std::pair<std::size_t, std::size_t> loudest(std::span<const float> x, SampleRate rate, Seconds length) {
    const auto n = static_cast<std::size_t>(std::max(1.0, std::round(length / Seconds{1} * rate.value())));
    if (n >= x.size()) return {0, x.size()};
    double energy = 0, best = -1;
    std::size_t where = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        energy += static_cast<double>(x[i]) * x[i];
        if (i >= n) energy -= static_cast<double>(x[i - n]) * x[i - n];
        if (i + 1 >= n && energy > best * (1 + 1e-9)) {
            best = energy;
            where = i + 1 - n;
        }
    }
    return {where, where + n};
}

std::vector<float> seamless(std::span<const float> x, SampleRate rate, std::size_t first, std::size_t last) {
    last = std::min(last, x.size());
    first = std::min(first, last);
    std::vector<float> out(x.begin() + static_cast<std::ptrdiff_t>(first),
                           x.begin() + static_cast<std::ptrdiff_t>(last));
    const auto fade = std::min(static_cast<std::size_t>(0.02 * rate.value()), out.size() / 2);
    for (std::size_t i = 0; i < fade; ++i) {
        const double t = (static_cast<double>(i) + 0.5) / static_cast<double>(fade) * pi / 2;
        const auto back = fade - i;  // so long before `first`
        const float before = first >= back ? x[first - back] : 0.0F;
        auto& y = out[out.size() - fade + i];
        y = static_cast<float>(std::cos(t)) * y + static_cast<float>(std::sin(t)) * before;
    }
    return out;
}

std::pair<Decibel, Decibel> level_match(std::span<const float> a, SampleRate rate_a, std::span<const float> b,
                                        SampleRate rate_b) {
    const auto la = median_level(a, rate_a), lb = median_level(b, rate_b);
    if (!la || !lb) return {Decibel{0}, Decibel{0}};
    const double lower = std::min(*la, *lb);
    return {Decibel{lower - *la}, Decibel{lower - *lb}};
}

}  // namespace cranknote
