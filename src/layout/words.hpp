// The layout file's word for every kind, in one place for reading, writing, tables and the window.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "layout/kinematics.hpp"
#include "layout/layout.hpp"

namespace cranknote {

/// A word of the layout file and what it means.
template <class E>
struct Word {
    std::string_view word;
    E value;
};

/// All words of an enumeration, in the order in which a person is told them.
template <class E>
[[nodiscard]] std::span<const Word<E>> words();

template <>
std::span<const Word<Arrangement>> words();
template <>
std::span<const Word<Fuel>> words();
template <>
std::span<const Word<DriveKind>> words();
template <>
std::span<const Word<DiameterKind>> words();
template <>
std::span<const Word<RunWithout>> words();
template <>
std::span<const Word<PartKind>> words();
template <>
std::span<const Word<CoverKind>> words();
/// How a line is called in `layout check --json`: "tooth mesh", "outer ring".
template <>
std::span<const Word<LineKind>> words();

/// The word for a value; every value has one.
template <class E>
[[nodiscard]] std::string_view word_of(E value) {
    for (const auto& w : words<E>())
        if (w.value == value) return w.word;
    return "";
}

}  // namespace cranknote
