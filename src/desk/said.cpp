#include "desk/said.hpp"

namespace cranknote::desk {

std::string sentence_of(const Error& e) {
    std::string text = e.where.empty() ? e.trouble : e.trouble + " (" + e.where + ")";
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text + (e.advice.empty() ? "." : ": " + e.advice + ".");
}

}  // namespace cranknote::desk
