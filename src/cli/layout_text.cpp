#include "cli/layout_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

#include "layout/kinematics.hpp"
#include "layout/route_length.hpp"
#include "layout/words.hpp"

namespace cranknote::cli {

namespace {

using nlohmann::json;

constexpr std::size_t width = 60;  // a phone-wide terminal
constexpr std::size_t name_width = 31;

/// Characters of UTF-8 text, so that columns stay in line behind an umlaut.
std::size_t columns(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string padded(const std::string& text, std::size_t to) {
    const auto have = columns(text);
    return have < to ? text + std::string(to - have, ' ') : text;
}

std::string ratio_text(double ratio) {
    return fmt::format("{:.{}f}", ratio, ratio < 10 ? 3 : ratio < 100 ? 2 : 1);
}

/// "2.200", "2.091 .. 2.247" or "exact"
std::string limits_text(const UncertainRatio& r) {
    if (r.relative_error == 0.0 && r.creep == 0.0) return "exact";
    return ratio_text(r.low().value()) + " to " + ratio_text(r.high().value());
}

std::string row(const std::string& what, const UncertainRatio& r) {
    const std::string ratio = fmt::format("{:>8}× ", ratio_text(r.value.value()));
    const std::string values = ratio + limits_text(r);
    if (columns(what) < name_width) return padded("  " + what, name_width + 1) + values + "\n";
    return "  " + what + "\n" + std::string(name_width + 1, ' ') + values + "\n";
}

/// A line whose count nobody typed: "18 to 24 times 1.000".
std::string unknown_row(const std::string& what, const UnknownCount& c) {
    const auto values = fmt::format("{} to {} times {}×", c.low, c.high, ratio_text(c.each.value.value()));
    if (columns(what) + 2 <= name_width) return padded("  " + what, name_width + 2) + values + "\n";
    return "  " + what + "\n" + std::string(name_width + 2, ' ') + values + "\n";
}

std::string engine_text(const Engine& e) {
    std::string out =
        fmt::format("{} cylinder{}, {}, {}-stroke, {}", e.cylinders, e.cylinders == 1 ? "" : "s",
                    word_of(e.arrangement), e.stroke == 4 ? "four" : "two", word_of(e.fuel));
    if (e.idle && e.idle->first == e.idle->second)
        out += fmt::format("\nidle {:.0f} rpm", e.idle->first.value());
    if (e.idle && e.idle->first != e.idle->second)
        out += fmt::format("\nidle {:.0f} to {:.0f} rpm", e.idle->first.value(), e.idle->second.value());
    return out;
}

std::string why_no_turns(const Part& p) {
    if (p.electric) return "electric, not driven";
    const bool blade = p.kind == PartKind::tensioner && !p.teeth && p.diameter.index() == 0;
    return blade ? "no wheel on it" : "not known";
}

void print_turns(std::ostream& out, const Layout& layout) {
    out << "\nTurns per crank turn (95 % limits)\n";
    for (const auto& p : layout.parts) {
        const auto turns = turns_of(layout, p.name);
        if (turns)
            out << row(p.name, *turns) << "    " << turns_source(layout, p.name) << "\n";
        else
            out << "  " << p.name << ": " << why_no_turns(p) << "\n";
    }
}

/// Length of the belt or chain as known, and as its route is long.
void print_loops(std::ostream& out, const Layout& layout) {
    std::string text;
    for (const auto& d : layout.drives) {
        const auto loop = loop_length(d);
        const auto route = route_length(layout, d);
        if (!loop && !route) continue;
        text += fmt::format("  {}:", d.name);
        if (loop) text += fmt::format(" {:.0f} mm long", loop->value());
        if (route) text += fmt::format("{} its route about {:.0f} mm", loop ? "," : "", route->value());
        text += "\n";
    }
    if (!text.empty()) out << "\nBelts and chains\n" << text;
}

void print_lines(std::ostream& out, const Layout& layout) {
    out << "\nWhat each may make heard, per crank turn\n";
    std::string owner;
    for (const auto& line : predicted_lines(layout)) {
        if (line.harmonic > 1 && line.kind != LineKind::ripple && line.kind != LineKind::firing) continue;
        if (line.owner != owner) out << line.owner << "\n";
        owner = line.owner;
        const auto text = line.text + (line.only_with.empty() ? "" : " (" + line.only_with + ")");
        out << (line.count ? unknown_row(text, *line.count) : row(text, line.ratio));
    }
    out << "Multiples of these are heard too.\n";
}

json ratio_json(const UncertainRatio& r) {
    return {{"ratio", r.value.value()},
            {"low", r.low().value()},
            {"high", r.high().value()},
            {"relative_error", r.relative_error},
            {"creep", r.creep}};
}

json turns_json(const Layout& layout) {
    json out = json::array();
    for (const auto& p : layout.parts) {
        const auto turns = turns_of(layout, p.name);
        json j{{"part", p.name}, {"kind", word_of(p.kind)}, {"ratio", nullptr}, {"source", nullptr}};
        if (turns) j.update(ratio_json(*turns));
        if (turns) j["source"] = turns_source(layout, p.name);
        out.push_back(j);
    }
    return out;
}

json drives_json(const Layout& layout) {
    json out = json::array();
    for (const auto& d : layout.drives) {
        const auto turns = turns_of_drive(layout, d.name);
        json j{{"drive", d.name}, {"kind", word_of(d.kind)}, {"ratio", nullptr}, {"length_mm", nullptr}};
        j["route_mm"] = nullptr;
        if (turns) j.update(ratio_json(*turns));
        if (const auto loop = loop_length(d)) j["length_mm"] = loop->value();
        if (const auto route = route_length(layout, d)) j["route_mm"] = route->value();
        out.push_back(j);
    }
    return out;
}

json lines_json(const Layout& layout) {
    json out = json::array();
    for (const auto& line : predicted_lines(layout)) {
        json j{{"owner", line.owner},       {"line", line.text},    {"kind", word_of(line.kind)},
               {"harmonic", line.harmonic}, {"only_with", nullptr}, {"count", nullptr}};
        j.update(ratio_json(line.ratio));
        if (!line.only_with.empty()) j["only_with"] = line.only_with;
        if (line.count)
            j["count"] = {{"low", line.count->low},
                          {"high", line.count->high},
                          {"each", line.count->each.value.value()}};
        out.push_back(j);
    }
    return out;
}

/// Names as comments, wrapped to the width.
std::string names_text(const Layout& layout) {
    std::string out, line = "#";
    for (const auto& name : names_of(layout)) {
        const std::string next = (line == "#" ? " " : ", ") + name;
        if (columns(line) + columns(next) > width) {
            out += line + ",\n";
            line = "# " + name;
        } else {
            line += next;
        }
    }
    return out + line + "\n";
}

}  // namespace

void print_layout(std::ostream& out, const Layout& layout) {
    if (!layout.name.empty()) out << layout.name << "\n";
    out << engine_text(layout.engine) << "\n";
    print_turns(out, layout);
    print_loops(out, layout);
    print_lines(out, layout);
}

void print_layout_json(std::ostream& out, const Layout& layout, const std::string& file) {
    const auto& e = layout.engine;
    json j{{"schema", 1}, {"file", file}, {"name", layout.name}, {"names", names_of(layout)}};
    j["engine"] = {{"cylinders", e.cylinders}, {"stroke", e.stroke}, {"arrangement", word_of(e.arrangement)}};
    j["turns"] = turns_json(layout);
    j["drives"] = drives_json(layout);
    j["lines"] = lines_json(layout);
    out << j.dump(2) << "\n";
}

void print_layout_toml(std::ostream& out, const Layout& layout) {
    out << to_toml(layout) << "\n# Names for --off, --on and --near:\n" << names_text(layout);
}

void print_layout_toml_json(std::ostream& out, const Layout& layout) {
    out << json{{"schema", 1}, {"names", names_of(layout)}, {"toml", to_toml(layout)}}.dump(2) << "\n";
}

}  // namespace cranknote::cli
