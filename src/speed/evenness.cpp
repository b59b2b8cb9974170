#include "speed/evenness.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "signal/distribution.hpp"
#include "signal/fft.hpp"
#include "speed/in_words.hpp"
#include "speed/refine.hpp"

namespace cranknote {

namespace {

using namespace speed_detail;

constexpr std::size_t block_cycles = 8;  // a line and what lies between two are then four places apart
constexpr double fewest_cycles = 24.0;
constexpr double clear_line = 4.0;           // 6 dB above what lies between the lines
constexpr std::size_t fewest_stretches = 3;  // between firing lines
// Nine in ten simulated engines, healthy or with other faults, sound no more unlike (score_speed steady, set
// `tune`): ways to the microphone and the valve gear stand on the same lines.
constexpr double usual_by_sound = 1.5;

Evenness cannot_tell(std::string why, SpeedSource from = SpeedSource::sound) {
    Evenness e;
    e.from = from;
    e.text = "How alike the cylinders fire: cannot tell. " + std::move(why);
    return e;
}

/// Mean power of the cycle's multiples, and what lies half way between them, per multiple.
struct CycleMultiples {
    std::vector<double> power, between;  ///< index: multiple of the cycle; the same bandwidth in both
};

CycleMultiples multiples_in(const Stream& bass, const Course& course) {
    CycleMultiples out;
    double slowest = 1e9;
    for (const auto f : course.cycle) slowest = std::min(slowest, f.value());
    const auto length = signal::fast_size(
        static_cast<std::size_t>(bass.rate.value() / slowest * static_cast<double>(block_cycles)));
    const auto x = streams_against_angle(std::span(&bass, 1), course,
                                         static_cast<double>(length) / static_cast<double>(block_cycles));
    if (x.empty() || x.front().size() < length) return out;
    LineSpectrum spectrum(length, length);
    std::vector<float> mean(length / 2 + 1, 0.0F);
    for (std::size_t a = 0; a + length <= x.front().size(); a += length / 2)
        spectrum.add_power(std::span<const float>(x.front()).subspan(a, length), 1.0F, mean);
    const auto sum = [&](std::size_t from, std::size_t to) {
        double s = 0.0;
        for (std::size_t i = from; i <= to && i < mean.size(); ++i) s += static_cast<double>(mean[i]);
        return s;
    };
    const auto top =
        static_cast<std::size_t>(bass.high.value() / mean_cycle(course).value());  // of the cycle's multiples
    out.power.assign(1, 0.0), out.between.assign(1, 0.0);
    for (std::size_t k = 1; k <= top && (k + 1) * block_cycles < mean.size(); ++k) {
        const std::size_t i = k * block_cycles;
        out.power.push_back(sum(i - 1, i + 1));
        out.between.push_back((sum(i - 5, i - 3) + sum(i + 3, i + 5)) / 2.0);
    }
    return out;
}

/// Cylinders' deviation over their mean, from each stretch between two clear firing lines. With strengths s
/// the firing lines are n mean(s), and the n - 1 lines between hold n (n - 1) var(s) together (Parseval).
std::vector<double> unlike_by_stretch(const CycleMultiples& m, std::size_t cylinders) {
    const auto line = [&](std::size_t k) { return m.power[k] - m.between[k]; };
    std::vector<double> out;
    for (std::size_t a = cylinders; a + cylinders < m.power.size(); a += cylinders) {
        const std::size_t b = a + cylinders;
        if (m.power[a] < clear_line * m.between[a] || m.power[b] < clear_line * m.between[b]) continue;
        double sum = 0.0;
        for (std::size_t k = a + 1; k < b; ++k) {
            const double w = static_cast<double>(k - a) / static_cast<double>(cylinders);
            sum += line(k) / std::exp((1.0 - w) * std::log(line(a)) + w * std::log(line(b)));
        }
        const double share = static_cast<double>(cylinders) * sum / static_cast<double>(cylinders - 1);
        out.push_back(share < 0.0 ? -std::sqrt(-share) : std::sqrt(share));
    }
    return out;
}

std::string interval_text(std::pair<double, double> i) {
    return " (95 %: " + percent(i.first) + " to " + percent(i.second) + ")";
}

std::string by_sound_text(const Evenness& e) {
    const std::string unlike = "they sound unlike by " + percent(*e.unlike) + interval_text(e.interval);
    if (e.interval.first < usual_by_sound)
        return "The cylinders fire evenly within what this recording can tell: " + unlike +
               ", and healthy engines do by up to " + percent(usual_by_sound) +
               " (ways to the microphone, valve gear). A rise against an earlier recording from the same "
               "place says more; a pickup tells cylinder by cylinder.";
    return "The cylinders fire unevenly: " + unlike + ", more than healthy engines do (up to " +
           percent(usual_by_sound) + ").";
}

}  // namespace

Evenness evenness_of_sound(const Stream& bass, const Course& course, std::optional<int> cylinders,
                           bool fires_evenly) {
    if (!cylinders) return cannot_tell("Say how many cylinders there are (--cylinders, --layout).");
    if (*cylinders < 2) return cannot_tell("There is one cylinder.");
    if (!fires_evenly) return cannot_tell("This engine fires unevenly by design.");
    const double seconds = static_cast<double>(bass.samples.size()) / bass.rate.value();
    if (course.at.empty() || seconds * mean_cycle(course).value() < fewest_cycles)
        return cannot_tell("The stretch is too short.");
    const auto unlike = unlike_by_stretch(multiples_in(bass, course), static_cast<std::size_t>(*cylinders));
    if (unlike.size() < fewest_stretches)
        return cannot_tell(
            "Too few firing lines stand out below 0.3 kHz: a phone's low cut hides them, other noise covers "
            "them, or the engine turns too fast.");
    const auto n = static_cast<double>(unlike.size());
    double mean = 0.0, square = 0.0;
    for (const double u : unlike) mean += u / n;
    for (const double u : unlike) square += (u - mean) * (u - mean) / (n - 1.0);
    const double half = signal::quantile(signal::StudentT{n - 1.0}, 0.975) * std::sqrt(square / n);
    Evenness e;
    e.unlike = std::max(0.0, mean);
    e.interval = {std::max(0.0, mean - half), std::max(0.0, mean + half)};
    e.text = by_sound_text(e);
    return e;
}

}  // namespace cranknote
