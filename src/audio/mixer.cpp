#include "audio/mixer.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace cranknote {

Mixer::Mixer(SampleRate rate)
    : fade_(std::max<std::size_t>(1, static_cast<std::size_t>(0.01 * rate.value()))) {}

void Mixer::choose(const Playable* take) { wanted_.store(take); }
void Mixer::rewind() { rewind_.store(true); }
void Mixer::set_gain(double gain) { wanted_gain_.store(std::clamp(gain, 0.0, 1.0)); }

bool Mixer::in_use(const Playable* take) const {
    return take != nullptr && (wanted_.load() == take || playing_.load() == take || leaving_.load() == take);
}

bool Mixer::at_end(const Voice& v) const {
    return v.take != nullptr && !v.take->loop && v.at >= v.take->samples.size();
}

float Mixer::next(Voice& v) {
    if (v.take == nullptr || v.at >= v.take->samples.size()) return 0.0F;
    const auto y = static_cast<float>(v.take->gain) * v.take->samples[v.at++];
    if (v.at == v.take->samples.size() && v.take->loop) v.at = 0;
    return y;
}

/// Begins a change when one is wanted and none is on its way.
void Mixer::change_over() {
    if (fading_ > 0) return;
    const Playable* take = wanted_.load();
    const bool again = rewind_.exchange(false);
    if (take == now_.take && !again) return;
    // Said before it is used, and asked again after: in_use() must not miss it in between.
    leaving_.store(now_.take);
    playing_.store(take);
    if (take != wanted_.load()) {
        playing_.store(now_.take);
        if (again) rewind_.store(true);
        return;
    }
    before_ = now_;
    now_ = {take, 0};
    if (take != nullptr && !again) {
        auto at = static_cast<std::size_t>(position_.load(std::memory_order_relaxed) * take->pace);
        const auto n = take->samples.size();
        if (n > 0 && at >= n && (take->loop || before_.take == nullptr || !at_end(before_))) at %= n;
        now_.at = std::min(at, n);
    }
    fading_ = fade_;
}

void Mixer::fill(std::span<float> out, std::size_t channels) {
    change_over();
    const double aim = wanted_gain_.load(), step = 1.0 / static_cast<double>(fade_);
    for (std::size_t i = 0; i + channels <= out.size(); i += channels) {
        gain_ = aim > gain_ ? std::min(aim, gain_ + step) : std::max(aim, gain_ - step);
        float y = 0.0F;
        if (gain_ > 0 || fading_ > 0) y = next(now_);
        if (fading_ > 0) {
            // Two unlike sounds keep their power through the change when their gains' squares add up to one.
            const double t = static_cast<double>(fading_) / static_cast<double>(fade_) * std::numbers::pi / 2;
            y = static_cast<float>(std::cos(t)) * y + static_cast<float>(std::sin(t)) * next(before_);
            if (--fading_ == 0) {
                before_ = {};
                leaving_.store(nullptr);
            }
        }
        const auto loud = std::clamp(static_cast<float>(gain_) * y, -1.0F, 1.0F);
        std::fill_n(out.begin() + static_cast<std::ptrdiff_t>(i), channels, loud);
    }
    if (now_.take != nullptr)
        position_.store(static_cast<double>(now_.at) / now_.take->pace, std::memory_order_relaxed);
    ended_.store(at_end(now_), std::memory_order_relaxed);
}

}  // namespace cranknote
