// Small layouts for tests, written as a mechanic would.
#pragma once

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>
#include <string>

#include "layout/kinematics.hpp"
#include "layout/layout.hpp"

namespace cranknote::test {

inline const std::string four = "[engine]\ncylinders = 4\n";

/// An accessory belt with a crank pulley of this effective diameter, then the given parts and keys.
inline Layout ribbed(const std::string& crank_effective_mm, const std::string& parts,
                     const std::string& belt_keys = "") {
    const std::string text = four + R"(
[[drive]]
name = "belt"
kind = "ribbed"
driver = "crank pulley"
)" + belt_keys + R"(
[[part]]
name = "crank pulley"
kind = "crank pulley"
turns_with = "crank"
diameter = "effective"
diameter_mm = )" + crank_effective_mm +
                             "\n" + parts;
    return parse_layout(text, "test.toml");
}

/// A part on that belt.
inline std::string on_belt(const std::string& name, const std::string& kind, const std::string& keys) {
    return "[[part]]\nname = \"" + name + "\"\nkind = \"" + kind + "\"\ndrive = \"belt\"\n" + keys + "\n";
}

/// A toothed belt from a crank sprocket, with the given keys on each.
inline Layout toothed(const std::string& sprocket_keys, const std::string& belt_keys,
                      const std::string& parts) {
    const std::string text = four + R"(
[[drive]]
name = "belt"
kind = "toothed"
driver = "crank sprocket"
)" + belt_keys + R"(
[[part]]
name = "crank sprocket"
kind = "crank sprocket"
turns_with = "crank"
)" + sprocket_keys + "\n" + parts;
    return parse_layout(text, "test.toml");
}

inline double turns(const Layout& l, const std::string& part) {
    const auto t = turns_of(l, part);
    REQUIRE(t);
    return t->value.value();
}

inline double drive_turns(const Layout& l, const std::string& drive) {
    const auto t = turns_of_drive(l, drive);
    REQUIRE(t);
    return t->value.value();
}

/// The line of this owner, kind and harmonic; fails the test if there is none.
inline PredictedLine line(const Layout& l, const std::string& owner, LineKind kind, int harmonic = 1) {
    for (const auto& p : predicted_lines(l))
        if (p.owner == owner && p.kind == kind && p.harmonic == harmonic) return p;
    FAIL("no such line of " << owner);
    return {};
}

inline double ratio(const Layout& l, const std::string& owner, LineKind kind, int harmonic = 1) {
    return line(l, owner, kind, harmonic).ratio.value.value();
}

inline std::string read_file(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    REQUIRE(in);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

}  // namespace cranknote::test
