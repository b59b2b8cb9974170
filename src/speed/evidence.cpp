#include "speed/evidence.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/fft.hpp"
#include "signal/octaves.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double sound_rate_below = 5000.0;  // halved until below: 2500 to 5000 a second
constexpr int bass_halvings = 2;             // from there to the bass and the envelopes
constexpr double empty_band = 1e-11;         // mean square below which a band holds rounding only (-110 dB)
constexpr double leaking_band = 3e-6;        // of the loudest's: what the octave filters let through
constexpr double still_band =
    2e-3;  // variance of ln(power) below which it is one even tone (noise: above 0.1)

double mean_of(std::span<const float> x) {
    double sum = 0.0;
    for (const float v : x) sum += static_cast<double>(v);
    return sum / static_cast<double>(std::max<std::size_t>(1, x.size()));
}

double mean_of_squares(std::span<const float> x) {
    double sum = 0.0;
    for (const float v : x) sum += static_cast<double>(v) * static_cast<double>(v);
    return sum / static_cast<double>(std::max<std::size_t>(1, x.size()));
}

/// Logarithm of a band's power, its slow course taken off: a swell of the whole engine is no line.
std::vector<float> log_envelope(const std::vector<float>& power, double rate) {
    const auto floor = static_cast<float>(std::max(1e-16, 1e-3 * mean_of(power)));
    std::vector<float> y(power.size());
    std::vector<double> sum(y.size() + 1, 0.0);
    for (std::size_t i = 0; i < y.size(); ++i) {
        y[i] = std::log(power[i] + floor);
        sum[i + 1] = sum[i] + static_cast<double>(y[i]);
    }
    // Less a moving average over half a second.
    const auto half = static_cast<std::size_t>(0.25 * rate);
    for (std::size_t i = 0; i < y.size(); ++i) {
        const std::size_t a = i > half ? i - half : 0, b = std::min(y.size(), i + half + 1);
        y[i] -= static_cast<float>((sum[b] - sum[a]) / static_cast<double>(b - a));
    }
    return y;
}

/// Scales a stream to variance 1, so that bands can be added. False if it hardly varies.
bool normalise(std::vector<float>& x) {
    const double square = mean_of_squares(x);
    if (square <= still_band) return false;
    const auto scale = static_cast<float>(1.0 / std::sqrt(square));
    for (auto& v : x) v *= scale;
    return true;
}

}  // namespace

Evidence evidence_of(std::span<const float> x, SampleRate rate) {
    Evidence e;
    e.duration = Seconds{static_cast<double>(x.size()) / rate.value()};
    int to_sound = 0;
    for (double r = rate.value(); r >= sound_rate_below; r /= 2.0) ++to_sound;
    const int to_bass = to_sound + bass_halvings;
    const SampleRate slow{rate.value() / std::pow(2.0, to_bass)};
    auto parts = signal::octaves(x, to_bass, to_sound);
    double loudest = mean_of_squares(parts.low);
    for (const auto& power : parts.mean_squares) loudest = std::max(loudest, mean_of(power));
    for (const auto& power : parts.mean_squares) {
        if (mean_of(power) <= std::max(empty_band, leaking_band * loudest)) continue;
        auto y = log_envelope(power, slow.value());
        if (!normalise(y)) continue;
        e.envelopes.push_back({slow, std::move(y), Hertz{2.4}, Hertz{0.35 * slow.value()}});
    }
    e.sound.samples = std::move(parts.kept);
    e.sound.rate = slow * std::pow(2.0, bass_halvings);
    e.sound.low = Hertz{18}, e.sound.high = Hertz{0.36 * e.sound.rate.value()};
    e.bass = {slow, std::move(parts.low), Hertz{18}, Hertz{0.42 * slow.value()}};
    return e;
}

Evidence part_of(const Evidence& e, Seconds from, Seconds to) {
    const auto part = [&](const Stream& s) {
        Stream p{s.rate, {}, s.low, s.high};
        const auto place = [&](Seconds t) {
            const double i = std::max(0.0, std::round(t.value() * s.rate.value()));
            return s.samples.begin() +
                   static_cast<std::ptrdiff_t>(std::min(static_cast<std::size_t>(i), s.samples.size()));
        };
        p.samples.assign(place(from), place(to));
        return p;
    };
    Evidence out{part(e.sound), part(e.bass), {}, to - from};
    for (const auto& s : e.envelopes) out.envelopes.push_back(part(s));
    return out;
}

