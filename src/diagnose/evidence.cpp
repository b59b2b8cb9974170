#include "diagnose/evidence.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "diagnose/wording.hpp"

namespace cranknote {
namespace {

constexpr double tiny = 1e-12;

double normal_density(double x, double sigma) {
    const double z = x / sigma;
    return std::exp(-.5 * z * z) / (sigma * std::sqrt(2.0 * std::numbers::pi));
}

double normal_below(double z) { return .5 * std::erfc(-z / std::numbers::sqrt2); }

/// Normal of width sigma, smeared evenly over [-creep, 0].
double crept_density(double x, double sigma, double creep) {
    if (creep < 1e-6) return normal_density(x, sigma);
    return (normal_below((x + creep) / sigma) - normal_below(x / sigma)) / creep;
}

double creep_of(const UncertainRatio& at) { return -std::log1p(-std::min(at.creep, .5)); }

double single_density(const UncertainRatio& at, int harmonic, Ratio found, double error) {
    const double x = std::log(found.value() / (at.value.value() * harmonic));
    return crept_density(x, std::hypot(at.relative_error, error), creep_of(at));
}

double counted_density(const UnknownCount& count, int harmonic, Ratio found, double error) {
    double sum = 0.0;
    for (int n = count.low; n <= count.high; ++n)
        sum += single_density(count.each, n * harmonic, found, error);
    return sum / std::max(1, count.high - count.low + 1);
}

/// The fundamental, with the count that fits best where it is not known.
UncertainRatio fundamental_for(const HeardAt& line, int harmonic, Ratio found) {
    if (!line.count) return line.at;
    const double n = std::round(found / (line.count->each.value * harmonic));
    auto at = line.count->each;
    at.value =
        at.value * std::clamp(n, static_cast<double>(line.count->low), static_cast<double>(line.count->high));
    return at;
}

double firing_ratio(const Layout& layout) {
    return layout.engine.cylinders / (layout.engine.stroke == 2 ? 1.0 : 2.0);
}

/// Harmonics that moved with it: do they stand on multiples of the fundamental that this reading implies?
/// Many small fundamentals fit anything, so the gain falls with the harmonic that was assumed.
double family_support(const std::vector<Ratio>& family, Ratio found, int harmonic) {
    constexpr std::size_t most = 3;
    double support = 1.0;
    for (std::size_t i = 0; i < std::min(family.size(), most); ++i) {
        const double m = family[i] / (found / harmonic);
        const bool fits = std::round(m) >= 1.0 && m < 9.0 && std::abs(m / std::round(m) - 1.0) < .006;
        support *= fits ? 1.0 + 1.5 / harmonic : .75;
    }
    return support;
}

struct Match {
    const HeardAt* line = nullptr;
    int harmonic = 1;
    double density = 0.0;
    UncertainRatio fundamental{};
    [[nodiscard]] Ratio expected() const { return fundamental.value * harmonic; }
};

struct Found {
    Ratio ratio;
    double error;
    const std::vector<Ratio>& family;
    double floor;
};

/// Density of a found ratio over all lines of a cause, the rest by chance; and which line gave most.
double mixture(const std::vector<HeardAt>& lines, const Found& f, double chance, double wrong_count,
               Match* best = nullptr) {
    double sum = 0.0, share = 0.0;
    for (const auto& line : lines)
        for (std::size_t h = 0; h < line.harmonics.size(); ++h) {
            const int n = static_cast<int>(h) + 1;
            const double d = line.harmonics[h] *
                             line_density(line, n, f.ratio, f.error, f.floor, wrong_count) *
                             family_support(f.family, f.ratio, n);
            share += line.harmonics[h];
            sum += d;
            if (best && d > best->density) *best = {&line, n, d, fundamental_for(line, n, f.ratio)};
        }
    return sum + std::max(0.0, 1.0 - share) * chance;
}

double chance_tone(const Likelihoods& l) { return 1.0 / std::log(l.tone_high / l.tone_low); }

/// Chance beats are spread evenly in the logarithm, and heaped on the half orders of combustion.
double chance_beat(const Grounds& g, Ratio found, double error, bool changed) {
    const double sigma = std::hypot(error, g.l.beat_floor);
    const double firing = firing_ratio(g.layout);
    double heaped = 0.0;
    const auto heap = [&](double at, double share) {
        heaped += share * normal_density(std::log(found.value() / at), sigma);
    };
    heap(.5, .22);
    heap(1.0, .22);
    heap(firing, .26);
    heap(2.0 * firing, .06);
    for (int k = 3; k <= 14; ++k) heap(.5 * k, .02);
    const double share = changed ? g.l.changed_beat_on_half_orders : g.l.chance_beat_on_half_orders;
    return (1.0 - share) / std::log(g.l.beat_high / g.l.beat_low) + share * heaped;
}

double seen_character(const Cause& c, Character seen, const Likelihoods& l) {
    const auto at = static_cast<std::size_t>(seen);
    double p = 0.0;
    for (std::size_t truth = 0; truth < 4; ++truth) p += c.character[truth] * l.character_seen[truth][at];
    return p;
}

/// Probability that "follows" reads `seen` when it is `truth` (0 crank, 1 fixed, 2 free).
double seen_follows(Follows seen, std::size_t truth, const Likelihoods& l) {
    if (seen == Follows::unknown) return 1.0 - l.follows_known;
    const auto at = static_cast<std::size_t>(seen);
    return l.follows_known * (at == truth ? l.follows_right : (1.0 - l.follows_right) / 2.0);
}

/// The same for a tone's pitch. What is no tone has no pitch to go with anything.
double seen_pitch(const Finding& f, std::size_t truth, const Likelihoods& l) {
    if (f.character != Character::tone) return 1.0;
    return l.pitch_seen[truth][static_cast<std::size_t>(f.follows)];
}

/// Pitch and ratio together: a tone's ratio means something only if the tone is tied to the crank.
double log_tone(const Grounds& g, const Cause& c, const Finding& f) {
    const double chance = chance_tone(g.l);
    const double tied = f.ratio ? mixture(c.tones, {*f.ratio, f.ratio_error, f.family, g.l.ratio_floor},
                                          chance, g.l.wrong_count_spread)
                                : 1.0;
    const double loose = f.ratio ? chance : 1.0;
    double p = 0.0;
    for (std::size_t truth = 0; truth < 3; ++truth)
        p += c.follows[truth] * seen_pitch(f, truth, g.l) * (truth == 0 ? tied : loose);
    return std::log(p + tiny);
}

double log_beat(const Grounds& g, const Cause& c, const Finding& f) {
    const double reported = c.beating * g.l.beat_detected + (1.0 - c.beating) * .12;
    if (!f.beat_ratio) return std::log(1.0 - reported);
    const double chance = chance_beat(g, *f.beat_ratio, f.beat_error, f.beat_changed);
    const double tied = mixture(c.beats, {*f.beat_ratio, f.beat_error, f.beat_family, g.l.beat_floor}, chance,
                                g.l.wrong_count_spread);
    double p = 0.0;
    for (std::size_t truth = 0; truth < 3; ++truth)
        p += c.beat_follows[truth] * seen_follows(f.beat_follows, truth, g.l) * (truth == 0 ? tied : chance);
    return std::log(reported * p + tiny);
}

double middle_of(const Finding& f) { return std::sqrt(std::max(1.0, f.low.value() * f.high.value())); }

double log_band(const Grounds& g, const Cause& c, const Finding& f) {
    const double octaves = std::log2(middle_of(f) / c.band.value());
    const double width = std::log2(std::max(1.0, f.high.value() / std::max(1.0, f.low.value()))) / 2.0;
    const double z = octaves / std::hypot(c.band_octaves, width);
    const bool tied = f.character == Character::tone && f.ratio && f.follows != Follows::fixed &&
                      f.follows != Follows::free && c.follows[0] > .5;
    // A quarter of every cause's sounds are heard outside its usual band (judged).
    const double p = .75 * std::exp(-.5 * z * z) / c.band_octaves + .25 / 7.0;
    return (tied ? g.l.band_temper_tied : g.l.band_temper) * std::log(p);
}

double log_presence(const Cause& c, const Finding& f) {
    const double most = std::max(f.presence[0], f.presence[1]);
    return most < .7 ? std::log(c.comes_and_goes) : std::log(1.0 - c.comes_and_goes);
}

struct Parts {
    double tone, beat, character, band, presence;
    [[nodiscard]] double sum() const { return tone + beat + character + band + presence; }
};

Parts parts_of(const Grounds& g, const Cause& c, const Finding& f) {
    return {log_tone(g, c, f), log_beat(g, c, f), std::log(seen_character(c, f.character, g.l) + tiny),
            log_band(g, c, f), log_presence(c, f)};
}

std::string harmonic_name(int n) {
    if (n == 1) return "";
    static constexpr const char* ends[] = {"th", "st", "nd", "rd"};
    return ", " + std::to_string(n) + ends[n <= 3 ? n : 0];
}

std::string at_text(const Match& m) {
    std::string text = m.line->says + " at " + wording::written(m.fundamental.value);
    if (m.harmonic > 1)
        text += ", " + std::to_string(m.harmonic) + " times that is " + wording::written(m.expected());
    return text;
}

Match best_tone(const Grounds& g, const Cause& c, const Finding& f) {
    Match m;
    if (f.ratio)
        mixture(c.tones, {*f.ratio, f.ratio_error, f.family, g.l.ratio_floor}, 0.0, g.l.wrong_count_spread,
                &m);
    return m;
}

Match best_beat(const Grounds& g, const Cause& c, const Finding& f) {
    Match m;
    if (f.beat_ratio)
        mixture(c.beats, {*f.beat_ratio, f.beat_error, f.beat_family, g.l.beat_floor}, 0.0,
                g.l.wrong_count_spread, &m);
    return m;
}

std::string a_character(Character c) {
    static constexpr const char* words[] = {"a tone", "a scrape", "a tick", "a steady hiss"};
    return words[static_cast<std::size_t>(c)];
}

std::string tone_text(const Grounds& g, const Cause& c, const Finding& f, bool in_favour) {
    if (f.ratio && in_favour) {
        if (const auto m = best_tone(g, c, f); m.line)
            return "tone at " + wording::written(*f.ratio) + ": consistent with this, " + at_text(m);
    }
    if (f.ratio && f.follows != Follows::fixed && f.follows != Follows::free)
        return "tone at " + wording::written(*f.ratio) + " fits none of its lines";
    switch (f.follows) {
        case Follows::crank:
            return in_favour ? "its pitch goes with the crank" : "its pitch goes with the crank, unlike this";
        case Follows::fixed:
            return in_favour ? "its pitch stays where it is while the idle wanders"
                             : "its pitch does not go with the crank";
        case Follows::free:
            return in_favour ? "its pitch wanders by itself" : "its pitch wanders by itself, unlike this";
        case Follows::unknown:
            break;
    }
    return "";
}

std::string beat_text(const Grounds& g, const Cause& c, const Finding& f, bool in_favour) {
    if (!f.beat_ratio) return in_favour ? "it does not swell" : "it does not swell or knock, as this would";
    const auto start = "swells " + wording::fixed_text(f.beat_ratio->value(), 2) + " times per crank turn";
    const auto m = best_beat(g, c, f);
    if (in_favour && m.line) return start + ": " + at_text(m);
    if (!in_favour && !c.beats.empty())
        return start + ", but " + c.beats.front().says + " at " + wording::written(c.beats.front().at.value);
    return start + (in_favour ? "" : ", which this would not");
}

}  // namespace

double line_density(const HeardAt& line, int harmonic, Ratio found, double found_error, double floor_error,
                    double wrong_count_spread) {
    if (line.at.value.value() <= 0.0 || found.value() <= 0.0) return 0.0;
    const double error = std::hypot(found_error, floor_error);
    const double x = std::log(found.value() / (line.at.value.value() * harmonic));
    const double core = line.count ? counted_density(*line.count, harmonic, found, error)
                                   : single_density(line.at, harmonic, found, error);
    return (1.0 - line.count_doubt) * core +
           line.count_doubt *
               normal_density(x, std::hypot(line.at.relative_error, error, wrong_count_spread));
}

double log_features(const Grounds& g, const Cause& cause, const FindingGroup& complaint) {
    double sum = parts_of(g, cause, complaint.speaker()).sum();
    constexpr std::size_t most = 4;  // beyond three more nothing new is said
    for (std::size_t i = 1; i < std::min(complaint.findings.size(), most); ++i) {
        const auto p = parts_of(g, cause, complaint.findings[i]);
        sum += g.l.more_findings_temper * (p.tone + p.beat + p.character);
    }
    return sum;
}

std::vector<Reason> feature_reasons(const Grounds& g, const Cause& cause, const FindingGroup& complaint) {
    const auto& f = complaint.speaker();
    const auto p = parts_of(g, cause, f), q = parts_of(g, something_else(), f);
    std::vector<Reason> reasons;
    const auto add = [&](double odds, std::string text) {
        if (!text.empty()) reasons.push_back({odds, std::move(text)});
    };
    add(p.tone - q.tone, tone_text(g, cause, f, p.tone > q.tone));
    add(p.beat - q.beat, beat_text(g, cause, f, p.beat > q.beat));
    add(p.character - q.character,
        "sounds like " + a_character(f.character) + (p.character > q.character ? "" : ", unlike this"));
    add(p.band - q.band, "heard around " + wording::hertz_text(Hertz{middle_of(f)}) +
                             (p.band > q.band ? ", where this usually lies" : ", unusual for this"));
    if (std::max(f.presence[0], f.presence[1]) < .7)
        add(p.presence - q.presence,
            p.presence > q.presence ? "it comes and goes" : "it comes and goes, unlike this");
    return reasons;
}

std::optional<Explanation> explanation_of(const Grounds& g, const Cause& cause, const Finding& f) {
    const auto tone = best_tone(g, cause, f), beat = best_beat(g, cause, f);
    const auto made = [&](const Match& m, Ratio found, double error, double floor,
                          const char* how) -> std::optional<Explanation> {
        if (!m.line) return std::nullopt;
        const double sigma = std::hypot(m.fundamental.relative_error, error, floor);
        const double creep = creep_of(m.fundamental);
        const double x = std::log(found / m.expected());
        const double peak = crept_density(-creep / 2.0, sigma, creep);
        const double fit = crept_density(x, sigma, creep) / peak;
        if (fit < .05) return std::nullopt;
        return Explanation{
            cause.text,   cause.part.value_or(""), m.line->line + harmonic_name(m.harmonic) + how,
            m.expected(), 2.0 * sigma + creep,     std::min(1.0, fit)};
    };
    const auto by_tone = f.ratio ? made(tone, *f.ratio, f.ratio_error, g.l.ratio_floor, "") : std::nullopt;
    const auto by_beat =
        f.beat_ratio ? made(beat, *f.beat_ratio, f.beat_error, g.l.beat_floor, " (beat)") : std::nullopt;
    if (by_tone && by_beat) return by_tone->fit >= by_beat->fit ? by_tone : by_beat;
    return by_tone ? by_tone : by_beat;
}

double log_sum(double a, double b) {
    const double top = std::max(a, b);
    return top + std::log(std::exp(a - top) + std::exp(b - top));
}

Cause something_else() {
    Cause c;
    c.text = "something else";
    c.kind = CauseKind::other;
    c.character = {.32, .22, .16, .30};
    c.follows = {.40, .32, .28};
    c.beat_follows = {.6, .2, .2};
    c.beating = .4;
    c.band = Hertz{1500.0};
    c.band_octaves = 2.5;
    c.source = "nothing is assumed";
    return c;
}

}  // namespace cranknote
