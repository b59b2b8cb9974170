#include "simulate/mechanic.hpp"

#include <cmath>
#include <cstdio>
#include <numbers>
#include <optional>

namespace cranknote::simulate {

namespace {

std::string quoted(const std::string& s) { return "\"" + s + "\""; }

std::string list(const std::vector<std::string>& names) {
    std::string s = "[";
    for (const auto& n : names) s += (s.size() > 1 ? ", " : "") + quoted(n);
    return s + "]";
}

std::string number(double v) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f", v);
    return text;
}

class Writer {
  public:
    Writer(const Engine& e, const Habits& h, Dice dice) : e_(e), h_(h), dice_(dice) {
        // A wheel with a miscounted tooth would contradict its mate, so a crank sprocket is miscounted with
        // its cam wheel.
        teeth_off_ = dice_.chance(h_.wrong_count) ? (dice_.chance(0.5) ? 1 : -1) : 0;
        teeth_missing_ = dice_.chance(h_.missing_count);
    }

    std::string write() {
        text_ =
            "# Written by an invented mechanic for a simulated engine: measures are a little off, some are "
            "missing.\n";
        line("schema", "1");
        line("name", quoted(e_.name));
        engine();
        for (const auto& d : e_.drives) drive(d);
        for (const auto& p : e_.parts) part(p);
        for (const auto& c : e_.covers) cover(c);
        for (const auto& p : e_.pulls) pull(p);
        return text_;
    }

  private:
    const Engine& e_;
    const Habits& h_;
    Dice dice_;
    std::string text_;
    int teeth_off_ = 0;
    bool teeth_missing_ = false;

    void line(const std::string& key, const std::string& value) { text_ += key + " = " + value + "\n"; }
    void table(const char* name) { text_ += std::string("\n[[") + name + "]]\n"; }

    /// A count as the mechanic has it; nothing where it was not counted.
    std::optional<int> counted(int true_count) {
        if (true_count <= 0 || dice_.chance(h_.missing_count)) return std::nullopt;
        if (dice_.chance(h_.wrong_count)) return std::max(1, true_count + (dice_.chance(0.5) ? 1 : -1));
        return true_count;
    }
    void count(const std::string& key, int true_count) {
        if (const auto n = counted(true_count)) line(key, std::to_string(*n));
    }

    void engine() {
        text_ += "\n[engine]\n";
        line("cylinders", std::to_string(e_.cylinders));
        line("arrangement", quoted(e_.arrangement));
        line("stroke", std::to_string(e_.stroke));
        std::string order, deg;
        for (std::size_t i = 0; i < e_.firing_order.size(); ++i) {
            order += (i ? ", " : "") + std::to_string(e_.firing_order[i]);
            deg += (i ? ", " : "") + std::to_string(static_cast<int>(std::lround(e_.firing_deg[i])));
        }
        if (e_.cylinders > 1) line("firing_order", "[" + order + "]");
        if (!e_.even_firing) line("firing_deg", "[" + deg + "]");
        line("fuel", quoted(e_.fuel));
        line("idle_rpm", std::to_string(static_cast<int>(
                             std::lround((e_.idle_rpm + dice_.normal(0.0, 15.0)) / 10.0) * 10)));
        if (e_.valves_per_cylinder > 0) line("valves_per_cylinder", std::to_string(e_.valves_per_cylinder));
    }

    void drive(const TrueDrive& d) {
        table("drive");
        line("name", quoted(d.name));
        line("kind", quoted(d.kind));
        line("driver", quoted(d.driver));
        if (d.kind == "chain" || d.kind == "silent chain") count("links", d.teeth);
        if (d.kind == "toothed") {
            count("teeth", d.teeth);
            line("pitch_mm", d.pitch_mm > 9.0 ? "9.525" : "8");
        }
        if (!d.printed.empty() && dice_.chance(0.8))
            line("belt", quoted(d.printed));
        else if (is_friction(d.kind) && dice_.chance(0.6))
            line("length_mm",
                 std::to_string(static_cast<int>(std::lround(d.length_mm + dice_.normal(0.0, 5.0)))));
        line("route", list(d.route));
        if (!is_friction(d.kind)) line("run_without", quoted("never"));
    }

