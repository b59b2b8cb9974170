#include <catch2/catch.hpp>
#include <cstdio>
#include <fstream>

#include "example/example.hpp"
#include "figure/cairo_painter.hpp"
#include "figure/figures.hpp"
#include "figure/svg_painter.hpp"

using namespace cranknote;
using namespace cranknote::figure;

namespace {

/// What tests/figure/svg_facts.py reads from an SVG: well-formed or not, its size, its texts in order.
std::string svg_facts(const std::string& svg) {
    std::ofstream("test_figure.svg") << svg;
    std::string output;
    FILE* pipe =
        popen("python3 '" CRANKNOTE_SOURCE_DIR "/tests/figure/svg_facts.py' test_figure.svg 2>&1", "r");
    REQUIRE(pipe != nullptr);
    char buffer[512];
    while (std::fgets(buffer, sizeof buffer, pipe)) output += buffer;
    pclose(pipe);
    std::remove("test_figure.svg");
    return output;
}

/// How alike two painted figures are: the normalised cross correlation of their pixels (1: the same), by
/// ImageMagick, the SVG drawn by librsvg.
double alike(const std::string& png, const std::string& svg) {
    std::ofstream("test_figure.svg") << svg;
    std::ofstream("test_figure.png", std::ios::binary) << png;
    FILE* pipe = popen(
        "rsvg-convert test_figure.svg -b white -o test_figure_svg.png && "
        "compare -metric NCC test_figure.png test_figure_svg.png null: 2>&1",
        "r");
    REQUIRE(pipe != nullptr);
    double found = -1.0;
    CHECK(std::fscanf(pipe, "%lf", &found) == 1);
    pclose(pipe);
    for (const char* name : {"test_figure.svg", "test_figure.png", "test_figure_svg.png"}) std::remove(name);
    return found;
}

std::uint32_t big_endian(const std::string& bytes, std::size_t at) {
    std::uint32_t v = 0;
    for (std::size_t i = 0; i < 4; ++i) v = (v << 8) | static_cast<unsigned char>(bytes.at(at + i));
    return v;
}

Figure hostile_figure() {
    auto c = test::example_comparison();
    c.findings[0].explained_by[0].part = "<script>alert(1)</script>\x01\xff\xe2\x80\xae]]>&amp;";
    ComparisonView view;
    view.a = "\"><svg onload='x'>";
    view.b = "<b>bold?</b> & שלום";
    return comparison_figure(c, view);
}

}  // namespace

TEST_CASE("svg: well-formed, and its texts are those that were laid out", "[figure][svg]") {
    const auto figure = comparison_figure(test::example_comparison());
    const auto measure = cairo_measure();
    const auto laid = lay_out(figure, {800, 560}, {}, *measure);
    std::string expected = "800 560\n";
    for (const auto& shape : laid.drawn)
        if (const auto* text = std::get_if<TextShape>(&shape)) expected += text->text + "\n";
    CHECK(svg_facts(svg_of(laid)) == expected);
}

TEST_CASE("svg: hostile names stay text", "[figure][svg]") {
    const auto svg = svg_of(hostile_figure(), {800, 560});
    CHECK(svg.find("<script") == std::string::npos);
    CHECK(svg.find("<b>") == std::string::npos);
    CHECK(svg.find("onload='") == std::string::npos);
    const auto facts = svg_facts(svg);
    CHECK(facts.rfind("800 560\n", 0) == 0);
    CHECK(facts.find("<script>alert(1)</script>") != std::string::npos);  // as text
    CHECK(facts.find("<b>bold?</b> & שלום") != std::string::npos);
}

TEST_CASE("png: the size asked for, and painted", "[figure][png]") {
    const auto png = png_of(hostile_figure(), {800, 560}, {}, 1.5);
    REQUIRE(png.substr(0, 8) == "\x89PNG\r\n\x1a\n");
    CHECK(big_endian(png, 16) == 1200);
    CHECK(big_endian(png, 20) == 840);
    CHECK(png.size() > 20000);  // an empty page of this size packs into less than 5 kB
}

TEST_CASE("svg and png: the same picture", "[figure][svg][png]") {
    const auto figure = comparison_figure(test::example_comparison());
    ComparisonView other;
    other.a = "cold";  // one word of another figure
    const auto worded = comparison_figure(test::example_comparison(), other);
    const Size size{800, 560};
    const double same = alike(png_of(figure, size, {}, 1.0), svg_of(figure, size));
    const double differs = alike(png_of(worded, size, {}, 1.0), svg_of(figure, size));
    INFO("the same figure " << same << ", another word in it " << differs);
    CHECK(same > 0.97);  // half way between what was measured: 0.982, and 0.961 with the other word
    CHECK(differs < same);
}

TEST_CASE("png: a size beyond memory is an error, not a crash", "[figure][png]") {
    CHECK_THROWS(png_of(comparison_figure(test::example_comparison()), {40000, 40000}, {}, 10.0));
}

TEST_CASE("base64: RFC 4648, section 10", "[figure][base64]") {
    CHECK(base64_of("") == "");
    CHECK(base64_of("f") == "Zg==");
    CHECK(base64_of("fo") == "Zm8=");
    CHECK(base64_of("foobar") == "Zm9vYmFy");
}
