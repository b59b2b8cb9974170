// A figure as a file.
#pragma once

#include <string>

#include "figure/figure.hpp"

namespace cranknote::cli {

/// Throws Error (wrong call) unless the name ends in .png or .svg.
void check_figure_name(const std::string& path);

/// Writes a figure as PNG or SVG, by the name's ending; `width` in units of 1/96 inch, height as the figure
/// likes it. Throws Error when it cannot be written.
void write_figure(const figure::Figure& figure, const std::string& path, double width = 720.0);

}  // namespace cranknote::cli
