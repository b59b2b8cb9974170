#include <catch2/catch.hpp>
#include <random>

#include "example/example.hpp"
#include "figure/cairo_painter.hpp"
#include "figure/figures.hpp"
#include "figure/laid.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::figure;
using cranknote::test::laid;
using cranknote::test::within;

namespace {

std::vector<TextShape> texts(const LaidOut& out) {
    std::vector<TextShape> found;
    for (const auto& shape : out.drawn)
        if (const auto* text = std::get_if<TextShape>(&shape)) found.push_back(*text);
    return found;
}

bool says(const LaidOut& out, const std::string& what) {
    for (const auto& text : texts(out))
        if (text.text.find(what) != std::string::npos) return true;
    return false;
}

/// No text covers another, all lie on the page.
void check_texts(const LaidOut& out) {
    const auto all = texts(out);
    const Box page{0, 0, out.size.width, out.size.height};
    for (std::size_t i = 0; i < all.size(); ++i) {
        CAPTURE(all[i].text);
        CHECK(page.grown(0.5).contains({all[i].box.x0, all[i].box.y0}));
        CHECK(page.grown(0.5).contains({all[i].box.x1, all[i].box.y1}));
        for (std::size_t j = 0; j < i; ++j) {
            CAPTURE(all[j].text);
            CHECK_FALSE(overlap(all[i].box.grown(-1.0), all[j].box.grown(-1.0)));
        }
    }
}

Finding random_finding(std::mt19937& random, int number) {
    std::uniform_real_distribution<double> octave(6.0, 13.5), width(0.005, 0.5), change(-25.0, 25.0);
    Finding f;
    f.id = "f" + std::to_string(number);
    const double at = std::exp2(octave(random));
    f.low = Hertz{at};
    f.high = Hertz{at * (1.0 + width(random))};
    f.change = Decibel{change(random)};
    f.interval = {Decibel{f.change->value() - 3.0}, Decibel{f.change->value() + 3.0}};
    f.flagged = true;
    f.verdict = f.change->value() < 0 ? Verdict::weaker : Verdict::stronger;
    return f;
}

}  // namespace

TEST_CASE("comparison figure: flagged bands are marked and named", "[figure][comparison]") {
    ComparisonView view;
    view.a = "as found";
    view.b = "upper timing cover off";
    const auto out = laid(comparison_figure(test::example_comparison(), view), 900);
    CHECK(says(out, "as found, 812\u00a0rpm"));
    CHECK(says(out, "gone \u221211.1\u00a0dB"));
    CHECK(says(out, "1.90–3.48\u00a0kHz · timing belt"));
    CHECK(says(out, "expected \u221213.1\u00a0dB"));
    CHECK(says(out, "new +7.0\u00a0dB"));
    CHECK(out.left_out == 0);
    REQUIRE(out.panels.size() == 2);
}

TEST_CASE("comparison figure: what the axis does not reach is named, and what is not flagged is said",
          "[figure][comparison]") {
    auto c = cranknote::test::example_comparison();
    auto& f = c.findings[2];  // a hiss at 7 to 9.5 kHz
    const double turns = c.a[0].speed.mean->value() / 60.0;
    const double to = 100.0;  // the axis ends at a hundred per crank turn
    c.comparable.ratio->second = Ratio{to / 1.25};
    REQUIRE(f.low.value() / turns > to);
    auto out = laid(comparison_figure(c), 900.0);
    CHECK(says(out, "new +7.0\u00a0dB"));
    CHECK(says(out, "7.00–9.50\u00a0kHz, beyond this axis"));
    CHECK(says(out, "A steady change under some 6\u00a0dB in one octave is not flagged."));
    check_texts(out);
    f.low = Hertz{0.5 * to * turns};  // a part of it lies on the axis: then it is marked there
    out = laid(comparison_figure(c), 900.0);
    CHECK(says(out, "new +7.0\u00a0dB"));
    CHECK_FALSE(says(out, "9.50\u00a0kHz, beyond this axis"));
    ComparisonView zoomed;  // a stretch that was asked for has no such labels
    zoomed.range = std::pair{10.0, 20.0};
    f.low = Hertz{7000.0};
    CHECK_FALSE(says(laid(comparison_figure(c, zoomed), 900.0), "beyond this axis"));
}

TEST_CASE("comparison figure: texts never collide, at any width and with many findings",
          "[figure][comparison]") {
    std::mt19937 random(11);
    auto c = test::example_comparison();
    for (const double width : {320.0, 480.0, 900.0, 1500.0})
        for (const int count : {0, 3, 12}) {
            c.findings.clear();
            for (int i = 0; i < count; ++i) c.findings.push_back(random_finding(random, i));
            for (const bool over_hz : {false, true}) {
                ComparisonView view;
                view.over_hz = over_hz;
                CAPTURE(width, count, over_hz);
                check_texts(laid(comparison_figure(c, view), width));
            }
        }
}

