#include "audio/meter.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote {
namespace {

constexpr double block_s = 0.05;
constexpr std::size_t hold_blocks = 30;  // 1.5 s
constexpr std::size_t rms_blocks = 6;    // 0.3 s
constexpr float full_scale = 0.9999F;    // one step of 16 bits below 1
constexpr double watch_block_s = 0.1;
constexpr std::size_t quiet_blocks = 20, running_blocks = 30;
constexpr double fall_db = 15;

std::optional<Decibel> of_amplitude(double a) {
    return a > 0 ? std::optional(decibel_of_amplitude(a)) : std::nullopt;
}

std::size_t samples_in(double seconds, SampleRate rate) {
    return std::max<std::size_t>(1, static_cast<std::size_t>(seconds * rate.value()));
}

}  // namespace

LevelMeter::LevelMeter(SampleRate rate) : block_size_(samples_in(block_s, rate)) {}

void LevelMeter::feed(std::span<const float> samples) {
    for (const float x : samples) {
        const float a = std::abs(x);
        open_.peak = std::max(open_.peak, a);
        open_.energy += static_cast<double>(a) * a;
        run_ = a >= full_scale ? run_ + 1 : 0;
        if (run_ == 3) clipped_ += 3;
        if (run_ > 3) ++clipped_;
        if (++in_open_ == block_size_) close_block();
    }
}

void LevelMeter::close_block() {
    if (blocks_.size() == hold_blocks) blocks_.erase(blocks_.begin());
    blocks_.push_back(open_);
    open_ = {};
    in_open_ = 0;
}

MeterLevel LevelMeter::level() const {
    MeterLevel l;
    l.clipped = clipped_;
    if (blocks_.empty()) return l;
    float hold = 0;
    for (const auto& b : blocks_) hold = std::max(hold, b.peak);
    const auto n = std::min(blocks_.size(), rms_blocks);
    double energy = 0;
    for (std::size_t i = blocks_.size() - n; i < blocks_.size(); ++i) energy += blocks_[i].energy;
    l.peak = of_amplitude(blocks_.back().peak);
    l.peak_hold = of_amplitude(hold);
    l.rms = of_amplitude(std::sqrt(energy / static_cast<double>(n * block_size_)));
    return l;
}

std::optional<std::string> advice_on(const MeterLevel& level) {
    if (level.clipped > 0 && level.peak_hold && level.peak_hold->value() > -0.1)
        return "too loud: move the microphone away or turn its gain down";
    if (!level.rms) return "nothing arrives: is the microphone muted, or another input chosen?";
    if (level.rms->value() < -60) return "too quiet: move the microphone closer or turn its gain up";
    return std::nullopt;
}

EngineWatch::EngineWatch(SampleRate rate) : block_size_(samples_in(watch_block_s, rate)) {}

void EngineWatch::feed(std::span<const float> samples) {
    for (const float x : samples) {
        energy_ += static_cast<double>(x) * x;
        if (++in_block_ == block_size_) close_block();
    }
}

void EngineWatch::close_block() {
    levels_.push_back(10 * std::log10(energy_ / static_cast<double>(block_size_) + 1e-12));
    energy_ = 0;
    in_block_ = 0;
    if (levels_.size() < quiet_blocks + running_blocks) return;
    const auto recent = levels_.end() - static_cast<std::ptrdiff_t>(quiet_blocks);
    std::vector<double> before(levels_.begin(), recent);
    const auto middle = before.begin() + static_cast<std::ptrdiff_t>(before.size() / 2);
    std::nth_element(before.begin(), middle, before.end());
    if (*std::max_element(recent, levels_.end()) < *middle - fall_db) stopped_ = true;
}

}  // namespace cranknote
