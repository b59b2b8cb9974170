#include "desk/crowded.hpp"

#include <algorithm>

namespace cranknote::desk {

namespace {

/// Boxes are measured by the line's height, which letters do not fill: they may touch by so much of it.
constexpr double touching = 0.25;

bool over(const figure::Box& a, const figure::Box& b) {
    const double x = std::min(a.x1, b.x1) - std::max(a.x0, b.x0),
                 y = std::min(a.y1, b.y1) - std::max(a.y0, b.y0);
    return x > 1.0 && y > touching * std::min(a.height(), b.height());
}

}  // namespace

std::vector<std::string> crowded(const figure::LaidOut& laid) {
    std::vector<const figure::TextShape*> texts;
    for (const auto& shape : laid.drawn)
        if (const auto* text = std::get_if<figure::TextShape>(&shape)) texts.push_back(text);
    std::vector<std::string> found;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const auto& [text, box] = std::pair{texts[i]->text, texts[i]->box};
        if (box.x0 < -0.5 || box.x1 > laid.size.width + 0.5 || box.y0 < -0.5 ||
            box.y1 > laid.size.height + 0.5)
            found.push_back("\"" + text + "\" reaches beyond the figure");
        if (text.ends_with("\u2026")) found.push_back("\"" + text + "\" is cut");
        for (std::size_t k = 0; k < i; ++k)
            if (over(box, texts[k]->box))
                found.push_back("\"" + text + "\" lies over \"" + texts[k]->text + "\"");
    }
    return found;
}

}  // namespace cranknote::desk
