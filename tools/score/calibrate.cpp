// calibrate: fits the numbers of judgement in diagnose/likelihoods.hpp to simulated pairs of the `tune` set:
// the mean logarithm of the probability stated for the truth, held to the hand-set values by a ridge. It
// prints what it found; a person writes it into likelihoods.hpp.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <fstream>
#include <iostream>
#include <memory>
#include <thread>

#include <fmt/core.h>

#include "diagnose/pair.hpp"
#include "note/names.hpp"
#include "score/made_pair.hpp"

namespace {

using namespace cranknote;

/// One number, moved on a scale on which it cannot leave its range.
struct Knob {
    std::string name;
    double* at;
    bool share;  ///< a probability; else a positive number
    [[nodiscard]] double get() const { return share ? std::log(*at / (1.0 - *at)) : std::log(*at); }
    void set(double x) const { *at = share ? 1.0 / (1.0 + std::exp(-x)) : std::exp(x); }
};

std::vector<Knob> knobs_of(Likelihoods& l) {
    std::vector<Knob> k{{"no_fault", &l.no_fault, true},
                        {"something_else", &l.something_else, true},
                        {"found", &l.found, true},
                        {"ratio_floor", &l.ratio_floor, false},
                        {"beat_floor", &l.beat_floor, false},
                        {"chance_beat_on_half_orders", &l.chance_beat_on_half_orders, true},
                        {"changed_beat_on_half_orders", &l.changed_beat_on_half_orders, true},
                        {"beat_detected", &l.beat_detected, true},
                        {"follows_right", &l.follows_right, true},
                        {"follows_known", &l.follows_known, true},
                        {"band_temper", &l.band_temper, false},
                        {"band_temper_tied", &l.band_temper_tied, false},
                        {"more_findings_temper", &l.more_findings_temper, false},
                        {"repaired_unnamed", &l.repaired_unnamed, true},
                        {"load_shift", &l.load_shift, true},
                        {"healthy_went_silent", &l.healthy_went_silent, true},
                        {"healthy_stays", &l.healthy_stays, true},
                        {"prominence_middle", &l.prominence_middle, false},
                        {"prominence_slope", &l.prominence_slope, false},
                        {"prominence_limit", &l.prominence_limit, false},
                        {"strength_slope", &l.strength_slope, false},
                        {"strength_limit", &l.strength_limit, false},
                        {"temperature", &l.temperature, false}};
    const auto course = [&](const char* name, Course& c) {
        static constexpr const char* place[] = {"there", "weaker", "gone", "stronger", "new"};
        for (std::size_t i = 0; i < c.size(); ++i)
            k.push_back({std::string(name) + "." + place[i], &c[i], false});
    };
    course("silenced", l.silenced), course("unchanged", l.unchanged), course("chance", l.chance);
    return k;
}

void tidy(Likelihoods& l) {
    for (auto* c : {&l.silenced, &l.unchanged, &l.started, &l.chance}) {
        double sum = 0.0;
        for (const double x : *c) sum += x;
        for (double& x : *c) x /= sum;
    }
}

double loss_of(const score::MadePair& p, const Likelihoods& l) {
    const auto v = suspects_of_pair(p.layout, p.comparison, p.a, p.b, {}, l);
    double right = 0.0;
    for (const auto& s : v.suspects)
        if (p.truth.guilty.empty() ? s.kind == CauseKind::other
                                   : score::same_cause(s, p.truth.guilty.front()))
            right += s.probability;
    return -std::log(std::max(right, 0.003));
}

double mean_loss(const std::vector<std::unique_ptr<score::MadePair>>& pairs, Likelihoods l) {
    tidy(l);
    double sum[2] = {0.0, 0.0};
    std::vector<std::thread> threads;
    for (std::size_t t = 0; t < 2; ++t)
        threads.emplace_back([&, t] {
            for (std::size_t i = t; i < pairs.size(); i += 2) sum[t] += loss_of(*pairs[i], l);
        });
    for (auto& t : threads) t.join();
    return (sum[0] + sum[1]) / static_cast<double>(pairs.size());
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"Fits likelihoods.hpp to pairs of the tune set"};
    std::vector<std::string> folders;
    int rounds = 2;
    app.add_option("FOLDERS", folders, "folders that `simulate` wrote")->required();
    app.add_option("--rounds", rounds, "passes over all numbers");
    CLI11_PARSE(app, argc, argv);
    std::vector<std::unique_ptr<score::MadePair>> pairs;
    for (const auto& folder : folders) {
        auto truth = score::read_truth(folder);
        if (truth.id.rfind("tune-", 0) != 0) {
            std::cerr << "calibrate: " << folder << " is not of the tune set\n";
            return 2;
        }
        if (truth.relation == "unchanged" && !truth.guilty.empty()) continue;
        if (!truth.guilty.empty() && truth.guilty.front().kind == "other") continue;
        pairs.push_back(std::make_unique<score::MadePair>(score::made_pair(truth, "layout.toml", false)));
    }
    Likelihoods l;
    const auto knobs = knobs_of(l);
    std::vector<double> start;
    for (const auto& k : knobs) start.push_back(k.get());
    const auto penalised = [&] {
        double ridge = 0.0;
        for (std::size_t i = 0; i < knobs.size(); ++i) {
            const double d = knobs[i].get() - start[i];
            ridge += 0.5 * d * d / static_cast<double>(pairs.size());  // one standard deviation is a factor e
        }
        return mean_loss(pairs, l) + ridge;
    };
    double best = penalised();
    fmt::print("{} pairs, loss {:.4f}\n", pairs.size(), best);
    double step = 0.7;
    for (int r = 0; r < rounds; ++r, step *= 0.5)
        for (const auto& k : knobs) {
            const double was = k.get();
            for (const double d : {step, -step}) {
                double here = was;
                bool better = false;
                for (int times = 0; times < 4; ++times) {
                    k.set(here + d);
                    const double now = penalised();
                    if (now >= best - 1e-5) break;
                    best = now, here += d, better = true;
                }
                k.set(here);
                if (better) break;
            }
        }
    tidy(l);
    fmt::print("loss {:.4f}\n", best);
    for (const auto& k : knobs) fmt::print("{:32}{:9.4f}\n", k.name, *k.at);
    return 0;
}
