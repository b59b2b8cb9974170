#include "simulate/phone.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "simulate/fourier.hpp"

namespace cranknote::simulate {

namespace {

using std::numbers::pi;

/// A smooth random response, the same for one phone: a linear-phase filter of 255 points from a curve of dips
/// and rises.
Wave microphone_response(const Phone& phone) {
    Dice dice = Dice(phone.seed).fork("response");
    const double rate = working_rate(phone);
    std::array<double, 5> centre{}, width{}, height{};
    for (std::size_t i = 0; i < centre.size(); ++i) {
        centre[i] = std::log2(dice.ratio(150.0, 16000.0));
        width[i] = dice.uniform(0.25, 1.2);
        height[i] = dice.normal(0.0, 3.0);
    }
    const double tilt = dice.normal(0.0, 0.5);
    constexpr std::size_t size = 1024, taps = 255;
    const Fourier fourier(size);
    std::vector<Complex> lines(size / 2 + 1);
    for (std::size_t k = 1; k < lines.size(); ++k) {
        const double octave = std::log2(static_cast<double>(k) * rate / size);
        double db = tilt * (octave - 10.0);
        for (std::size_t i = 0; i < centre.size(); ++i)
            db += height[i] * std::exp(-0.5 * std::pow((octave - centre[i]) / width[i], 2));
        lines[k] = static_cast<float>(std::pow(10.0, db / 20.0));
    }
    lines[0] = lines[1];
    Wave whole(size), response(taps);
    fourier.inverse(lines, whole);
    for (std::size_t i = 0; i < taps; ++i) {
        const auto at = (i + size - taps / 2) % size;
        const double window = 0.5 - 0.5 * std::cos(2.0 * pi * (static_cast<double>(i) + 0.5) / taps);
        response[i] = static_cast<float>(static_cast<double>(whole[at]) * window / size);
    }
    return response;
}

/// Gain that follows the level towards a target: falls fast, rises slowly, within 18 dB.
void control_gain(Wave& wave, const Phone& phone, double rate) {
    const double target = std::pow(10.0, phone.target_db / 10.0);
    const double average = std::exp(-1.0 / (0.05 * rate));
    const double fall = std::exp(-1.0 / (phone.gain_attack * rate)),
                 rise = std::exp(-1.0 / (phone.gain_release * rate));
    double power = target, gain = 1.0, wanted = 1.0;
    for (std::size_t i = 0; i < wave.size(); ++i) {
        const double x =
            static_cast<double>(wave[i]) * 2.0;  // set a little loud, so that it has work to do at first
        power = average * power + (1.0 - average) * x * x;
        if (i % 64 == 0) wanted = std::clamp(std::sqrt(target / std::max(power, 1e-12)), 0.125, 8.0);
        gain = (wanted < gain ? fall : rise) * (gain - wanted) + wanted;
        wave[i] = static_cast<float>(x * gain);
    }
}

/// Spectral subtraction that takes whatever is steady for noise (Boll 1979, with a slow estimate and a
/// floor).
Wave suppress_steady(const Wave& wave, double rate) {
    constexpr std::size_t size = 512, hop = 256;
    const Fourier fourier(size);
    std::vector<float> block(size), window(size);
    for (std::size_t i = 0; i < size; ++i)
        window[i] = static_cast<float>(std::sin(pi * (static_cast<double>(i) + 0.5) / size));
    std::vector<Complex> lines(size / 2 + 1);
    std::vector<float> steady(lines.size(), 1e-12F);
    const auto learn = static_cast<float>(std::exp(-static_cast<double>(hop) / (1.2 * rate)));
    Wave out(wave.size());
    for (std::size_t at = 0; at + size <= wave.size(); at += hop) {
        for (std::size_t i = 0; i < size; ++i) block[i] = wave[at + i] * window[i];
        fourier.forward(block, lines);
        for (std::size_t k = 0; k < lines.size(); ++k) {
            const float p = std::norm(lines[k]);
            steady[k] = learn * steady[k] + (1.0F - learn) * p;
            lines[k] *= std::sqrt(std::max(0.02F, 1.0F - 0.9F * steady[k] / (p + 1e-12F)));
        }
        fourier.inverse(lines, block);
        for (std::size_t i = 0; i < size; ++i) out[at + i] += block[i] * window[i] / static_cast<float>(size);
    }
    return out;
}

/// Every nth sample behind a low pass at nine tenths of the new half rate.
Wave decimate(const Wave& wave, int factor) {
    if (factor <= 1) return wave;
    const int half = 32 * factor;
    std::vector<float> low(static_cast<std::size_t>(2 * half + 1));
    for (int i = -half; i <= half; ++i) {
        const double x = 0.92 * i / factor;
        const double sinc = i == 0 ? 1.0 : std::sin(pi * x) / (pi * x);
        low[static_cast<std::size_t>(i + half)] =
            static_cast<float>(0.92 / factor * sinc * (0.5 + 0.5 * std::cos(pi * i / (half + 1.0))));
    }
    Wave out(wave.size() / static_cast<std::size_t>(factor));
    for (std::size_t n = 0; n < out.size(); ++n) {
        const auto centre = static_cast<std::ptrdiff_t>(n) * factor;
        float sum = 0.0F;
        const auto from = std::max<std::ptrdiff_t>(0, centre - half);
        const auto to = std::min<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(wave.size()) - 1, centre + half);
        for (auto i = from; i <= to; ++i)
            sum += wave[static_cast<std::size_t>(i)] * low[static_cast<std::size_t>(i - centre + half)];
        out[n] = sum;
    }
    return out;
}

void to_16_bit(Wave& wave) {
    for (float& x : wave) x = std::round(std::clamp(x, -1.0F, 32767.0F / 32768.0F) * 32768.0F) / 32768.0F;
}

}  // namespace

