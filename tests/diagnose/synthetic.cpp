#include "diagnose/synthetic.hpp"

#include <algorithm>
#include <cmath>

#include "diagnose/healthy.hpp"

namespace cranknote::test {
namespace {

constexpr Verdict verdicts[] = {Verdict::there, Verdict::weaker, Verdict::gone, Verdict::stronger,
                                Verdict::fresh};
constexpr double hearing_error = .002;  // a ratio as a 10 s recording gives it

}  // namespace

std::optional<Ratio> Synthetic::drawn(const std::vector<HeardAt>& lines, double error) {
    std::vector<double> weights;
    std::vector<std::pair<const HeardAt*, int>> which;
    double share = 0.0;
    for (const auto& l : lines)
        for (std::size_t h = 0; h < l.harmonics.size(); ++h) {
            weights.push_back(l.harmonics[h]);
            which.emplace_back(&l, static_cast<int>(h) + 1);
            share += l.harmonics[h];
        }
    if (weights.empty() || uniform() > share) return std::nullopt;
    const auto [line, harmonic] = which[pick(weights)];
    const double off = line->at.relative_error * normal() - line->at.creep * uniform() + error * normal();
    return Ratio{line->at.value.value() * harmonic * std::exp(off)};
}

Finding Synthetic::of(const Cause& cause, const Setting& a, const Setting& b) {
    Finding f;
    f.id = "f";
    f.character = static_cast<Character>(pick(cause.character));
    if (uniform() > .9) f.character = static_cast<Character>(pick(std::vector<double>{1, 1, 1, 1}));
    const auto follows = pick(cause.follows);
    const double hz = cause.band.value() * std::exp2(cause.band_octaves * normal());
    f.low = Hertz{hz / 1.3};
    f.high = Hertz{hz * 1.3};
    f.follows = uniform() < .6 ? static_cast<Follows>(follows) : Follows::unknown;
    if (f.character == Character::tone && follows == 0) {
        f.ratio = drawn(cause.tones, hearing_error);
        if (!f.ratio) f.ratio = Ratio{.5 * std::exp(5.0 * uniform())};
        f.ratio_error = hearing_error;
        const double at = f.ratio->value() * 820.0 / 60.0;
        f.low = Hertz{at * .98};
        f.high = Hertz{at * 1.02};
    }
    if (uniform() < cause.beating * .85) {
        f.beat_ratio = drawn(cause.beats, 2.0 * hearing_error);
        if (!f.beat_ratio) f.beat_ratio = Ratio{.15 * std::exp(4.0 * uniform())};
        f.beat_error = 2.0 * hearing_error;
        const auto beat = pick(cause.beat_follows);
        f.beat_follows = uniform() < .6 ? static_cast<Follows>(beat) : Follows::unknown;
    }
    f.verdict = verdicts[pick(course_of(layout_, cause, a, b, 1.0, false, {}))];
    f.flagged = f.verdict != Verdict::there;
    f.prominence = 15.0 + 4.0 * normal();
    f.change = Decibel{f.flagged ? -10.0 : 0.0};
    return f;
}

Finding Synthetic::healthy(const Setting& a, const Setting& b) {
    const auto sound = healthy_sound_of_stopped(layout_, a, b);
    auto f = of(sound ? *sound : healthy_engine(layout_, a, b), a, b);
    if (sound) f.verdict = verdicts[pick(Likelihoods{}.silenced)];
    f.flagged = f.verdict != Verdict::there;
    f.prominence = 10.0 + 4.0 * normal();
    return f;
}

Verdict Synthetic::verdict(const Cause& cause, const Setting& as_found, const Setting& now) {
    if (uniform() < 1.0 / 12) return Verdict::cannot_tell;
    return verdicts[pick(course_of(layout_, cause, as_found, now, 1.0, false, {}))];
}

State telling_state(const Layout& layout, const Cause& cause) {
    State best;
    best.name = "set right";
    best.repaired = true;
    best.repaired_what = cause.part.value_or("");
    double least = 1e9;
    for (const auto& p : layout.pulls) {
        State s;
        s.name = p.name;
        s.off = p.requires_;
        s.off.push_back(p.name);
        if (run_limit(layout, s.off).run == RunWithout::never) continue;
        if (can_sound(cause, setting_of(layout, s)) || p.minutes >= least) continue;
        least = p.minutes;
        best = s;
    }
    return best;
}

bool inseparable(const Cause& a, const Cause& b) {
    return a.kind == b.kind && a.part == b.part && a.also == b.also;
}

int place_of_guilty(const std::vector<Suspect>& suspects, const std::vector<Cause>& causes,
                    const Cause& guilty) {
    int place = 0;
    for (const auto& s : suspects) {
        if (s.kind == CauseKind::other) continue;
        ++place;
        const auto c =
            std::find_if(causes.begin(), causes.end(), [&](const Cause& x) { return x.text == s.cause; });
        const bool tied = std::find(s.tied_with.begin(), s.tied_with.end(), guilty.text) != s.tied_with.end();
        if (c != causes.end() && (inseparable(*c, guilty) || tied)) return place;
    }
    return 0;
}

}  // namespace cranknote::test
