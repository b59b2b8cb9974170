#include "desk/layout_draft.hpp"

#include <algorithm>
#include <charconv>

#include "figure/number_text.hpp"
#include "layout/kinematics.hpp"

namespace cranknote::desk {

namespace {

/// A number of millimetres or turns, with a point or a comma.
std::optional<double> number_from(std::string text) {
    std::ranges::replace(text, ',', '.');
    std::erase(text, ' ');
    double value = 0.0;
    const char* end = text.data() + text.size();
    const auto got = std::from_chars(text.data(), end, value);
    if (got.ec != std::errc() || got.ptr != end || !(value > 0.0) || value > 10000.0) return std::nullopt;
    return value;
}

std::string no_number(const std::string& what, const std::string& typed) {
    return "\"" + typed + "\" is no " + what + ".";
}

std::string enter_teeth(Part& part, const std::string& typed) {
    if (typed.empty()) {
        part.teeth.reset();
        return "";
    }
    const auto value = number_from(typed);
    if (!value || *value != static_cast<int>(*value) || *value < 5 || *value > 300)
        return no_number("number of teeth", typed);
    part.teeth = static_cast<int>(*value);
    return "";
}

std::string enter_diameter(Part& part, const std::string& typed) {
    if (typed.empty()) {
        if (std::holds_alternative<Millimetres>(part.diameter)) {
            part.diameter = std::monostate{};
            part.by_tape = false;
            part.around.reset();
        }
        return "";
    }
    const auto value = number_from(typed);
    if (!value || *value < 8.0 || *value > 1000.0) return no_number("diameter in mm", typed);
    const auto* was = std::get_if<Millimetres>(&part.diameter);
    if (was && short_number_text(was->value(), 4) == typed) return "";
    part.diameter = Millimetres{*value};
    part.by_tape = false;
    part.around.reset();
    return "";
}

std::string enter_turns(Part& part, const PartFields& fields) {
    if (fields.crank_turns.empty() && fields.part_turns.empty()) {
        part.turns.reset();
        return "";
    }
    if (fields.crank_turns.empty() || fields.part_turns.empty()) return "";  // half typed
    const auto crank = number_from(fields.crank_turns), own = number_from(fields.part_turns);
    if (!crank) return no_number("number of turns", fields.crank_turns);
    if (!own) return no_number("number of turns", fields.part_turns);
    part.turns = std::pair{*crank, *own};
    return "";
}

}  // namespace

PartFields fields_of(const Part& part) {
    PartFields f;
    if (part.teeth) f.teeth = std::to_string(*part.teeth);
    if (const auto* d = std::get_if<Millimetres>(&part.diameter))
        f.diameter = short_number_text(d->value(), 4);
    if (part.turns) {
        f.crank_turns = short_number_text(part.turns->first, 4);
        f.part_turns = short_number_text(part.turns->second, 4);
    }
    return f;
}

std::string enter_fields(Layout& layout, const std::string& name, const PartFields& fields) {
    const auto part = std::ranges::find(layout.parts, name, &Part::name);
    if (part == layout.parts.end()) return "";
    for (const auto& trouble : {enter_teeth(*part, fields.teeth), enter_diameter(*part, fields.diameter),
                                enter_turns(*part, fields)})
        if (!trouble.empty()) return trouble;
    return "";
}

std::string ratio_word(const Layout& layout, const std::string& part) {
    const auto turns = turns_of(layout, part);
    return turns ? ratio_text(turns->value) : "not known";
}

std::string ratio_sentence(const Layout& layout, const std::string& part) {
    const auto turns = turns_of(layout, part);
    if (!turns) return "How fast it turns is not known yet.";
    std::string text = "It turns " + ratio_text(turns->value) + " per crank turn";
    const auto source = turns_source(layout, part);
    if (!source.empty()) text += ", from " + source;
    if (turns->relative_error > 0.0 || turns->creep > 0.0)
        text += ", between " + ratio_text(turns->low()) + " and " + ratio_text(turns->high());
    return text + ".";
}

std::string trouble_of(const Layout& layout) {
    try {
        (void)parse_layout(to_toml(layout), "layout");
        return "";
    } catch (const Error& e) {
        return e.trouble + (e.advice.empty() ? "." : ": " + e.advice + ".");
    }
}

}  // namespace cranknote::desk
