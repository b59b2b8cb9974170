#include "audio/play.hpp"

#include <portaudio.h>

#include <algorithm>
#include <cmath>

#include "audio/devices.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

constexpr std::size_t out_channels = 2;
constexpr double loudest_peak = 0.95;

struct Heard {
    Mixer mixer;
    std::size_t channels = out_channels;
};

/// Runs on the sound card's thread.
int give_out(const void*, void* output, unsigned long frames, const PaStreamCallbackTimeInfo*,
             PaStreamCallbackFlags, void* user) {
    auto& heard = *static_cast<Heard*>(user);
    heard.mixer.fill({static_cast<float*>(output), static_cast<std::size_t>(frames) * heard.channels},
                     heard.channels);
    return paContinue;
}

void check(PaError code, const std::string& device) {
    if (code != paNoError)
        throw Error(std::string("cannot play: ") + Pa_GetErrorText(code), device,
                    "close the other program that uses it");
}

/// The first and last 10 ms rise and fall, so that beginning and end do not click.
void soften_ends(std::vector<float>& x, SampleRate rate) {
    const auto n = std::min(static_cast<std::size_t>(0.01 * rate.value()), x.size() / 2);
    for (std::size_t i = 0; i < n; ++i) {
        const auto w = static_cast<float>(i) / static_cast<float>(n);
        x[i] *= w;
        x[x.size() - 1 - i] *= w;
    }
}

}  // namespace

Playable take_of(const std::vector<float>& samples, SampleRate from, SampleRate to, Decibel gain,
                 const Treatment& how) {
    auto x = how.band ? band_alone(samples, from, how.band->first, how.band->second, how.rest) : samples;
    x = at_rate(x, from, to);
    if (how.loop_loudest) {
        const auto [first, last] = loudest(x, to);
        x = seamless(x, to, first, last);
    }
    if (how.half_speed) x = half_speed(x, to);
    Playable take;
    take.loop = how.loop || how.loop_loudest;
    if (!take.loop || how.half_speed) soften_ends(x, to);
    take.samples = std::move(x);
    take.gain = std::pow(10.0, gain.value() / 20);
    take.pace = how.half_speed ? 2.0 : 1.0;
    return take;
}

void keep_from_clipping(std::vector<Playable>& takes) {
    double peak = 0;
    for (const auto& t : takes)
        for (const float x : t.samples) peak = std::max(peak, t.gain * std::abs(static_cast<double>(x)));
    if (peak <= loudest_peak) return;
    for (auto& t : takes) t.gain *= loudest_peak / peak;
}

struct Player::Work {
    Work(const std::string& output, SampleRate wanted)
        : device(choose(outputs(system), output)), rate(wanted), heard{Mixer(wanted)} {}
    SoundSystem system;
    SoundDevice device;
    SampleRate rate;
    Heard heard;
    std::vector<std::shared_ptr<const Playable>> kept;
    PaStream* stream = nullptr;
};

Player::Player(const std::string& output, SampleRate rate) : work_(std::make_unique<Work>(output, rate)) {
    auto& w = *work_;
    w.heard.channels = std::min<std::size_t>(out_channels, static_cast<std::size_t>(w.device.channels));
    PaStreamParameters out{};
    out.device = w.device.index;
    out.channelCount = static_cast<int>(w.heard.channels);
    out.sampleFormat = paFloat32;
    const auto* about = Pa_GetDeviceInfo(w.device.index);
    // An ear takes a change within a tenth of a second for at once; less makes gaps on a busy machine.
    out.suggestedLatency = std::max(0.08, about != nullptr ? about->defaultHighOutputLatency : 0.0);
    const QuietStderr quiet;
    check(Pa_OpenStream(&w.stream, nullptr, &out, rate.value(), paFramesPerBufferUnspecified, paNoFlag,
                        give_out, &w.heard),
          w.device.name);
    check(Pa_StartStream(w.stream), w.device.name);
}

Player::~Player() {
    const QuietStderr quiet;
    Pa_AbortStream(work_->stream);
    Pa_CloseStream(work_->stream);
}

void Player::play(std::shared_ptr<const Playable> take) {
    auto& w = *work_;
    w.heard.mixer.choose(take.get());
    if (take) w.kept.push_back(std::move(take));
    std::erase_if(w.kept, [&](const auto& t) { return !w.heard.mixer.in_use(t.get()); });
}

void Player::rewind() { work_->heard.mixer.rewind(); }
void Player::set_gain(double gain) { work_->heard.mixer.set_gain(gain); }
Seconds Player::position() const { return Seconds{work_->heard.mixer.position() / work_->rate.value()}; }
bool Player::ended() const { return work_->heard.mixer.ended(); }
bool Player::alive() const { return Pa_IsStreamActive(work_->stream) == 1; }
SampleRate Player::rate() const { return work_->rate; }
const std::string& Player::device() const { return work_->device.name; }

}  // namespace cranknote