std::vector<float> standing_out(std::span<const float> power, std::size_t reach, std::size_t grain,
                                float ceiling) {
    std::vector<float> out(power.size(), 0.0F);
    if (power.empty()) return out;
    grain = std::max<std::size_t>(1, grain);
    // The floor is taken on a coarse grid and drawn straight between: it changes slowly.
    const std::size_t step = std::max<std::size_t>(1, reach / 2);
    std::vector<float> knots, part;
    for (std::size_t i = 0; i < power.size() + step; i += step) {
        const std::size_t c = std::min(i, power.size() - 1);
        part.clear();
        for (std::size_t k = c > reach ? c - reach : 0; k < std::min(power.size(), c + reach + 1); k += grain)
            part.push_back(power[k]);
        const auto q = part.begin() + static_cast<std::ptrdiff_t>(part.size() * 2 / 5);
        std::nth_element(part.begin(), q, part.end());
        knots.push_back(std::log(*q + 1e-30F));
    }
    for (std::size_t i = 0; i < power.size(); ++i) {
        const std::size_t k = i / step;
        const float w = static_cast<float>(i % step) / static_cast<float>(step);
        const float floor = knots[k] + w * (knots[std::min(k + 1, knots.size() - 1)] - knots[k]);
        out[i] = std::clamp(std::log(power[i] + 1e-30F) - floor, 0.0F, ceiling);
    }
    return out;
}

struct LineSpectrum::Impl {
    std::size_t length;
    signal::RealFft fft;
    std::vector<float> window, buffer;
    std::vector<std::complex<float>> lines;
};

LineSpectrum::LineSpectrum(std::size_t length, std::size_t size)
    : impl_(new Impl{length,
                     signal::RealFft(signal::fast_size(std::max(length, size))),
                     std::vector<float>(length),
                     {},
                     {}}) {
    const double step = 2.0 * std::numbers::pi / static_cast<double>(std::max<std::size_t>(1, length));
    std::complex<double> turn = std::polar(1.0, 0.5 * step);
    const std::complex<double> by = std::polar(1.0, step);
    for (auto& w : impl_->window) {
        w = static_cast<float>(0.5 - 0.5 * turn.real());
        turn *= by;
    }
    impl_->buffer.resize(impl_->fft.size());
    impl_->lines.resize(impl_->fft.size() / 2 + 1);
}

LineSpectrum::~LineSpectrum() = default;
LineSpectrum::LineSpectrum(LineSpectrum&&) noexcept = default;
LineSpectrum& LineSpectrum::operator=(LineSpectrum&&) noexcept = default;
std::size_t LineSpectrum::padded() const { return impl_->fft.size(); }
std::size_t LineSpectrum::length() const { return impl_->length; }
std::span<const std::complex<float>> LineSpectrum::lines() const { return impl_->lines; }

void LineSpectrum::transform(std::span<const float> piece) {
    auto& m = *impl_;
    const std::size_t n = std::min(piece.size(), m.length);
    double mean = 0.0;
    for (const float v : piece.first(n)) mean += static_cast<double>(v);
    const auto average = static_cast<float>(mean / static_cast<double>(std::max<std::size_t>(1, n)));
    for (std::size_t i = 0; i < n; ++i) m.buffer[i] = (piece[i] - average) * m.window[i];
    std::fill(m.buffer.begin() + static_cast<std::ptrdiff_t>(n), m.buffer.end(), 0.0F);
    m.fft.forward(m.buffer, m.lines);
}

void LineSpectrum::add_power(std::span<const float> piece, float weight, std::span<float> out) {
    transform(piece);
    const auto& m = *impl_;
    for (std::size_t k = 0; k < std::min(out.size(), m.lines.size()); ++k)
        out[k] += weight * std::norm(m.lines[k]);
}

}  // namespace cranknote::speed_detail
