// Figures as SVG with real text: it can be searched, read aloud and selected. Each text is given the width it
// was laid out with, so that a reader without the font still sees labels that do not collide.
#pragma once

#include <string>

#include "figure/laid_out.hpp"

namespace cranknote::figure {

/// One <svg> element. No scripts, no links, no style sheet, no ids: several may stand in one HTML page under
/// a Content-Security-Policy that allows nothing but `img-src data:`. `standalone`: with XML declaration and
/// paper.
[[nodiscard]] std::string svg_of(const LaidOut& laid, bool standalone = true);
[[nodiscard]] std::string svg_of(const Figure& figure, Size size, const Theme& theme = {},
                                 bool standalone = true);

/// Text for XML and HTML, in content and in quoted attributes.
[[nodiscard]] std::string xml_escaped(std::string_view text);

/// Bytes as base64 (RFC 4648), one line.
[[nodiscard]] std::string base64_of(std::string_view bytes);

}  // namespace cranknote::figure
