#include "speed/evidence.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <memory>
#include <numbers>
#include <utility>

#include "signal/envelope.hpp"
#include "signal/fft.hpp"
#include "signal/resample.hpp"

namespace cranknote::speed_detail {

namespace {

constexpr double sound_rate = 2700.0;
constexpr double envelope_window = 0.003;  // s; a tick's envelope fits
constexpr double envelope_hop = 0.0014;    // s; lines to 350 Hz

/// Logarithm of a band's power, its slow course taken off: a swell of the whole engine is no line.
std::vector<float> log_envelope(const std::vector<float>& power, double rate) {
    std::vector<float> y(power.size());
    double mean = 0.0;
    for (const float p : power) mean += static_cast<double>(p);
    mean = power.empty() ? 0.0 : mean / static_cast<double>(power.size());
    const auto floor = static_cast<float>(std::max(1e-16, 1e-4 * mean));
    for (std::size_t i = 0; i < y.size(); ++i) y[i] = std::log(power[i] + floor);
    // A moving average over half a second.
    const auto half = static_cast<std::size_t>(0.25 * rate);
    std::vector<double> sum(y.size() + 1, 0.0);
    for (std::size_t i = 0; i < y.size(); ++i) sum[i + 1] = sum[i] + static_cast<double>(y[i]);
    std::vector<float> out(y.size());
    for (std::size_t i = 0; i < y.size(); ++i) {
        const std::size_t a = i > half ? i - half : 0, b = std::min(y.size(), i + half + 1);
        out[i] = y[i] - static_cast<float>((sum[b] - sum[a]) / static_cast<double>(b - a));
    }
    return out;
}

}  // namespace

Evidence evidence_of(std::span<const float> x, SampleRate rate) {
    Evidence e;
    e.duration = Seconds{static_cast<double>(x.size()) / rate.value()};
    const double low_rate = std::min(sound_rate, rate.value());
    e.sound = {SampleRate{low_rate}, Seconds{0}, signal::decimated(x, rate.value(), low_rate), Hertz{18},
               Hertz{0.42 * low_rate}};
    const double top = 0.45 * rate.value();
    std::vector<std::pair<double, double>> edges;
    for (const auto& [a, b] :
         {std::pair{350.0, 1000.0}, {1000.0, 2500.0}, {2500.0, 6000.0}, {6000.0, 12000.0}})
        if (a * 1.5 < top) edges.emplace_back(a, std::min(b, top));
    const auto even = [](double v) {
        return std::max<std::size_t>(8, 2 * static_cast<std::size_t>(std::lround(v / 2)));
    };
    const auto bands =
        signal::band_powers(x, rate.value(), edges, signal::fast_size(even(envelope_window * rate.value())),
                            std::max<std::size_t>(4, static_cast<std::size_t>(envelope_hop * rate.value())));
    for (const auto& b : bands.band)
        e.envelopes.push_back({SampleRate{bands.rate}, Seconds{bands.first}, log_envelope(b, bands.rate),
                               Hertz{2.4}, Hertz{260}});
    return e;
}

std::vector<float> standing_out(std::span<const float> power, std::size_t reach, float ceiling) {
    std::vector<float> out(power.size(), 0.0F);
    if (power.empty()) return out;
    // The floor is taken on a coarse grid and drawn straight between: it changes slowly.
    const std::size_t step = std::max<std::size_t>(1, reach / 3);
    std::vector<float> knots, part;
    for (std::size_t i = 0; i < power.size() + step; i += step) {
        const std::size_t c = std::min(i, power.size() - 1);
        const std::size_t a = c > reach ? c - reach : 0, b = std::min(power.size(), c + reach + 1);
        part.assign(power.begin() + static_cast<std::ptrdiff_t>(a),
                    power.begin() + static_cast<std::ptrdiff_t>(b));
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

LineSpectrum::LineSpectrum(std::size_t length, std::size_t pad)
    : impl_(new Impl{
          length, signal::RealFft(signal::fast_size(length * pad)), std::vector<float>(length), {}, {}}) {
    for (std::size_t i = 0; i < length; ++i)
        impl_->window[i] =
            static_cast<float>(0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * (static_cast<double>(i) + 0.5) /
                                                    static_cast<double>(length)));
    impl_->buffer.resize(impl_->fft.size());
    impl_->lines.resize(impl_->fft.size() / 2 + 1);
}

LineSpectrum::~LineSpectrum() { delete impl_; }
LineSpectrum::LineSpectrum(LineSpectrum&& o) noexcept : impl_(std::exchange(o.impl_, nullptr)) {}
LineSpectrum& LineSpectrum::operator=(LineSpectrum&& o) noexcept {
    std::swap(impl_, o.impl_);
    return *this;
}
std::size_t LineSpectrum::padded() const { return impl_->fft.size(); }
std::size_t LineSpectrum::length() const { return impl_->length; }

void LineSpectrum::power(std::span<const float> piece, std::vector<float>& out) {
    auto& m = *impl_;
    std::fill(m.buffer.begin(), m.buffer.end(), 0.0F);
    double mean = 0.0;
    for (const float v : piece) mean += static_cast<double>(v);
    const auto average =
        static_cast<float>(mean / static_cast<double>(std::max<std::size_t>(1, piece.size())));
    for (std::size_t i = 0; i < std::min(piece.size(), m.length); ++i)
        m.buffer[i] = (piece[i] - average) * m.window[i];
    m.fft.forward(m.buffer, m.lines);
    out.resize(m.lines.size());
    for (std::size_t k = 0; k < out.size(); ++k) out[k] = std::norm(m.lines[k]);
}

}  // namespace cranknote::speed_detail
