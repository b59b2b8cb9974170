// Writes a layout as TOML in the order in which a person would write it. By hand and not by toml++, because a
// formatter sorts the keys and a layout is read by people.
#include <string>

#include "layout/belts.hpp"
#include "layout/toml_table.hpp"

namespace cranknote {

namespace {

using layout_file::plain_number;

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + "\"";
}

/// TOML numbers: a float needs no point where it is whole, parse_layout takes both.
std::string number(double value) {
    auto text = plain_number(value);
    const bool bare_exponent = text.find('e') != std::string::npos && text.find('.') == std::string::npos;
    if (bare_exponent) text.insert(text.find('e'), ".0");
    return text;
}

std::string with_decimals(double value, int decimals) {
    auto text = number(value);
    if (decimals == 0 || text.find('e') != std::string::npos) return text;
    auto point = text.find('.');
    if (point == std::string::npos) {
        point = text.size();
        text += '.';
    }
    while (text.size() - point - 1 < static_cast<std::size_t>(decimals)) text += '0';
    return text;
}

std::string list(const std::vector<std::string>& items) {
    std::string out = "[";
    for (const auto& item : items) out += (out.size() > 1 ? ", " : "") + quoted(item);
    return out + "]";
}

/// Key by key; each line is left out where nothing is known.
struct Writer {
    std::string out;

