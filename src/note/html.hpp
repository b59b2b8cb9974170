// A document as one HTML file that needs nothing else: figures as inline SVG, clips inside, no script, no
// outside address. Its Content-Security-Policy forbids everything that is not in the file. Reads on a phone
// and on a desk, prints well.
#pragma once

#include <string>

#include "note/document.hpp"

namespace cranknote {

[[nodiscard]] std::string html_of(const Document& document);

}  // namespace cranknote
