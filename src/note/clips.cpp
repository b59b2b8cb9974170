#include "note/clips.hpp"

#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>
#include <numbers>

#include "audio/audition.hpp"
#include "figure/number_text.hpp"
#include "units/error.hpp"

namespace cranknote {

namespace {

constexpr double top = 0.7079;  // −3 dB: lossy coding may overshoot a little
constexpr double encoder_compression =
    0.55;                           // of 0 (large) to 1 (small): transparent for a noise, some 20 kB a second
constexpr Decibel most_gain{40.0};  // a silent stretch is not blown up to a roar

/// A file in memory as libsndfile wants it.
struct Memory {
    std::string bytes;
    sf_count_t at = 0;
};
sf_count_t length_of(void* user) { return static_cast<sf_count_t>(static_cast<Memory*>(user)->bytes.size()); }
sf_count_t tell(void* user) { return static_cast<Memory*>(user)->at; }
sf_count_t seek(sf_count_t offset, int whence, void* user) {
    auto& m = *static_cast<Memory*>(user);
    m.at = offset + (whence == SEEK_CUR ? m.at : whence == SEEK_END ? length_of(user) : 0);
    return m.at;
}
sf_count_t read(void* to, sf_count_t count, void* user) {
    auto& m = *static_cast<Memory*>(user);
    const auto n = std::clamp<sf_count_t>(length_of(user) - m.at, 0, count);
    std::memcpy(to, m.bytes.data() + m.at, static_cast<std::size_t>(n));
    m.at += n;
    return n;
}
sf_count_t write(const void* from, sf_count_t count, void* user) {
    auto& m = *static_cast<Memory*>(user);
    const auto end = static_cast<std::size_t>(m.at + count);
    if (m.bytes.size() < end) m.bytes.resize(end);
    std::memcpy(m.bytes.data() + m.at, from, static_cast<std::size_t>(count));
    m.at += count;
    return count;
}

/// Rates that are encoded as they are. Lower ones would be MPEG-2 layer III, which the encoder gives other
/// levels (1 dB at 16 kHz, measured by the test of this file); they are brought to 48 kHz.
bool kept_rate(double rate) { return rate == 44100.0 || rate == 48000.0; }

double peak_of(const std::vector<float>& x) {
    double peak = 0.0;
    for (const float v : x) peak = std::max(peak, std::abs(static_cast<double>(v)));
    return peak;
}

void scale(std::vector<float>& x, double by) {
    for (auto& v : x) v = static_cast<float>(static_cast<double>(v) * by);
}

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

std::vector<float> band_of(const ClipSide& side, const std::optional<std::pair<Hertz, Hertz>>& band) {
    const auto half = nyquist(side.rate);
    if (!band || band->first >= half) return {side.samples.begin(), side.samples.end()};
    return band_alone(side.samples, side.rate, band->first, std::min(band->second, half));
}

std::vector<float> cut(const std::vector<float>& x, std::pair<std::size_t, std::size_t> stretch) {
    const auto at = [&](std::size_t i) {
        return x.begin() + static_cast<std::ptrdiff_t>(std::min(i, x.size()));
    };
    return {at(stretch.first), at(stretch.second)};
}

/// Both sides of one kind (whole, or band alone), with one gain.
void add_pair(std::vector<Clip>& clips, std::vector<float> xa, std::vector<float> xb, const ClipSide& a,
              const ClipSide& b, Decibel offset, const std::string& caption, const ClipSettings& settings) {
    scale(xb, std::sqrt(power_of(-offset)));
    const double peak = std::max(peak_of(xa), peak_of(xb));
    const double gain = peak > 0.0 ? std::min(top / peak, std::sqrt(power_of(most_gain))) : 1.0;
    const auto add = [&](std::vector<float>& x, const ClipSide& side) {
        if (x.empty()) return;
        scale(x, gain);
        fade_ends(x, side.rate, settings.fade);
        clips.push_back({capital(side.state), caption, "audio/mpeg", mp3_of(x, side.rate),
                         Seconds{static_cast<double>(x.size()) / side.rate.value()}});
    };
    add(xa, a);
    add(xb, b);
}

}  // namespace

void fade_ends(std::span<float> samples, SampleRate rate, Seconds fade) {
    const auto wanted = static_cast<std::size_t>(std::max(0.0, fade.value() * rate.value()));
    const auto n = std::min(wanted, samples.size() / 2);
    for (std::size_t i = 0; i < n; ++i) {
        const double share = (static_cast<double>(i) + 0.5) / static_cast<double>(n);
        const auto gain = static_cast<float>(0.5 - 0.5 * std::cos(std::numbers::pi * share));
        samples[i] *= gain;
        samples[samples.size() - 1 - i] *= gain;
    }
}

std::string mp3_of(std::span<const float> samples, SampleRate rate) {
    std::vector<float> x(samples.begin(), samples.end());
    if (!kept_rate(rate.value())) {
        x = at_rate(samples, rate, SampleRate{48000.0});
        rate = SampleRate{48000.0};
    }
    Memory memory;
    SF_VIRTUAL_IO io{length_of, seek, read, write, tell};
    SF_INFO info{};
    info.channels = 1;
    info.samplerate = static_cast<int>(rate.value());
    info.format = SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III;
    std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> file(sf_open_virtual(&io, SFM_WRITE, &info, &memory),
                                                     sf_close);
    if (!file) throw Error("a sound clip could not be encoded", "", sf_strerror(nullptr));
    double compression = encoder_compression;
    sf_command(file.get(), SFC_SET_COMPRESSION_LEVEL, &compression, sizeof compression);
    const auto count = static_cast<sf_count_t>(x.size());
    if (sf_write_float(file.get(), x.data(), count) != count)
        throw Error("a sound clip could not be encoded", "", sf_strerror(file.get()));
    file.reset();  // writes what the encoder still holds
    return std::move(memory.bytes);
}

std::vector<Clip> clips_of(const ClipSide& a, const ClipSide& b,
                           const std::vector<std::pair<Hertz, Hertz>>& bands, Decibel offset,
                           const Sentences& say, const ClipSettings& settings) {
    std::vector<Clip> clips;
    const auto pair_of = [&](const std::optional<std::pair<Hertz, Hertz>>& band, bool alone,
                             const std::string& caption) {
        std::vector<float> x[2];
        const ClipSide* sides[2] = {&a, &b};
        for (int i = 0; i < 2; ++i) {
            if (sides[i]->samples.empty()) continue;
            auto filtered = band_of(*sides[i], band);
            const auto stretch = loudest(filtered, sides[i]->rate, settings.length);
            if (!alone) filtered.assign(sides[i]->samples.begin(), sides[i]->samples.end());
            x[i] = cut(filtered, stretch);
        }
        add_pair(clips, x[0], x[1], a, b, offset, caption, settings);
    };
    pair_of(bands.empty() ? std::nullopt : std::optional(bands.front()), false, say(Say::clip_whole));
    for (const auto& band : bands) pair_of(band, true, say(Say::clip_band, {{"band", hertz_text(band)}}));
    return clips;
}

}  // namespace cranknote
