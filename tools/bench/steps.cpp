#include "steps.hpp"

#include <cmath>

#include "audio/decode.hpp"
#include "signal/resample.hpp"
#include "speed/angle.hpp"

namespace cranknote::bench {

std::vector<std::pair<double, double>> envelope_bands() {
    const double line = rate / static_cast<double>(envelope_length);
    std::vector<std::pair<double, double>> bands;
    // From a band's first line to the one after its last: each line belongs to one band.
    for (const auto& [first, last] :
         {std::pair{1, 1}, {2, 3}, {4, 5}, {6, 8}, {9, 12}, {13, 18}, {19, 26}, {27, 36}}) {
        bands.emplace_back(first * line, (last + 1) * line);
    }
    return bands;
}

std::vector<float> decode(const std::string& path) { return read_stretch(path).recording.channels.at(0); }

signal::Spectrum hz_spectrum(std::span<const float> x) {
    return signal::averaged_spectrum(x, rate, hz_length, hz_length / 2);
}

std::vector<float> lowered(std::span<const float> x) { return signal::decimated(x, rate, low_rate); }

signal::Spectrum tone_spectrum(std::span<const float> low) {
    return signal::averaged_spectrum(low, low_rate, tone_length, tone_length / 2);
}

speed_detail::Course comb(std::span<const float> x) {
    return speed_detail::coarse_course(speed_detail::evidence_of(x, SampleRate{rate}), Hertz{lowest_cycle},
                                       Hertz{highest_cycle}, {});
}

std::vector<float> turned(std::span<const float> low, const SpeedTrack& track) {
    return against_angle(low, SampleRate{low_rate}, track, per_turn);
}

signal::Spectrum ratio_spectrum(std::span<const float> turned) {
    const auto length = static_cast<std::size_t>(ratio_turns * per_turn);
    return signal::averaged_spectrum(turned, per_turn, length, length / 2);
}

signal::BandPowers envelopes(std::span<const float> x) {
    return signal::band_powers(x, rate, envelope_bands(), envelope_length, envelope_hop);
}

std::vector<signal::Spectrum> beat_spectra(const signal::BandPowers& b, const SpeedTrack& track) {
    auto shifted = track;
    for (auto& t : shifted.at) t -= Seconds{b.first};
    const auto length = static_cast<std::size_t>(beat_turns * beats_per_turn);
    std::vector<signal::Spectrum> spectra;
    for (const auto& power : b.band) {
        std::vector<float> course(power.size());
        for (std::size_t i = 0; i < course.size(); ++i) course[i] = std::sqrt(power[i]);
        const auto against = against_angle(course, SampleRate{b.rate}, shifted, beats_per_turn);
        spectra.push_back(signal::averaged_spectrum(against, beats_per_turn, length, length / 2));
    }
    return spectra;
}

std::vector<Transforms> transforms_needed(std::size_t samples) {
    const double seconds = static_cast<double>(samples) / rate, turns = seconds * 800.0 / 60.0;
    const auto blocks = [](double whole, double length) {
        return static_cast<std::size_t>(std::max(0.0, 2.0 * whole / length - 1.0));
    };
    const auto ratio_length = static_cast<std::size_t>(ratio_turns * per_turn);
    const auto beat_length = static_cast<std::size_t>(beat_turns * beats_per_turn);
    return {{hz_length, blocks(seconds * rate, static_cast<double>(hz_length))},
            {tone_length, blocks(seconds * low_rate, static_cast<double>(tone_length))},
            {ratio_length, blocks(turns, ratio_turns)},
            {envelope_length, samples / envelope_hop},
            {beat_length, 8 * blocks(turns, beat_turns)}};
}

}  // namespace cranknote::bench
