#include "desk/sound_room.hpp"

#include <cmath>

#include "signal/spectrum.hpp"

namespace cranknote::desk {

namespace {

constexpr double rate = 48000.0;
constexpr std::size_t spectrum_samples = 16384, bars = 60;

std::vector<float> live_spectrum(const std::vector<float>& x) {
    if (x.size() < 4096) return {};
    const auto s = signal::averaged_spectrum(x, rate, 4096, 2048);
    std::vector<float> out;
    for (std::size_t i = 0; i < bars; ++i) {
        const double low = 30.0 * std::pow(16000.0 / 30.0, static_cast<double>(i) / bars),
                     high = 30.0 * std::pow(16000.0 / 30.0, static_cast<double>(i + 1) / bars);
        const double power = signal::band_power(s.density, s.step, low, high);
        out.push_back(static_cast<float>(10.0 * std::log10(std::max(power, 1e-14))));
    }
    return out;
}

}  // namespace

void SoundRoom::record(const std::string& file) {
    RecordSettings settings;
    recorder_ = std::make_unique<Recorder>(file, settings);
    rpm_.reset();
    speed_asked_at_ = 0.0;
}

std::optional<RecordState> SoundRoom::stop_recording() {
    if (!recorder_) return std::nullopt;
    const auto state = recorder_->stop();
    recorder_.reset();
    return state;
}

void SoundRoom::play(std::shared_ptr<Player> player, std::shared_ptr<const Playable> what, bool b,
                     std::string recording) {
    player_ = std::move(player);
    const bool change = playing_ && recording.empty() && recording_id_.empty();
    b_ = b;
    recording_id_ = std::move(recording);
    player_->play(std::move(what));
    if (!change) player_->rewind();
    playing_ = true;
}

void SoundRoom::stop_playing() {
    if (player_ && playing_) player_->play(nullptr);
    playing_ = false;
}

Live SoundRoom::live() {
    Live now;
    if (recorder_) {
        now.recording = true;
        now.device = recorder_->device();
        now.record = recorder_->state();
        if (!now.record.levels.empty() && now.record.recorded.value() > 1.0)
            now.advice = advice_on(now.record.levels.front());
        if (now.record.trouble) now.advice = now.record.trouble;
        now.spectrum = live_spectrum(recorder_->newest(0, spectrum_samples));
        now.rpm = rpm_;
    }
    if (playing_ && player_ && (!player_->alive() || (player_->ended() && player_->position().value() > 0.0)))
        stop_playing();
    now.playing = playing_;
    now.playing_b = b_;
    now.playing_recording = recording_id_;
    if (playing_) now.position = player_->position();
    return now;
}

std::vector<float> SoundRoom::stretch_for_speed() {
    if (!recorder_) return {};
    const double t = recorder_->state().recorded.value();
    if (t < 4.0 || t - speed_asked_at_ < 1.0) return {};
    speed_asked_at_ = t;
    return recorder_->newest(0, static_cast<std::size_t>(4.0 * rate));
}

}  // namespace cranknote::desk
