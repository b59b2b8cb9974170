// Steadiness and evenness on simulated recordings: hunting found and falsely said, how even they sound.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <vector>

#include "speed/from_sound.hpp"
#include "speed_modes.hpp"
#include "speed_result.hpp"
#include "speed_takes.hpp"

namespace cranknote::score {

namespace {

struct SteadyOptions {
    std::string set = "tune", keep;
    int first = 0, cases = 240;
};

struct Course {
    int all = 0, hunts = 0, spread_held = 0, spread_known = 0;
    std::vector<double> unlike;
    int uneven_said = 0, cannot_tell = 0;
};

/// rms of the true speed around its straight course in the stretch, relative; averaged over 0.3 s or so.
double true_spread(const simulate::TakeTruth& t, std::pair<Seconds, Seconds> used) {
    std::vector<double> x, y;
    for (std::size_t i = 0; i < t.track.at.size(); ++i)
        if (t.track.at[i] >= used.first && t.track.at[i] <= used.second)
            x.push_back(t.track.at[i].value()), y.push_back(t.track.rpm[i].value());
    const auto n = static_cast<double>(y.size());
    double mx = 0.0, my = 0.0, xy = 0.0, xx = 0.0, s = 0.0;
    for (std::size_t i = 0; i < y.size(); ++i) mx += x[i] / n, my += y[i] / n;
    for (std::size_t i = 0; i < y.size(); ++i) xy += (x[i] - mx) * y[i], xx += (x[i] - mx) * (x[i] - mx);
    for (std::size_t i = 0; i < y.size(); ++i)
        s += std::pow(y[i] - my - (xx > 0.0 ? xy / xx : 0.0) * (x[i] - mx), 2) / n;
    return std::sqrt(s) / my;
}

void run(const SteadyOptions& o) {
    const auto set = o.set == "tune" ? simulate::Set::tune : simulate::Set::score;
    std::map<std::string, Course> by;
    std::vector<double> spread_error;
    for (int i = o.first; i < o.first + o.cases; ++i) {
        const auto take = make_speed_take(set, simulate::Purpose::speed, i, o.keep);
        SpeedSettings s;
        s.cylinders = take.cylinders, s.stroke = take.stroke;
        const auto r = speed_from_sound(take.sound, take.rate, s);
        if (!r.mean || !r.steadiness || std::abs(r.mean->value() / take.truth.mean.value() - 1.0) > 0.1)
            continue;
        auto& c = by[take.truth.course];
        ++c.all;
        c.hunts += r.steadiness->hunting.has_value();
        spread_error.push_back(r.steadiness->spread - true_spread(take.truth, r.running.used));
        if (!r.evenness || !r.evenness->unlike) {
            ++c.cannot_tell;
        } else {
            c.unlike.push_back(*r.evenness->unlike);
            c.uneven_said += r.evenness->text.find("unevenly") != std::string::npos;
        }
    }
    for (const auto& [name, c] : by)
        fmt::print(
            "{:10} {:3}  said to hunt {:3}  unlike: half {:.2f}, nine in ten {:.2f}, said uneven {}, "
            "cannot tell {}\n",
            name, c.all, c.hunts, quantile(c.unlike, 0.5), quantile(c.unlike, 0.9), c.uneven_said,
            c.cannot_tell);
    for (auto& e : spread_error) e = std::abs(e);
    fmt::print("spread: error half {:.2f} %, nine in ten {:.2f} % of the speed\n",
               100.0 * quantile(spread_error, 0.5), 100.0 * quantile(spread_error, 0.9));
}

}  // namespace

void add_speed_steady(CLI::App& app) {
    auto* mode = app.add_subcommand("steady", "Hunting found and falsely said; how even the cylinders sound");
    auto o = std::make_shared<SteadyOptions>();
    mode->add_option("--set", o->set, "tune or score")->check(CLI::IsMember({"tune", "score"}));
    mode->add_option("--first", o->first, "first case");
    mode->add_option("--cases", o->cases, "how many cases");
    mode->add_option("--keep", o->keep, "a folder that keeps the recordings made, for the next run");
    mode->callback([o] { run(*o); });
}

}  // namespace cranknote::score
