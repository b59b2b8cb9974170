// Text as a reader reads it: no-break spaces made plain, line breaks and runs of spaces folded.
#pragma once

#include <string>

#include "figure/utf8.hpp"

namespace cranknote::test {

inline std::string read_as(const std::string& text) {
    std::string out;
    for (const auto p : code_points(text)) {
        const bool space = p == U' ' || p == U'\n' || p == 0xA0 || p == U'\f';
        if (space && (out.empty() || out.back() == ' ')) continue;
        out += space ? " " : utf8_of(std::u32string(1, p));
    }
    return out;
}

}  // namespace cranknote::test
