// Reads a layout file, table by table; what contradicts itself is found afterwards by check_layout.
#include <cmath>
#include <numbers>

#include "layout/bearings.hpp"
#include "layout/belts.hpp"
#include "layout/check_layout.hpp"
#include "layout/toml_table.hpp"

namespace cranknote {

namespace {

using namespace layout_file;

constexpr std::size_t most_drives = 40, most_parts = 150, most_covers = 60, most_pulls = 60;

template <class T>
std::optional<T> as(const std::optional<double>& value) {
    return value ? std::optional<T>(T{*value}) : std::nullopt;
}

std::string required_name(Table& t, const std::optional<std::string>& name) {
    if (!name) t.fail("name", "a name: this one has none");
    return *name;
}

std::optional<std::pair<Rpm, Rpm>> read_idle(Table& t, const toml::table& raw) {
    if (!t.has("idle_rpm")) return std::nullopt;
    if (!raw.get("idle_rpm")->is_array()) {
        const auto idle = t.number("idle_rpm", 100, 5000);
        return std::pair{Rpm{*idle}, Rpm{*idle}};
    }
    const auto both = t.numbers("idle_rpm", 2, 100, 5000);
    if (both.size() != 2 || both[0] > both[1]) t.fail("idle_rpm", "one speed, or a low and a high one");
    return std::pair{Rpm{both[0]}, Rpm{both[1]}};
}

std::vector<int> read_firing_order(Table& t, int cylinders) {
    std::vector<int> order;
    for (double n : t.numbers("firing_order", 16, 1, 16)) {
        if (n != std::floor(n)) t.fail("firing_order", "whole numbers, the cylinders in the order of firing");
        order.push_back(static_cast<int>(n));
    }
    if (order.empty()) return order;
    std::vector<bool> seen(static_cast<std::size_t>(cylinders) + 1, false);
    for (int n : order)
        if (n <= cylinders) seen[static_cast<std::size_t>(n)] = true;
    for (int n = 1; n <= cylinders; ++n)
        if (!seen[static_cast<std::size_t>(n)] || static_cast<int>(order.size()) != cylinders)
            t.fail("firing_order", "each of the " + std::to_string(cylinders) + " cylinders once");
    return order;
}

std::vector<Degrees> read_firing_angles(Table& t, int cylinders, int stroke) {
    const double cycle = stroke == 4 ? 720.0 : 360.0;
    const auto angles = t.numbers("firing_deg", 16, 0.0, cycle);
    std::vector<Degrees> out;
    for (double a : angles) out.push_back(Degrees{a});
    for (std::size_t i = 1; i < out.size(); ++i)
        if (out[i] < out[i - 1]) t.fail("firing_deg", "angles in the order in which they come");
    if (!out.empty() && (static_cast<int>(out.size()) != cylinders || out.back().value() >= cycle))
        t.fail("firing_deg", std::to_string(cylinders) + " angles from 0 to below " + plain_number(cycle) +
                                 ", one a cylinder");
    return out;
}

Engine read_engine(Table& t, const toml::table& raw) {
    Engine e;
    const auto cylinders = t.whole("cylinders", 1, 16);
    e.arrangement = t.word<Arrangement>("arrangement").value_or(e.arrangement);
    e.stroke = t.whole("stroke", 2, 4).value_or(4);
    if (e.stroke == 3) t.fail("stroke", "4 or 2, found 3");
    e.fuel = t.word<Fuel>("fuel").value_or(e.fuel);
    e.idle = read_idle(t, raw);
    e.cam_ratio = t.number("cam_ratio", 0.1, 2.0).value_or(e.stroke == 4 ? 0.5 : 1.0);
    e.valves_per_cylinder = t.count("valves_per_cylinder", 1, 8);
    for (const auto* key : {"firing_order", "firing_deg"}) static_cast<void>(t.has(key));
    t.finish();
    if (!cylinders) t.fail("cylinders", "the number of cylinders, from 1 to 16");
    e.cylinders = *cylinders;
    e.firing_order = read_firing_order(t, e.cylinders);
    e.firing_deg = read_firing_angles(t, e.cylinders, e.stroke);
    return e;
}

/// The printed size fills in what was not typed beside it.
void apply_belt_size(Table& t, Drive& d) {
    if (d.belt.empty()) return;
    const auto size = read_belt_size(d.belt);
    if (!size)
        t.fail("belt", "a printed size such as 5PK1025, 10x1025, 113ZA19 or 1072-8M, found `" +
                           shown(d.belt) + "` (else leave it out and give length_mm or teeth)");
    if (size->kind != d.kind)
        t.fail("belt", "the size of a " + std::string(word_of(d.kind)) + " belt as `kind` says, found a " +
                           std::string(word_of(size->kind)) + " belt's, `" + shown(d.belt) + "`");
    if (size->teeth && d.teeth && *size->teeth != *d.teeth)
        t.fail("teeth",
               std::to_string(*size->teeth) + " as printed on the belt, found " + std::to_string(*d.teeth));
    if (size->pitch && d.pitch && std::abs(*size->pitch / *d.pitch - 1.0) > 0.005)
        t.fail("pitch_mm", plain_number(size->pitch->value()) + " as printed on the belt, found " +
                               plain_number(d.pitch->value()));
    if (size->length && d.length && std::abs(*size->length / *d.length - 1.0) > 0.03)
        t.fail("length_mm", "about " + plain_number(std::round(size->length->value())) +
                                " as printed on the belt, found " + plain_number(d.length->value()));
    if (!d.teeth) d.teeth = size->teeth;
    if (!d.pitch) d.pitch = size->pitch;
    if (!d.length && size->kind != DriveKind::toothed) d.length = size->length;
}

Drive read_drive(Table& t) {
    Drive d;
    const auto name = t.name("name");
    const auto kind = t.word<DriveKind>("kind");
    const auto driver = t.name("driver");
    d.teeth = t.count("teeth", 5, 1000);
    const auto links = t.count("links", 5, 1000);
    d.pitch = as<Millimetres>(t.measure("pitch_mm", 1, 50));
    d.length = as<Millimetres>(t.measure("length_mm", 50, 10000));
    d.belt = t.text("belt").value_or("");
    d.route = t.names("route");
    d.run_without = t.word<RunWithout>("run_without");
    d.count = t.whole("count", 1, 8).value_or(1);
    d.rows = t.whole("rows", 1, 4).value_or(1);
    t.finish();
    d.name = required_name(t, name);
    if (!kind) t.fail("kind", "the kind of drive: ribbed, vee, flat, toothed, chain, silent chain or gear");
    d.kind = *kind;
    if (!driver) t.fail("driver", "the part that drives `" + shown(d.name) + "`");
    d.driver = *driver;
    const bool chain = d.kind == DriveKind::chain || d.kind == DriveKind::silent_chain;
    if (d.teeth && d.kind != DriveKind::toothed)
        t.fail("teeth", chain ? "`links` for a chain" : "no teeth on a drive that is not a toothed belt");
    if (links && !chain) t.fail("links", "links on a chain only");
    if (links) d.teeth = links;
    apply_belt_size(t, d);
    return d;
}

void read_diameter(Table& t, Part& p) {
    const bool typical = t.says_typical("diameter_mm"), typical_around = t.says_typical("around_mm");
    const auto across = t.measure("diameter_mm", 3, 2000), around = t.measure("around_mm", 10, 6300);
    const auto kind = t.word<DiameterKind>("diameter");
    p.plus_minus = as<Millimetres>(t.number("plus_minus_mm", 0, 200));
    if (t.has("diameter_mm") && t.has("around_mm"))
        t.fail("around_mm", "either `diameter_mm` or `around_mm`");
    if (typical || typical_around) p.diameter = Typical{};
    if (across) p.diameter = Millimetres{*across};
    if (around) {
        p.by_tape = true;
        p.around = Millimetres{*around};
        p.diameter = Millimetres{*around / std::numbers::pi};
    }
    const bool measured = across || around;
    if (kind && !measured) t.fail("diameter", "a measure beside it: `diameter_mm` or `around_mm`");
    if (p.plus_minus && !measured)
        t.fail("plus_minus_mm", "a measure beside it: `diameter_mm` or `around_mm`");
    p.diameter_kind = kind.value_or(DiameterKind::outside);
}

BearingGeometry read_geometry(Table& t) {
    BearingGeometry g;
    const auto balls = t.whole("balls", 3, 60);
    const auto ball = t.number("ball_mm", 0.5, 100), circle = t.number("pitch_circle_mm", 2, 1000);
    g.contact = Degrees{t.number("contact_deg", 0, 60).value_or(0.0)};
    t.finish();
    if (!balls) t.fail("balls", "the number of balls, or `number` as printed");
    if (!ball) t.fail("ball_mm", "the diameter of a ball");
    if (!circle) t.fail("pitch_circle_mm", "the diameter of the circle of ball centres");
    g.balls = *balls;
    g.ball = Millimetres{*ball};
    g.pitch_circle = Millimetres{*circle};
    const bool fits =
        g.ball < g.pitch_circle && g.balls * std::asin(g.ball / g.pitch_circle) < std::numbers::pi;
    if (!fits)
        t.fail("balls", "balls that fit: " + std::to_string(g.balls) + " of " + plain_number(*ball) +
                            " mm do not go round a circle of " + plain_number(*circle) + " mm");
    return g;
}

void read_bearing(Table& t, Part& p, File& file, const std::string& thing) {
    const auto* raw = t.table("bearing");
    if (!raw) return;
    Table b(*raw, file, thing + "/bearing");
    const auto number = b.text("number");
    if (!number) {
        p.bearing = read_geometry(b);
        return;
    }
    b.finish();
    p.bearing_number = *number;
    p.bearing = bearing_by_number(*number);
    if (p.bearing) return;
    std::vector<std::string> known;
    for (const auto& row : numbered_bearings()) known.push_back(std::to_string(row.number));
    b.fail("number",
           "a number in the table of bearings, or { balls, ball_mm, pitch_circle_mm }, found `" +
               shown(*number) + "`",
           nearest_name(*number, known));
}

void read_turning(Table& t, Part& p) {
    const auto turns = t.numbers("turns", 2, 0.1, 10000);
    const auto ratio = t.number("ratio", 0.01, 50);
    if (t.has("turns") && turns.size() != 2)
        t.fail("turns", "two numbers: crank turns, and its turns meanwhile, such as [10, 22]");
    if (t.has("turns") && ratio) t.fail("ratio", "either `turns` or `ratio`");
    if (turns.size() == 2) p.turns = std::pair{turns[0], turns[1]};
    if (p.turns && p.turns->second / p.turns->first > 50)
        t.fail("turns", "crank turns first, then its turns: at most 50 a crank turn");
    p.ratio = as<Ratio>(ratio);
    if (ratio) p.ratio_decimals = t.decimals("ratio");
}

void read_counts(Table& t, Part& p) {
    p.teeth = t.count("teeth", 4, 400);
    p.blades = t.count("blades", 2, 100);
    p.vanes = t.count("vanes", 2, 40);
    p.pistons = t.count("pistons", 1, 24);
    p.lobes = t.count("lobes", 1, 24);
    p.plungers = t.count("plungers", 1, 24);
    p.pole_pairs = t.count("pole_pairs", 1, 40);
}

Part read_part(Table& t, File& file, const std::string& thing) {
    Part p;
    const auto name = t.name("name");
    const auto kind = t.word<PartKind>("kind");
    const auto turns_with = t.text("turns_with");
    p.drive = t.name("drive").value_or("");
    p.on_shaft_of = t.name("on_shaft_of").value_or("");
    read_counts(t, p);
    read_diameter(t, p);
    read_turning(t, p);
    p.back_side = t.flag("back_side");
    p.decoupler = t.flag("decoupler");
    p.viscous = t.flag("viscous");
    p.electric = t.flag("electric");
    p.clutch = t.flag("clutch");
    read_bearing(t, p, file, thing);
    p.bank = t.whole("bank", 1, 4);
    p.run_without = t.word<RunWithout>("run_without");
    const auto at = t.numbers("at_mm", 2, -5000, 5000);
    if (t.has("at_mm") && at.size() != 2) t.fail("at_mm", "two numbers: right and up, such as [210, 120]");
    if (at.size() == 2) p.at_mm = std::array{at[0], at[1]};
    t.finish();
    p.name = required_name(t, name);
    if (!kind) t.fail("kind", "the kind of part, such as `alternator` or `other`");
    p.kind = *kind;
    if (turns_with && *turns_with != "crank")
        t.fail("turns_with",
               "`crank` (for another part's shaft: on_shaft_of), found `" + shown(*turns_with) + "`",
               nearest_name(*turns_with, {"crank"}));
    p.turns_with_crank = turns_with.has_value();
    return p;
}

Cover read_cover(Table& t) {
    Cover c;
    const auto name = t.name("name");
    c.kind = t.word<CoverKind>("kind").value_or(CoverKind::cover);
    c.can_touch = t.names("can_touch");
    t.finish();
    c.name = required_name(t, name);
    return c;
}

Pull read_pull(Table& t) {
    Pull p;
    const auto name = t.name("name");
    p.off = t.names("off");
    p.minutes = t.number("minutes", 0, 10000).value_or(p.minutes);
    p.refit_minutes = t.number("refit_minutes", 0, 10000).value_or(p.minutes);
    p.wait_minutes = t.number("wait_minutes", 0, 10000).value_or(0.0);
    p.renew = t.texts("renew");
    p.requires_ = t.names("requires");
    p.cautions = t.texts("cautions");
    t.finish();
    p.name = required_name(t, name);
    if (p.off.empty()) t.fail("off", "what comes off: drives, parts or covers");
    return p;
}

/// Calls read(table, thing) for each [[key]].
template <class Read>
void each(Table& root, const toml::table& raw, File& file, std::string_view key, std::size_t at_most,
          Read read) {
    if (!root.has(key)) return;
    const auto* array = raw.get(key)->as_array();
    const std::string expected = "tables, each under [[" + std::string(key) + "]]";
    if (!array) root.fail(key, expected);
    if (array->size() > at_most) root.fail(key, "at most " + std::to_string(at_most) + " of them");
    std::size_t i = 0;
    for (const auto& item : *array) {
        if (!item.is_table()) root.fail(key, expected);
        const std::string thing = std::string(key) + "/" + std::to_string(i++);
        Table t(*item.as_table(), file, thing);
        read(t, thing);
    }
}

Layout read_layout(const toml::table& raw, File& file) {
    Layout l;
    Table root(raw, file, "");
    l.schema = root.whole("schema", 1, 1000).value_or(1);
    if (l.schema != 1) root.fail("schema", "1, found " + std::to_string(l.schema));
    l.name = root.text("name").value_or("");
    l.typical = root.flag("typical");
    const auto* engine = root.table("engine");
    for (const auto* key : {"drive", "part", "cover", "pull"}) static_cast<void>(root.has(key));
    root.finish();
    if (!engine) root.fail("engine", "[engine] with at least `cylinders`");
    Table e(*engine, file, "engine");
    l.engine = read_engine(e, *engine);
    each(root, raw, file, "drive", most_drives, [&](Table& t, auto&) { l.drives.push_back(read_drive(t)); });
    each(root, raw, file, "part", most_parts,
         [&](Table& t, const std::string& thing) { l.parts.push_back(read_part(t, file, thing)); });
    each(root, raw, file, "cover", most_covers, [&](Table& t, auto&) { l.covers.push_back(read_cover(t)); });
    each(root, raw, file, "pull", most_pulls, [&](Table& t, auto&) { l.pulls.push_back(read_pull(t)); });
    return l;
}

}  // namespace

Layout parse_layout(std::string_view text, std::string_view source) {
    File file{text, std::string(source), {}};
    check_text(file);
    toml::table raw;
    try {
        raw = toml::parse(text);
    } catch (const toml::parse_error& e) {
        const auto begin = e.source().begin;
        const std::string said(e.description());
        file.fail({static_cast<unsigned>(begin.line), static_cast<unsigned>(begin.column)},
                  "not TOML: " + shown(said));
    }
    auto layout = read_layout(raw, file);
    check_layout(layout, file);
    return layout;
}

}  // namespace cranknote