    void line(std::string_view key, const std::string& value) {
        out += std::string(key) + " = " + value + "\n";
    }
    void text(std::string_view key, const std::string& value) {
        if (!value.empty()) line(key, quoted(value));
    }
    void flag(std::string_view key, bool value) {
        if (value) line(key, "true");
    }
    void whole(std::string_view key, const std::optional<int>& value) {
        if (value) line(key, std::to_string(*value));
    }
    void length(std::string_view key, const std::optional<Millimetres>& value) {
        if (value) line(key, number(value->value()));
    }
    void names(std::string_view key, const std::vector<std::string>& value) {
        if (!value.empty()) line(key, list(value));
    }
    template <class E>
    void word(std::string_view key, const std::optional<E>& value) {
        if (value) line(key, quoted(word_of(*value)));
    }
};

template <class T, class Text>
std::string bracketed(const std::vector<T>& values, Text text) {
    std::string out = "[";
    for (const auto& v : values) out += (out.size() > 1 ? ", " : "") + text(v);
    return out + "]";
}

void write_engine(Writer& w, const Engine& e) {
    w.out += "\n[engine]\n";
    w.line("cylinders", std::to_string(e.cylinders));
    w.word("arrangement", std::optional(e.arrangement));
    w.line("stroke", std::to_string(e.stroke));
    if (!e.firing_order.empty())
        w.line("firing_order", bracketed(e.firing_order, [](int n) { return std::to_string(n); }));
    if (!e.firing_deg.empty())
        w.line("firing_deg", bracketed(e.firing_deg, [](Degrees d) { return number(d.value()); }));
    w.word("fuel", std::optional(e.fuel));
    if (e.idle && e.idle->first == e.idle->second) w.line("idle_rpm", number(e.idle->first.value()));
    if (e.idle && e.idle->first != e.idle->second)
        w.line("idle_rpm", "[" + number(e.idle->first.value()) + ", " + number(e.idle->second.value()) + "]");
    w.line("cam_ratio", number(e.cam_ratio));
    w.whole("valves_per_cylinder", e.valves_per_cylinder);
}

void write_drive(Writer& w, const Drive& d) {
    const auto size = d.belt.empty() ? std::nullopt : read_belt_size(d.belt);
    const bool chain = d.kind == DriveKind::chain || d.kind == DriveKind::silent_chain;
    w.out += "\n[[drive]]\n";
    w.text("name", d.name);
    w.word("kind", std::optional(d.kind));
    w.text("driver", d.driver);
    w.text("belt", d.belt);
    if (!size || size->teeth != d.teeth) w.whole(chain ? "links" : "teeth", d.teeth);
    if (!size || size->pitch != d.pitch) w.length("pitch_mm", d.pitch);
    if (!size || size->length != d.length) w.length("length_mm", d.length);
    w.names("route", d.route);
    w.word("run_without", d.run_without);
    if (d.count != 1) w.line("count", std::to_string(d.count));
    if (d.rows != 1) w.line("rows", std::to_string(d.rows));
}

void write_diameter(Writer& w, const Part& p) {
    if (std::holds_alternative<std::monostate>(p.diameter)) return;
    if (std::holds_alternative<Typical>(p.diameter)) {
        w.line("diameter_mm", quoted("typical"));
        return;
    }
    if (p.by_tape && p.around)
        w.length("around_mm", p.around);
    else
        w.length("diameter_mm", std::get<Millimetres>(p.diameter));
    if (p.diameter_kind != DiameterKind::outside) w.word("diameter", std::optional(p.diameter_kind));
    w.length("plus_minus_mm", p.plus_minus);
}

void write_bearing(Writer& w, const Part& p) {
    if (!p.bearing) return;
    if (!p.bearing_number.empty()) {
        w.line("bearing", "{ number = " + quoted(p.bearing_number) + " }");
        return;
    }
    const auto& b = *p.bearing;
    w.line("bearing", "{ balls = " + std::to_string(b.balls) + ", ball_mm = " + number(b.ball.value()) +
                          ", pitch_circle_mm = " + number(b.pitch_circle.value()) +
                          ", contact_deg = " + number(b.contact.value()) + " }");
}

void write_counts(Writer& w, const Part& p) {
    w.whole("teeth", p.teeth);
    write_diameter(w, p);
    if (p.turns) w.line("turns", "[" + number(p.turns->first) + ", " + number(p.turns->second) + "]");
    if (p.ratio) w.line("ratio", with_decimals(p.ratio->value(), p.ratio_decimals));
    w.flag("back_side", p.back_side);
    w.whole("blades", p.blades);
    w.whole("vanes", p.vanes);
    w.whole("pistons", p.pistons);
    w.whole("lobes", p.lobes);
    w.whole("plungers", p.plungers);
    w.whole("pole_pairs", p.pole_pairs);
}

void write_part(Writer& w, const Part& p) {
    w.out += "\n[[part]]\n";
    w.text("name", p.name);
    w.word("kind", std::optional(p.kind));
    if (p.turns_with_crank) w.line("turns_with", quoted("crank"));
    w.text("drive", p.drive);
    w.text("on_shaft_of", p.on_shaft_of);
    write_counts(w, p);
    w.flag("decoupler", p.decoupler);
    w.flag("viscous", p.viscous);
    w.flag("electric", p.electric);
    w.flag("clutch", p.clutch);
    write_bearing(w, p);
    w.whole("bank", p.bank);
    w.word("run_without", p.run_without);
    if (p.at_mm) w.line("at_mm", "[" + number((*p.at_mm)[0]) + ", " + number((*p.at_mm)[1]) + "]");
}

void write_cover(Writer& w, const Cover& c) {
    w.out += "\n[[cover]]\n";
    w.text("name", c.name);
    w.word("kind", std::optional(c.kind));
    w.names("can_touch", c.can_touch);
}

void write_pull(Writer& w, const Pull& p) {
    w.out += "\n[[pull]]\n";
    w.text("name", p.name);
    w.names("off", p.off);
    w.line("minutes", number(p.minutes));
    w.line("refit_minutes", number(p.refit_minutes));
    if (p.wait_minutes != 0.0) w.line("wait_minutes", number(p.wait_minutes));
    w.names("renew", p.renew);
    w.names("requires", p.requires_);
    w.names("cautions", p.cautions);
}

}  // namespace

std::string to_toml(const Layout& layout) {
    Writer w;
    w.line("schema", std::to_string(layout.schema));
    w.text("name", layout.name);
    if (layout.typical) w.out += "typical = true  # nothing was measured; take this line out when you have\n";
    write_engine(w, layout.engine);
    for (const auto& d : layout.drives) write_drive(w, d);
    for (const auto& p : layout.parts) write_part(w, p);
    for (const auto& c : layout.covers) write_cover(w, c);
    for (const auto& p : layout.pulls) write_pull(w, p);
    return w.out;
}

}  // namespace cranknote
