// Text typed by people, made safe to show on one line anywhere; and how wide it is.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace cranknote {

/// Code points of UTF-8 text; every broken byte becomes U+FFFD.
[[nodiscard]] std::u32string code_points(std::string_view text);
[[nodiscard]] std::string utf8_of(std::u32string_view points);

/// One line of valid UTF-8: control characters (terminal escapes among them), line and paragraph separators
/// become a space, direction overrides and embeddings are dropped, runs of spaces become one, ends trimmed.
/// Right-to-left letters stay as they are.
[[nodiscard]] std::string clean_line(std::string_view text);
/// The same for several lines: line feeds stay, at most two in a row.
[[nodiscard]] std::string clean_text(std::string_view text);
/// Columns in a terminal: 0 for combining marks, 2 for wide East Asian letters and pictures, else 1.
[[nodiscard]] std::size_t columns_of(std::string_view text);
/// Cut to at most `count` code points, the last one an ellipsis where something was cut.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t count);

/// Lines of at most `columns`, broken at spaces (never at no-break spaces); a longer word is cut hard. The
/// first line begins with `first`, the others with `next`. Text of several lines keeps its breaks.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t columns, std::string_view first = "",
                                  std::string_view next = "");

}  // namespace cranknote
