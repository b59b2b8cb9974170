// Fits the weights by which speed chooses among multiples (multiple_model in src/speed/multiple.cpp).
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numeric>

#include "not_engines.hpp"
#include "speed/follow.hpp"
#include "speed/from_sound.hpp"
#include "speed/multiple.hpp"
#include "speed_modes.hpp"
#include "speed_takes.hpp"

namespace cranknote::score {

namespace {

using namespace speed_detail;

constexpr std::size_t parameters = feature_count + 1;  // the last is the utility of "no engine"
using Parameters = std::array<double, parameters>;

/// One recording: its hypotheses, and which of them are right. None: no engine.
struct Choice {
    std::vector<Features> hypotheses;
    std::vector<bool> right;
    bool none_right = false;
    int engine = 0;  ///< for cross-validation
    std::string id;
};

/// With the number of cylinders known, or not. False if the course is no simple multiple of the truth.
bool add_choice(std::vector<Choice>& out, const Followed& f, const SpeedTake& take, bool known, double truth,
                int engine) {
    const int cycle_turns = take.stroke == 2 ? 1 : 2;
    const auto m =
        multiples_of(f.evidence, f.course, known ? std::optional<int>(take.cylinders) : std::nullopt,
                     cycle_turns, SpeedSettings{}.slowest, SpeedSettings{}.fastest);
    Choice c;
    c.engine = engine, c.id = take.id;
    c.none_right = truth <= 0.0;
    bool any = c.none_right;
    for (const auto& h : m.hypotheses) {
        c.hypotheses.push_back(h.features);
        const double rpm = h.cycle.value() * 60.0 * cycle_turns;
        c.right.push_back(truth > 0.0 && std::abs(rpm / truth - 1.0) < 0.012);
        any = any || c.right.back();
    }
    if (any) out.push_back(std::move(c));
    return any;
}

struct Gathered {
    std::vector<Choice> choices;
    int lost = 0, all = 0;
};

void gather(Gathered& g, const SpeedTake& take, int engine) {
    const int cycle_turns = take.stroke == 2 ? 1 : 2;
    const auto f =
        followed(evidence_of(take.sound, take.rate), turns_per_second(SpeedSettings{}.slowest) / cycle_turns,
                 turns_per_second(SpeedSettings{}.fastest) / cycle_turns);
    ++g.all;
    if (f.course.at.empty()) return;
    const auto [a, b] = f.running.used;
    const Seconds from = std::max(a, take.truth.running.first), to = std::min(b, take.truth.running.second);
    const double truth = to > from ? simulate::mean_speed(take.truth, from, to).value() : 0.0;
    bool found = true;
    for (const bool known : {true, false})
        found = add_choice(g.choices, f, take, known, truth, engine) && found;
    if (!found) ++g.lost;
}

/// Utilities to probabilities; the last is "no engine".
std::vector<double> probabilities(const Choice& c, const Parameters& w, double temperature) {
    std::vector<double> p(c.hypotheses.size() + 1);
    for (std::size_t i = 0; i < c.hypotheses.size(); ++i)
        p[i] = std::inner_product(c.hypotheses[i].begin(), c.hypotheses[i].end(), w.begin(), 0.0);
    p.back() = w.back();
    const double top = *std::max_element(p.begin(), p.end());
    double sum = 0.0;
    for (auto& v : p) sum += v = std::exp((v - top) / temperature);
    for (auto& v : p) v /= sum;
    return p;
}

double right_share(const Choice& c, const std::vector<double>& p) {
    double s = c.none_right ? p.back() : 0.0;
    for (std::size_t i = 0; i < c.right.size(); ++i)
        if (c.right[i]) s += p[i];
    return std::max(s, 1e-12);
}

/// -log likelihood with a ridge on scaled weights, and its slope.
double loss(const std::vector<const Choice*>& set, const Parameters& w, const Parameters& scale, double ridge,
            Parameters& slope) {
    slope.fill(0.0);
    double sum = 0.0;
    for (const auto* c : set) {
        const auto p = probabilities(*c, w, 1.0);
        const double right = right_share(*c, p);
        sum -= std::log(right);
        for (std::size_t i = 0; i < c->hypotheses.size(); ++i) {
            const double d = p[i] - (c->right[i] ? p[i] / right : 0.0);
            for (std::size_t k = 0; k < feature_count; ++k) slope[k] += d * c->hypotheses[i][k];
        }
        slope.back() += p.back() - (c->none_right ? p.back() / right : 0.0);
    }
    for (std::size_t k = 0; k < feature_count; ++k) {
        sum += 0.5 * ridge * std::pow(w[k] * scale[k], 2);
        slope[k] += ridge * w[k] * scale[k] * scale[k];
    }
    return sum;
}

/// Standard deviation of each feature over all hypotheses: what the ridge is measured in.
Parameters scales(const std::vector<const Choice*>& set) {
    Parameters mean{}, square{}, s{};
    double n = 0.0;
    for (const auto* c : set)
        for (const auto& h : c->hypotheses) {
            ++n;
            for (std::size_t k = 0; k < feature_count; ++k) mean[k] += h[k], square[k] += h[k] * h[k];
        }
    for (std::size_t k = 0; k < feature_count; ++k)
        s[k] = std::sqrt(std::max(1e-6, square[k] / n - std::pow(mean[k] / n, 2)));
    s.back() = 1.0;
    return s;
}

/// Quasi-Newton descent (Broyden, Fletcher, Goldfarb, Shanno 1970) in scaled weights.
Parameters fitted(const std::vector<const Choice*>& set, double ridge) {
    const auto scale = scales(set);
    Parameters w{}, slope{};
    std::array<Parameters, parameters> inverse{};
    for (std::size_t i = 0; i < parameters; ++i) inverse[i][i] = 1e-3;
    const auto at = [&](const Parameters& scaled, Parameters& g) {
        Parameters plain;
        for (std::size_t k = 0; k < parameters; ++k) plain[k] = scaled[k] / scale[k];
        const double v = loss(set, plain, scale, ridge, g);
        for (std::size_t k = 0; k < parameters; ++k) g[k] /= scale[k];
        return v;
    };
    double value = at(w, slope);
    for (int turn = 0; turn < 300; ++turn) {
        Parameters step{};
        for (std::size_t i = 0; i < parameters; ++i)
            for (std::size_t j = 0; j < parameters; ++j) step[i] -= inverse[i][j] * slope[j];
        const double fall = std::inner_product(step.begin(), step.end(), slope.begin(), 0.0);
        double length = 1.0, next = value;
        Parameters there{}, bend{};
        for (int half = 0; half < 30; ++half, length *= 0.5) {
            for (std::size_t k = 0; k < parameters; ++k) there[k] = w[k] + length * step[k];
            next = at(there, bend);
            if (next <= value + 1e-4 * length * fall) break;
        }
        if (value - next < 1e-7 * std::abs(value)) break;
        Parameters s{}, y{};
        for (std::size_t k = 0; k < parameters; ++k) s[k] = there[k] - w[k], y[k] = bend[k] - slope[k];
        const double sy = std::inner_product(s.begin(), s.end(), y.begin(), 0.0);
        w = there, slope = bend, value = next;
        if (sy <= 1e-12) continue;
        Parameters hy{};
        for (std::size_t i = 0; i < parameters; ++i)
            for (std::size_t j = 0; j < parameters; ++j) hy[i] += inverse[i][j] * y[j];
        const double yhy = std::inner_product(y.begin(), y.end(), hy.begin(), 0.0);
        for (std::size_t i = 0; i < parameters; ++i)
            for (std::size_t j = 0; j < parameters; ++j)
                inverse[i][j] += (1.0 + yhy / sy) * s[i] * s[j] / sy - (hy[i] * s[j] + s[i] * hy[j]) / sy;
    }
    for (std::size_t k = 0; k < parameters; ++k) w[k] /= scale[k];
    return w;
}

/// Mean -log probability of what is right.
double surprise(const std::vector<const Choice*>& set, const Parameters& w, double temperature) {
    double sum = 0.0;
    for (const auto* c : set) sum -= std::log(right_share(*c, probabilities(*c, w, temperature)));
    return set.empty() ? 0.0 : sum / static_cast<double>(set.size());
}

struct FitOptions {
    std::string keep;
    double ridge = 3.0;
    int folds = 5, cases = 480, trouble = 200;
    std::vector<std::size_t> without;
};

/// Engines left out in turn: how surprised the rest's weights are by them, at several temperatures.
void cross_validate(const std::vector<Choice>& choices, const FitOptions& o) {
    const double temperatures[] = {1.0, 1.15, 1.3, 1.5, 1.8};
    std::array<double, std::size(temperatures)> sum{};
    for (int fold = 0; fold < o.folds; ++fold) {
        std::vector<const Choice*> in, out;
        for (const auto& c : choices) (c.engine % o.folds == fold ? out : in).push_back(&c);
        const auto w = fitted(in, o.ridge);
        for (std::size_t t = 0; t < sum.size(); ++t)
            sum[t] += surprise(out, w, temperatures[t]) * static_cast<double>(out.size());
    }
    fmt::print("left out in turn, mean -ln probability of what is right:");
    for (std::size_t t = 0; t < sum.size(); ++t)
        fmt::print("  {:.2f}: {:.4f}", temperatures[t], sum[t] / static_cast<double>(choices.size()));
    fmt::print("\n");
}

Gathered gather_all(const FitOptions& o) {
    Gathered g;
    for (int i = 0; i < o.cases; ++i)
        gather(g, make_speed_take(simulate::Set::tune, simulate::Purpose::speed, i, o.keep), i);
    for (int i = 0; i < o.trouble; ++i)
        gather(g, make_speed_take(simulate::Set::tune, simulate::Purpose::trouble, i, o.keep), i);
    int n = 0;
    for (const auto& kind : kinds_of_other_sound())
        for (std::uint64_t seed = 1; seed <= 8; ++seed, ++n) {
            SpeedTake t;
            t.id = kind, t.cylinders = 2 + n % 5;
            t.rate = SampleRate{other_sound_rate};
            t.sound = other_sound(kind, seed);
            gather(g, t, n);
        }
    return g;
}

void run(const FitOptions& o) {
    auto g = gather_all(o);
    for (auto& c : g.choices)
        for (auto& h : c.hypotheses)
            for (const auto k : o.without) h.at(k) = 0.0;
    fmt::print("{} recordings, {} choices; in {} the course is no simple multiple of the truth\n", g.all,
               g.choices.size(), g.lost);
    std::vector<const Choice*> all;
    for (const auto& c : g.choices) all.push_back(&c);
    cross_validate(g.choices, o);
    const auto w = fitted(all, o.ridge);
    fmt::print("all: {:.4f}\nweights:", surprise(all, w, 1.0));
    for (std::size_t k = 0; k < feature_count; ++k) fmt::print(" {:.3f},", w[k]);
    fmt::print("\nno engine: {:.3f}\n", w.back());
}

}  // namespace

void add_speed_fit(CLI::App& app) {
    auto* mode = app.add_subcommand("fit", "Fit the choice among multiples on the set tune");
    auto o = std::make_shared<FitOptions>();
    mode->add_option("--keep", o->keep, "a folder that keeps the recordings made, for the next run");
    mode->add_option("--ridge", o->ridge, "weight of the squared weights");
    mode->add_option("--cases", o->cases, "of purpose speed");
    mode->add_option("--trouble", o->trouble, "cases of purpose trouble");
    mode->add_option("--without", o->without, "leave out the feature of this number");
    mode->callback([o] { run(*o); });
}

}  // namespace cranknote::score
