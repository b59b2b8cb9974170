// Figures against golden files, by structure: which texts, marks and targets there are and in which panels,
// not where to the pixel. Run with CRANKNOTE_RENEW_GOLDEN=1 to write them anew; a commit that does so says
// why.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>

#include "example/example.hpp"
#include "figure/cairo_painter.hpp"
#include "figure/figures.hpp"

using namespace cranknote;
using namespace cranknote::figure;

namespace {

const char* kind_of(const Drawn& shape) {
    constexpr const char* names[] = {"polyline", "polygon", "strip", "circle", "text", "picture", "clip"};
    return names[shape.index()];
}

std::string axis_of(const DataAxis& axis) {
    std::ostringstream out;
    out << axis.label << " " << axis.from << " to " << axis.to << (axis.scale == Scale::log ? " log" : "");
    for (const auto& row : axis.rows) out << " | " << row;
    return out.str();
}

/// One line a fact: axes, how many shapes of each kind, every text and target in order.
std::string structure_of(const Figure& figure, double width) {
    const auto measure = cairo_measure();
    const auto laid = lay_out(figure, {width, natural_height(figure, width)}, {}, *measure);
    std::ostringstream out;
    out << "height " << 10.0 * std::round(laid.size.height / 10.0) << "\n" << laid.description << "\n";
    for (const auto& panel : laid.panels)
        out << "panel x " << axis_of(panel.x) << "\n      y " << axis_of(panel.y) << "\n";
    std::map<std::string, int> counts;
    for (const auto& shape : laid.drawn) ++counts[kind_of(shape)];
    for (const auto& [kind, count] : counts) out << kind << " " << count << "\n";
    for (const auto& shape : laid.drawn)
        if (const auto* text = std::get_if<TextShape>(&shape)) out << "\"" << text->text << "\"\n";
    for (const auto& target : laid.targets) out << "target " << target.id << "\n";
    return out.str();
}

void compare_with_golden(const std::string& name, const Figure& figure, double width) {
    const std::string file = CRANKNOTE_SOURCE_DIR "/tests/figure/golden/" + name + ".txt";
    const auto is = structure_of(figure, width);
    if (std::getenv("CRANKNOTE_RENEW_GOLDEN") != nullptr) std::ofstream(file) << is;
    std::ifstream in(file);
    std::ostringstream was;
    was << in.rdbuf();
    CHECK(is == was.str());
}

}  // namespace

TEST_CASE("golden: what a figure is made of", "[figure][golden]") {
    const auto note = test::example_note();
    compare_with_golden("comparison", comparison_figure(*note.comparison), 900.0);
    compare_with_golden("comparison-phone", comparison_figure(*note.comparison), 358.0);
    std::vector<StateLevel> levels;
    for (const auto& s : note.complaints[0].by_state)
        levels.push_back({s.state, s.level, s.interval, s.verdict});
    compare_with_golden("levels", levels_figure(levels), 720.0);
    compare_with_golden("suspects", suspects_figure(test::example_suspects()), 480.0);
    compare_with_golden("speed", speed_figure(note.states[0].recordings[0].speed), 600.0);
    EngineView view;
    view.off = {"upper timing cover"};
    view.suspicion = {{"timing belt", 0.81}};
    compare_with_golden("engine", engine_figure(test::example_layout(), view), 720.0);
    compare_with_golden("engine-phone", engine_figure(test::example_layout(), view), 358.0);
}
