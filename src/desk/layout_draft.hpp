// A layout while it is being edited: what is typed for a part, and the ratio that follows from it. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "layout/layout.hpp"

namespace cranknote::desk {

/// What may be typed for a part, as text; empty: not known.
struct PartFields {
    std::string teeth, diameter, crank_turns, part_turns;
    bool operator==(const PartFields&) const = default;
};

[[nodiscard]] PartFields fields_of(const Part& part);

/// Puts what is typed into the part. What is no such number is left as it was, and a sentence says so; empty:
/// all of it was understood.
[[nodiscard]] std::string enter_fields(Layout& layout, const std::string& part, const PartFields& fields);

/// "2.84× (from 20 teeth on 40), 2.80× to 2.88×": what follows for a part; says so where nothing does.
[[nodiscard]] std::string ratio_sentence(const Layout& layout, const std::string& part);

/// What a list of parts says behind a part's name: "2.84×", or "not known".
[[nodiscard]] std::string ratio_word(const Layout& layout, const std::string& part);

/// The sentence that parse_layout would refuse it with; empty: it is sound.
[[nodiscard]] std::string trouble_of(const Layout& layout);

}  // namespace cranknote::desk
