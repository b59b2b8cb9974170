#include "portrait/usability.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "signal/robust.hpp"
#include "signal/spectrum.hpp"

namespace cranknote {

namespace {

// Thresholds below are judged by hand unless they say otherwise; tools/score/usability counts how they do.
constexpr Seconds too_short{2.0}, rather_short{8.0};
constexpr double clipped_run = 3;  // samples in a row at the top: a clipped peak is flat
constexpr double clipped_warn = 1e-4, clipped_ruin = 0.02;  // share of samples
constexpr double quiet_warn = -62.0, quiet_ruin = -78.0;    // dB re full scale, rms
constexpr double cliff = 18.0;     // dB within a third octave: no engine falls off so steeply
constexpr double low_fall = 14.0;  // dB an octave downwards
constexpr double pumping = 3.5;    // dB, all bands together, while the speed is steady
constexpr double hole = 15.0;      // dB below the band's median: an engine has no such pauses
constexpr double gust = 4.5;       // dB, standard deviation of low sound from second to second

double db(double power) { return 10.0 * std::log10(std::max(power, 1e-20)); }

double density_db(const Portrait& p, double low, double high) {
    return db(signal::band_power(p.hz.density, p.hz.step, low, high) / (high - low));
}

std::string number(double v) { return std::to_string(static_cast<int>(std::lround(v))); }

void look_at_samples(Usability& u, std::span<const float> x, const Portrait& p) {
    if (p.duration < too_short)
        u.remarks.push_back({QualityCode::short_, Severity::unusable,
                             "Too short to compare: record 10 seconds or more.", std::nullopt});
    else if (p.duration < rather_short)
        u.remarks.push_back({QualityCode::short_, Severity::note,
                             "Short: beats and tones are told apart better in 10 seconds or more.",
                             std::nullopt});
    double square = 0.0;
    float top = 0.0F;
    for (const float v : x)
        square += static_cast<double>(v) * static_cast<double>(v), top = std::max(top, std::abs(v));
    const double level = db(square / std::max<double>(1.0, static_cast<double>(x.size())));
    if (level < quiet_ruin)
        u.remarks.push_back(
            {QualityCode::quiet, Severity::unusable,
             "Nearly silent (" + number(level) + " dB re full scale): check the microphone, and go closer.",
             std::nullopt});
    else if (level < quiet_warn)
        u.remarks.push_back(
            {QualityCode::quiet, Severity::warn,
             "Very quiet (" + number(level) +
                 " dB re full scale): weak sounds drown in the recorder's own noise. Go closer.",
             std::nullopt});
    if (top < 0.25F) return;
    // A codec rounds flat tops off a little: within 3 % of the highest sample they still count as flat.
    std::size_t flat = 0, run = 0;
    for (const float v : x) {
        run = std::abs(v) > 0.97F * top ? run + 1 : 0;
        if (static_cast<double>(run) >= clipped_run)
            flat += static_cast<double>(run) == clipped_run ? run : 1;
    }
    const double share = static_cast<double>(flat) / static_cast<double>(x.size());
    if (share > clipped_ruin)
        u.remarks.push_back({QualityCode::clipped, Severity::unusable,
                             "Overdriven throughout: loud strokes are cut off and fill every band. Move the "
                             "phone away, or lower its recording level.",
                             std::nullopt});
    else if (share > clipped_warn)
        u.remarks.push_back({QualityCode::clipped, Severity::warn,
                             "Overdriven in places: cut-off peaks sound like ticks. Move the phone away a "
                             "little.",
                             std::nullopt});
}

/// Where sound ends upwards: the highest pitch above which all lies `cliff` below what is under it.
std::optional<double> upper_edge(const Portrait& p) {
    const double top = 0.48 * p.rate.value();
    std::optional<double> edge;
    double loudest_above = density_db(p, 0.94 * top, top);
    for (double f = 0.90 * top; f > 1500.0; f /= std::exp2(1.0 / 24.0)) {
        loudest_above = std::max(loudest_above, density_db(p, f * 1.05, f * 1.12));
        const double below = density_db(p, f / 1.2, f / 1.03);
        if (below - loudest_above > cliff && below > -110.0) {
            edge = f;
            break;
        }
    }
    if (!edge) return edge;
    // The window below was only half filled there: go down to where the sound is as loud as further below.
    const double full = density_db(p, *edge / 1.8, *edge / 1.35);
    double f = *edge;
    while (f > *edge / 1.35 && density_db(p, f / 1.03, f) < full - 6.0) f /= std::exp2(1.0 / 48.0);
    return f;
}

void look_upwards(Usability& u, const Portrait& p, const Coding& coding) {
    const double nyquist = 0.5 * p.rate.value();
    const auto edge = upper_edge(p);
    const double limit = edge ? *edge : 0.95 * nyquist;
    u.high = Hertz{std::min(0.45 * p.rate.value(), edge ? *edge / 1.06 : 1e9)};
    if (limit < 0.9 * std::min(nyquist, 20000.0) || limit < 9000.0)
        u.remarks.push_back({QualityCode::band_limit, limit < 5000.0 ? Severity::warn : Severity::note,
                             "Nothing above " + number(std::round(limit / 100.0) * 100.0) +
                                 " Hz is in this recording: nothing is said up there.",
                             Hertz{limit}});
    const bool voice = coding.codec.rfind("amr", 0) == 0 || coding.codec == "speex" ||
                       (coding.codec == "opus" && coding.bit_rate.value_or(1e9) < 40000.0);
    if (voice)
        u.remarks.push_back(
            {QualityCode::messenger, Severity::warn,
             "Stored as a voice message (" + coding.codec +
                 "): such coding keeps speech and drops much else. Send it as a file, not as a "
                 "voice message.",
             std::nullopt});
}

/// Where sound ends downwards: the highest third octave whose level an octave lower lies far below, all the
/// way down.
void look_downwards(Usability& u, const Portrait& p) {
    const double third = std::exp2(1.0 / 3.0);
    std::optional<double> corner;
    for (double f = 500.0; f > 60.0; f /= third) {
        const double here = density_db(p, f / std::sqrt(third), f * std::sqrt(third));
        const double octave_down = density_db(p, 0.5 * f / std::sqrt(third), 0.5 * f * std::sqrt(third));
        if (here - octave_down > low_fall && octave_down > -115.0) {
            corner = 0.8 * f;
            break;
        }
    }
    if (!corner) return;
    u.low = Hertz{std::max(u.low.value(), 0.6 * *corner)};
    u.remarks.push_back({QualityCode::low_cut, Severity::note,
                         "The phone takes off what lies below some " +
                             number(std::round(*corner / 10.0) * 10.0) +
                             " Hz, as most do: deep sounds are not judged.",
                         Hertz{*corner}});
}

/// Each band's course through time, smoothed over `width` values, less its median.
std::vector<std::vector<double>> deviations(const Portrait& p, std::size_t width) {
    std::vector<std::vector<double>> all;
    for (std::size_t i = 0; i < p.series.size(); ++i) {
        const auto& s = p.series[i];
        if (s.size() < 2 * width) continue;
        std::vector<double> d;
        for (std::size_t j = 0; j + width <= s.size(); j += std::max<std::size_t>(1, width / 2)) {
            double sum = 0.0;
            for (std::size_t k = 0; k < width; ++k) sum += static_cast<double>(s[j + k]);
            d.push_back(sum / static_cast<double>(width));
        }
        const double middle = signal::median(std::span<const double>(d));
        for (auto& v : d) v -= middle;
        all.push_back(std::move(d));
    }
    return all;
}

/// What three quarters of the bands do together at each moment.
std::vector<double> in_common(const std::vector<std::vector<double>>& d) {
    std::vector<double> common;
    if (d.size() < 3) return common;
    for (std::size_t j = 0; j < d.front().size(); ++j) {
        std::vector<double> here;
        for (const auto& band : d) here.push_back(band[std::min(j, band.size() - 1)]);
        const double low = signal::sample_quantile(here, 0.25), high = signal::sample_quantile(here, 0.75);
        common.push_back(low > 0.0 ? low : high < 0.0 ? high : 0.0);
    }
    return common;
}

void look_through_time(Usability& u, const Portrait& p) {
    if (p.duration < Seconds{4.0} || p.series.empty()) return;
    const auto half_second = static_cast<std::size_t>(std::max(1.0, 0.5 * p.series_rate));
    const auto common = in_common(deviations(p, half_second));
    if (common.size() >= 6 && p.rpm_spread < 0.03) {
        const double range = signal::sample_quantile(common, 0.95) - signal::sample_quantile(common, 0.05);
        if (range > pumping)
            u.remarks.push_back({QualityCode::gain_control, Severity::warn,
                                 "The recorder moves its own level by " + number(range) +
                                     " dB: loudness is not told from gain. Switch automatic level off if you "
                                     "can.",
                                 std::nullopt});
    }
    std::size_t gated = 0, bands = 0;
    for (const auto& d : deviations(p, 1)) {
        const auto deep = std::count_if(d.begin(), d.end(), [](double v) { return v < -hole; });
        ++bands;
        if (static_cast<double>(deep) > 0.04 * static_cast<double>(d.size())) ++gated;
    }
    if (bands >= 3 && 2 * gated >= bands)
        u.remarks.push_back({QualityCode::noise_suppression, Severity::warn,
                             "Noise suppression cuts holes into the sound: an engine is noise to it. Use a "
                             "recorder app without it.",
                             std::nullopt});
}

/// Speech: the bands of the voice rise together for moments, those above do not.
void look_for_speech(Usability& u, const Portrait& p) {
    const auto width = static_cast<std::size_t>(std::max(1.0, 0.2 * p.series_rate));
    std::vector<std::vector<double>> voice, above;
    const auto all = deviations(p, width);
    for (std::size_t i = 0; i < all.size(); ++i)
        (p.series_bands[i].first.value() < 2500.0 ? voice : above).push_back(all[i]);
    if (voice.size() < 3) return;
    std::size_t spoken = 0;
    for (std::size_t j = 0; j < voice.front().size(); ++j) {
        double least = 1e9, higher = -1e9;
        for (const auto& v : voice) least = std::min(least, v[std::min(j, v.size() - 1)]);
        for (const auto& v : above) higher = std::max(higher, v[std::min(j, v.size() - 1)]);
        if (least > 3.0 && (above.empty() || higher < least + 2.0)) ++spoken;
    }
    const double share = static_cast<double>(spoken) / static_cast<double>(voice.front().size());
    if (share > 0.04 && share < 0.7)
        u.remarks.push_back({QualityCode::speech, share > 0.3 ? Severity::warn : Severity::note,
                             "Something passes over it, speech by the look of it, for some " +
                                 number(100.0 * share) + " % of the time: keep quiet while recording.",
                             std::nullopt});
}

/// Wind: low sound comes in gusts while the rest stays.
void look_for_wind(Usability& u, const Portrait& p) {
    if (p.hz.stretches.size() < 6) return;
    std::vector<double> low, rest;
    for (const auto& s : p.hz.stretches) {
        low.push_back(db(signal::band_power(s, p.hz.step, 20.0, 90.0)));
        rest.push_back(db(signal::band_power(s, p.hz.step, 400.0, 4000.0)));
    }
    const auto deviation = [](const std::vector<double>& v) { return signal::median_deviation(v); };
    if (deviation(low) > gust && deviation(low) > 2.5 * deviation(rest) &&
        signal::median(std::span<const double>(low)) > signal::median(std::span<const double>(rest)) - 6.0)
        u.remarks.push_back({QualityCode::wind, Severity::warn,
                             "Wind in the microphone: deep sounds are not judged well. Shelter the phone.",
                             std::nullopt});
}

}  // namespace

Usability usability_of(std::span<const float> x, const Portrait& p, const Coding& coding) {
    Usability u;
    u.low = p.hz_low, u.high = p.hz_high;
    look_at_samples(u, x, p);
    if (p.hz.density.empty()) return u;
    look_upwards(u, p, coding);
    look_downwards(u, p);
    look_through_time(u, p);
    look_for_speech(u, p);
    look_for_wind(u, p);
    std::stable_sort(u.remarks.begin(), u.remarks.end(),
                     [](const auto& a, const auto& b) { return a.severity > b.severity; });
    return u;
}

}  // namespace cranknote
