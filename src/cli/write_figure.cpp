#include "cli/write_figure.hpp"

#include <fstream>

#include "figure/cairo_painter.hpp"
#include "figure/svg_painter.hpp"
#include "units/error.hpp"

namespace cranknote::cli {

void check_figure_name(const std::string& path) {
    if (path.ends_with(".png") || path.ends_with(".svg")) return;
    throw Error("figures are written as .png or .svg", path, "let the name end so", Error::Kind::wrong_call);
}

void write_figure(const figure::Figure& figure, const std::string& path, double width) {
    check_figure_name(path);
    const figure::Size size{width, 0.0};
    const auto bytes = path.ends_with(".svg") ? figure::svg_of(figure, size) : figure::png_of(figure, size);
    std::ofstream out(path, std::ios::binary);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    out.flush();
    if (!out) throw Error("the figure cannot be written", path, "is the folder there, and is there room?");
}

}  // namespace cranknote::cli