double working_rate(const Phone& phone) { return phone.rate < 44000.0 ? 48000.0 : phone.rate; }

Phone make_phone(std::uint64_t seed, const PhoneWish& wish) {
    Dice dice = Dice(seed).fork("phone");
    Phone p;
    p.seed = seed;
    p.rate = dice.chance(0.65) ? 48000.0 : 44100.0;
    p.floor_db = dice.uniform(-84.0, -62.0);
    p.target_db = dice.uniform(-34.0, -18.0);
    if (!wish.no_low_cut && dice.chance(0.75)) {
        p.low_cut = dice.uniform(60.0, 200.0);
        p.low_cut_pairs = dice.between(1, 3);
    }
    if (dice.chance(0.2)) p.high_cut = dice.uniform(9000.0, 16000.0);
    p.gain_control = dice.chance(wish.gain_control_chance);
    p.gain_attack = dice.uniform(0.1, 0.6);
    p.gain_release = dice.uniform(1.0, 4.0);
    p.suppresses_noise = dice.chance(wish.suppression_chance);
    if (dice.chance(wish.clipping_chance)) p.target_db = dice.uniform(-10.0, -6.0);
    if (dice.chance(wish.poor_chance)) p.rate = dice.chance(0.6) ? 16000.0 : 8000.0;
    if (dice.chance(wish.codec_chance)) {
        const double what = dice.uniform();
        p.codec = p.rate < 10000.0 ? "mp3" : what < 0.6 ? "m4a" : what < 0.8 ? "opus" : "mp3";
        p.kbit = p.codec == "opus"  ? (dice.chance(0.5) ? 32 : 64)
                 : dice.chance(0.5) ? 64
                                    : dice.between(96, 128);
        if (p.rate < 44000.0) p.kbit = p.rate < 10000.0 ? 24 : 32;
        if (p.codec == "opus") p.rate = p.rate < 44000.0 ? 16000.0 : 48000.0;
    }
    return p;
}

double Phone::band_limit() const {
    double hz = rate / 2.0;
    if (high_cut > 0.0) hz = std::min(hz, high_cut);
    return hz;
}

std::string Phone::words() const {
    std::string s = std::to_string(static_cast<int>(rate)) + " Hz";
    if (low_cut > 0.0)
        s += ", low cut " + std::to_string(static_cast<int>(low_cut)) + " Hz " +
             std::to_string(12 * low_cut_pairs) + " dB/octave";
    if (gain_control) s += ", gain control";
    if (suppresses_noise) s += ", noise suppression";
    if (codec != "wav") s += ", " + codec + " " + std::to_string(kbit) + " kbit/s";
    return s;
}

double gain_for(const Wave& pressure, const Phone& phone) {
    Wave heard = pressure;
    if (phone.low_cut > 0.0) filter(heard, Biquad::high_pass(phone.low_cut, 0.7071, working_rate(phone)));
    const double power = mean_power(heard);
    return power > 0.0 ? std::sqrt(std::pow(10.0, phone.target_db / 10.0) / power) : 1.0;
}

Wave through_phone(const Wave& pressure, const Phone& phone, double gain, Dice dice) {
    const double rate = working_rate(phone);
    const Wave response = phone.measuring ? Wave{1.0F} : microphone_response(phone);
    Wave wave = sum_through({{&pressure, &response}});
    scale(wave, gain);
    if (phone.low_cut > 0.0)
        for (int i = 0; i < phone.low_cut_pairs; ++i)
            filter(wave, Biquad::high_pass(phone.low_cut, 0.7071, rate));
    if (phone.high_cut > 0.0)
        for (int i = 0; i < 3; ++i) filter(wave, Biquad::low_pass(phone.high_cut, 0.7071, rate));
    const auto floor = static_cast<float>(std::pow(10.0, phone.floor_db / 20.0));
    Dice noise = dice.fork("floor");
    for (float& x : wave) x += floor * noise.noise();
    if (phone.gain_control) control_gain(wave, phone, rate);
    if (phone.suppresses_noise) wave = suppress_steady(wave, rate);
    wave = decimate(wave, static_cast<int>(std::lround(rate / phone.rate)));
    to_16_bit(wave);
    return wave;
}

void fill_phone_truth(const Phone& phone, TakeTruth& truth) {
    truth.phone = phone.words();
    if (phone.low_cut > 0.0) truth.low_cut = Hertz{phone.low_cut};
    if (phone.band_limit() < 20000.0) truth.band_limit = Hertz{phone.band_limit()};
    if (phone.suppresses_noise) truth.quality.emplace_back("noise-suppression");
    if (phone.gain_control) truth.quality.emplace_back("gain-control");
    if (phone.target_db > -11.0 && !phone.gain_control) truth.quality.emplace_back("clipped");
    if (phone.band_limit() < 9000.0) truth.quality.emplace_back("band-limit");
    if (phone.low_cut > 120.0 && phone.low_cut_pairs > 1) truth.quality.emplace_back("low-cut");
}

}  // namespace cranknote::simulate