TEST_CASE("comparison figure: the pointer finds findings, data and pixels", "[figure][comparison]") {
    const auto out = laid(comparison_figure(test::example_comparison()), 900);
    const auto& levels = out.panels.front();
    const double ratio = 2570.0 / (812.3 / 60.0);  // the middle of the gone band
    const Point p = levels.px({ratio, -45.0});
    const auto* target = under(out, p);
    REQUIRE(target != nullptr);
    CHECK(target->id == "f1");
    CHECK(panel_under(out, p) == &levels);
    CHECK_THAT(levels.data(p).x, within(ratio, 1e-9 * ratio, "there and back in double"));
    CHECK_THAT(levels.data(p).y, within(-45.0, 1e-9, "there and back in double"));
    CHECK(under(out, {1, 1}) == nullptr);
}

TEST_CASE("comparison figure: where findings share a band, each place is shaded once",
          "[figure][comparison]") {
    auto c = test::example_comparison();
    auto inside = c.findings[0], other = c.findings[0];
    inside.id = "inside";
    inside.low = Hertz{2400.0};
    inside.high = Hertz{2500.0};
    inside.verdict = Verdict::stronger;
    inside.change = Decibel{4.0};
    other.id = "other";
    other.low = Hertz{3000.0};
    other.high = Hertz{4500.0};
    c.findings.insert(c.findings.end(), {inside, other});
    const auto figure = comparison_figure(c);
    for (const auto& panel : figure.panels) {
        std::vector<Span> spans;
        for (const auto& e : panel.elements)
            if (const auto* span = std::get_if<Span>(&e); span && span->fill && span->ink != Ink::outside)
                spans.push_back(*span);
        REQUIRE(spans.size() >= 5);
        for (std::size_t i = 0; i < spans.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                CHECK_FALSE((spans[i].from < spans[j].to - 1e-9 && spans[j].from < spans[i].to - 1e-9));
    }
    // The pointer finds the narrow one inside the wide one.
    const auto out = laid(figure, 900);
    const auto* target = under(out, out.panels.front().px({2450.0 / (812.3 / 60.0), -45.0}));
    REQUIRE(target != nullptr);
    CHECK(target->id == "inside");
}

TEST_CASE("comparison figure: zoomed, with lines of a part lit", "[figure][comparison]") {
    ComparisonView view;
    view.range = std::pair{10.0, 50.0};
    view.lit = {"f2"};
    view.predicted = {{Ratio{22.0}, "tooth mesh"}, {Ratio{400.0}, "far away"}};
    const auto out = laid(comparison_figure(test::example_comparison(), view), 700);
    CHECK(says(out, "tooth mesh"));
    CHECK_FALSE(says(out, "far away"));
    CHECK_FALSE(says(out, "gone"));  // its band is not in view
    CHECK(out.panels.front().x.from == 10.0);
}

TEST_CASE("comparison figure: without a crank speed it is over Hz", "[figure][comparison]") {
    auto c = test::example_comparison();
    c.over_ratio = {};
    for (auto* side : {&c.a, &c.b})
        for (auto& r : *side) r.speed = {};
    const auto out = laid(comparison_figure(c), 700);
    REQUIRE(out.panels.size() == 2);
    CHECK(out.panels.front().x.unit == Unit::hertz);
    c.over_hz = {};
    CHECK(laid(comparison_figure(c), 700).panels.empty());
}

TEST_CASE("speed figure: mean and track, or a sentence", "[figure][speed]") {
    const auto r = test::example_recording("a.wav", 812.3);
    const auto out = laid(speed_figure(r.speed, "a.wav"), 600);
    CHECK(says(out, "mean 812\u00a0rpm"));
    check_texts(out);
    CHECK(says(laid(speed_figure({}), 600), "not known"));
}

TEST_CASE("theme: text reads at 4.5 to 1 or better on its paper", "[figure][theme]") {
    // WCAG 2.2, success criterion 1.4.3: contrast of text at least 4.5:1.
    for (const auto mode : {Mode::light, Mode::dark}) {
        Theme theme;
        theme.mode = mode;
        for (const auto ink :
             {Ink::text, Ink::faint, Ink::side_a, Ink::side_b, Ink::quieter, Ink::louder, Ink::expected,
              Ink::doubt, Ink::lit, Ink::metal, Ink::back, Ink::cover, Ink::ghost, Ink::axis}) {
            CAPTURE(static_cast<int>(mode), static_cast<int>(ink));
            CHECK(contrast(theme.text_colour(ink), theme.paper()) >= 4.5);
        }
        // The two sides stay apart in grey.
        CHECK(std::abs(luminance(theme.colour(Ink::side_a)) - luminance(theme.colour(Ink::side_b))) > 0.1);
    }
    // WCAG 2.2, definition of contrast ratio: black on white is 21.
    CHECK_THAT(contrast(colour_of(0), colour_of(0xFFFFFF)), within(21.0, 1e-9, "exact by definition"));
}
