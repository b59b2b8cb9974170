// A document as PDF: text stays text (it can be searched and copied), fonts are embedded, properties are set.
#pragma once

#include <string>

#include "note/document.hpp"

namespace cranknote {

enum class Paper { a4, letter };

/// The bytes of the PDF. A document with a date gives the same bytes each time. Throws Error (could not) if
/// Cairo fails.
[[nodiscard]] std::string pdf_of(const Document& document, Paper paper = Paper::a4);

}  // namespace cranknote
