// A figure laid out at a width, as high as it wants to be.
#pragma once

#include "figure/cairo_painter.hpp"
#include "figure/figures.hpp"

namespace cranknote::test {

inline figure::LaidOut laid(const figure::Figure& figure, double width, const figure::Theme& theme = {}) {
    const auto measure = figure::cairo_measure();
    return figure::lay_out(figure, {width, figure::natural_height(figure, width)}, theme, *measure);
}

}  // namespace cranknote::test
