// A document as plain text to paste into a message or a job sheet.
#pragma once

#include <string>

#include "note/document.hpp"

namespace cranknote {

/// UTF-8, lines of at most `columns`, each ending in a line feed. Figures appear as what they describe.
[[nodiscard]] std::string plain_text_of(const Document& document, std::size_t columns = 72);

}  // namespace cranknote