    void diameter(const TruePart& p) {
        if (p.outside_mm <= 0.0) return;
        const double by_hand = h_.turned_by_hand;
        if (p.turns > 0.0 && p.kind != "crank pulley" && p.kind != "crank sprocket" &&
            dice_.chance(by_hand)) {
            // Ten crank turns by hand, the part's turns read to an eighth; belts hardly creep by hand.
            line("turns", "[10, " + number(std::round(10.0 * p.turns * 8.0) / 8.0) + "]");
            return;
        }
        if (dice_.chance(h_.unknown_diameter)) {
            if (dice_.chance(0.7)) line("diameter_mm", quoted("typical"));
            return;
        }
        const double off =
            dice_.uniform(1.0, 2.0) * (dice_.chance(0.5) ? 1.0 : -1.0) * (dice_.chance(0.6) ? 1.0 : 0.4);
        const double read = p.outside_mm + off;
        if (dice_.chance(0.3))
            line("around_mm", number(std::round(read * std::numbers::pi)));
        else
            line("diameter_mm", number(std::round(2.0 * read) / 2.0));
        if (dice_.chance(0.5)) line("plus_minus_mm", "2");
    }

    void teeth(const TruePart& p) {
        const auto* d = e_.drive(p.drive);
        const bool cam_train =
            p.kind == "crank sprocket" || p.kind == "cam wheel" || p.kind == "injection pump" ||
            (p.kind == "gear" && (!d || d->name == "timing gears") && p.name != "primary gear");
        if (!cam_train) return count("teeth", p.teeth);
        const bool small = p.drive.empty();
        if (teeth_missing_ && small) return;
        line("teeth", std::to_string(p.teeth + teeth_off_ * (small ? 1 : 2)));
    }

    void part(const TruePart& p) {
        table("part");
        line("name", quoted(p.name));
        line("kind", quoted(p.kind));
        if (!p.drive.empty())
            line("drive", quoted(p.drive));
        else if (!p.on_shaft_of.empty())
            line("on_shaft_of", quoted(p.on_shaft_of));
        else if (!p.electric)
            line("turns_with", quoted("crank"));
        if (p.electric) line("electric", "true");
        if (p.teeth > 0) teeth(p);
        diameter(p);
        if (p.back_side) line("back_side", "true");
        count("blades", p.blades);
        count("vanes", p.vanes);
        count("pistons", p.pistons);
        count("lobes", p.lobes);
        count("plungers", p.plungers);
        count("pole_pairs", p.pole_pairs);
        if (p.viscous) line("viscous", "true");
        if (p.clutch) line("clutch", "true");
        if (p.decoupler) line("decoupler", "true");
        if (p.bearing && !dice_.chance(0.35 + 2.0 * h_.missing_count))
            line("bearing", "{ number = " + quoted(p.bearing->number) + " }");
        if (p.kind == "tensioner" && e_.drive(p.drive) && !is_friction(e_.drive(p.drive)->kind))
            line("run_without", quoted("never"));
        if (p.bank > 0) line("bank", std::to_string(p.bank));
        line("at_mm", "[" + std::to_string(static_cast<int>(p.x_mm)) + ", " +
                          std::to_string(static_cast<int>(p.y_mm)) + "]");
    }

    void cover(const TrueCover& c) {
        table("cover");
        line("name", quoted(c.name));
        line("kind", quoted(c.kind));
        line("can_touch", list(c.can_touch));
    }

    void pull(const TruePull& p) {
        table("pull");
        line("name", quoted(p.name));
        line("off", list(p.off));
        line("minutes", std::to_string(static_cast<int>(p.minutes)));
        line("refit_minutes", std::to_string(static_cast<int>(p.refit_minutes)));
        if (!p.requires_.empty()) line("requires", list(p.requires_));
        if (!p.cautions.empty()) line("cautions", list(p.cautions));
    }
};

}  // namespace

Habits careless() { return {0.5, 0.05, 0.5, 0.0}; }

std::string mechanics_layout(const Engine& engine, const Habits& habits, Dice dice) {
    return Writer(engine, habits, dice.fork("mechanic")).write();
}

}  // namespace cranknote::simulate
