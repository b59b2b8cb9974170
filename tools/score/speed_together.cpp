// Do recordings of one engine help each other: before and after, on cases with several takes.
#include <fmt/core.h>

#include <cmath>
#include <iostream>
#include <memory>
#include <stdexcept>

#include "simulate/simulate.hpp"
#include "speed/from_sound.hpp"
#include "speed/together.hpp"
#include "speed_modes.hpp"

namespace cranknote::score {

namespace {

struct Count {
    int withheld = 0, right = 0, wrong = 0, wrong_and_sure = 0, sure = 0;
    void add(const SpeedReading& r, double truth) {
        if (!r.mean) {
            ++withheld;
            return;
        }
        const bool off = std::abs(r.mean->value() / truth - 1.0) > 0.03;
        ++(off ? wrong : right);
        if (r.confidence >= 0.95) ++sure, wrong_and_sure += off;
    }
    void print(const char* name) const {
        fmt::print("{:6}  withheld {:3}  right {:3}  wrong {:3}  sure {:3}, of these wrong {}\n", name,
                   withheld, right, wrong, sure, wrong_and_sure);
    }
};

struct TogetherOptions {
    std::string set = "tune", purpose = "unchanged";
    int first = 0, cases = 60;
    bool cylinders_unknown = false;
};

SpeedReading read(const simulate::Take& t, SpeedSettings s) {
    return speed_from_sound(t.sound.channels.front(), t.sound.rate, s);
}

/// The same steps as cranknote::settled_together, without portraits.
std::vector<SpeedReading> settled(const simulate::Case& c, const std::vector<SpeedReading>& alone,
                                  SpeedSettings s) {
    auto together = readings_together(alone);
    auto out = alone;
    for (std::size_t i = 0; i < out.size(); ++i)
        if (out[i].mean && std::abs(*together[i].mean / *out[i].mean - 1.0) < 1e-6) out[i] = together[i];
    for (const auto& to : pointed_to(alone, together)) {
        s.tag = to.tag;
        if (auto now = settled_by_others(read(c.takes[to.index], s), to)) out[to.index] = *now;
    }
    return out;
}

void run(const TogetherOptions& o) {
    const auto set = o.set == "tune" ? simulate::Set::tune : simulate::Set::score;
    Count before, after;
    for (int i = o.first; i < o.first + o.cases; ++i) {
        const auto c = simulate::make_case(set, simulate::purpose_named(o.purpose), i);
        SpeedSettings s;
        if (!o.cylinders_unknown) s.cylinders = c.cylinders;
        s.stroke = c.layout_toml.find("stroke = 2") != std::string::npos ? 2 : 4;
        std::vector<SpeedReading> alone;
        for (const auto& t : c.takes) alone.push_back(read(t, s));
        const auto now = settled(c, alone, s);
        for (std::size_t k = 0; k < alone.size(); ++k) {
            const double truth = c.takes[k].truth.mean.value();
            before.add(alone[k], truth), after.add(now[k], truth);
            const bool changed = alone[k].mean.has_value() != now[k].mean.has_value() ||
                                 (now[k].mean && std::abs(*now[k].mean / *alone[k].mean - 1.0) > 0.01);
            if (changed)
                fmt::print("  {} {}: true {:.0f}, alone {} ({:.2f}), together {:.0f} ({:.2f})\n", c.id,
                           c.takes[k].name, truth,
                           alone[k].mean ? fmt::format("{:.0f}", alone[k].mean->value()) : "withheld",
                           alone[k].confidence, now[k].mean->value(), now[k].confidence);
        }
    }
    before.print("alone"), after.print("together");
}

}  // namespace

void add_speed_together(CLI::App& app) {
    auto* mode =
        app.add_subcommand("together", "How recordings of one engine help each other to the multiple");
    auto o = std::make_shared<TogetherOptions>();
    mode->add_option("--set", o->set, "tune or score")->check(CLI::IsMember({"tune", "score"}));
    mode->add_option("--purpose", o->purpose, "unchanged, fault_moved, ...: any with several takes");
    mode->add_option("--first", o->first, "first case");
    mode->add_option("--cases", o->cases, "how many cases");
    mode->add_flag("--cylinders-unknown", o->cylinders_unknown, "do not say how many cylinders there are");
    mode->callback([o] { run(*o); });
}

}  // namespace cranknote::score
