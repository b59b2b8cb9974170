#include "figure/svg_painter.hpp"

#include <fmt/format.h>
#include <openssl/evp.h>

#include <cmath>

#include "figure/cairo_painter.hpp"
#include "figure/utf8.hpp"

namespace cranknote::figure {

namespace {

constexpr const char* family = "Inter, 'DejaVu Sans', sans-serif";

/// At most two decimals, none where they are zero.
std::string num(double v) {
    if (!std::isfinite(v)) return "0";
    auto text = fmt::format("{:.2f}", v);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

std::string paint_of(const char* what, Colour c) {
    const auto byte = [](double v) { return static_cast<int>(std::lround(255.0 * v)); };
    auto text = fmt::format(" {}=\"#{:02x}{:02x}{:02x}\"", what, byte(c.red), byte(c.green), byte(c.blue));
    if (c.alpha < 0.999) text += fmt::format(" {}-opacity=\"{}\"", what, num(c.alpha));
    return text;
}

std::string stroke_of(const Stroke& s) {
    auto text = paint_of("stroke", s.colour) + " stroke-width=\"" + num(s.width) + "\"";
    if (!s.dash.empty()) {
        text += " stroke-dasharray=\"";
        for (std::size_t i = 0; i < s.dash.size(); ++i) text += (i ? " " : "") + num(s.dash[i]);
        text += "\"";
    } else {
        text += " stroke-linecap=\"round\"";
    }
    return text + " stroke-linejoin=\"round\"";
}

void add_points(std::string& out, const std::vector<Point>& points, bool reversed = false) {
    for (std::size_t i = 0; i < points.size(); ++i) {
        const auto& p = points[reversed ? points.size() - 1 - i : i];
        out += (out.back() == '"' ? "" : " ") + num(p.x) + "," + num(p.y);
    }
}

int css_weight(Weight w) { return w == Weight::bold ? 600 : w == Weight::medium ? 500 : 400; }

struct SvgWriter final : Painter {
    std::string out;
    std::unique_ptr<TextMeasure> measure = cairo_measure();

    Size size_of(std::string_view text, const TextStyle& style) override {
        return measure->size_of(text, style);
    }
    double ascent_of(const TextStyle& style) override { return measure->ascent_of(style); }

    void polyline(const std::vector<Point>& points, bool closed, const Stroke& stroke) override {
        out += closed ? "<polygon points=\"" : "<polyline points=\"";
        add_points(out, points);
        out += "\" fill=\"none\"" + stroke_of(stroke) + "/>\n";
    }
    void polygon(const std::vector<Point>& points, Colour fill) override {
        out += "<polygon points=\"";
        add_points(out, points);
        out += "\"" + paint_of("fill", fill) + "/>\n";
    }
    void strip(const std::vector<Point>& upper, const std::vector<Point>& lower, Colour fill) override {
        out += "<polygon points=\"";
        add_points(out, upper);
        add_points(out, lower, true);
        out += "\"" + paint_of("fill", fill) + "/>\n";
    }
    void circle(Point centre, double radius, const std::optional<Colour>& fill,
                const std::optional<Stroke>& stroke) override {
        out += "<circle cx=\"" + num(centre.x) + "\" cy=\"" + num(centre.y) + "\" r=\"" + num(radius) + "\"" +
               (fill ? paint_of("fill", *fill) : " fill=\"none\"") + (stroke ? stroke_of(*stroke) : "") +
               "/>\n";
    }
    void text(Point at, std::string_view text, const TextStyle& style) override {
        const double width = measure->size_of(text, style).width;
        out += "<text x=\"" + num(at.x) + "\" y=\"" + num(at.y) + "\" font-size=\"" + num(style.size) + "\"";
        if (style.weight != Weight::regular)
            out += fmt::format(" font-weight=\"{}\"", css_weight(style.weight));
        out += paint_of("fill", style.colour) + " textLength=\"" + num(width) +
               "\" lengthAdjust=\"spacingAndGlyphs\">" + xml_escaped(text) + "</text>\n";
    }
    void picture(const Box& box, const Picture& picture) override {
        LaidOut alone{
            {static_cast<double>(picture.width), static_cast<double>(picture.height)}, {}, {}, {}, {}, "", 0};
        alone.drawn.push_back(PictureShape{{0, 0, alone.size.width, alone.size.height}, picture});
        out += "<image x=\"" + num(box.x0) + "\" y=\"" + num(box.y0) + "\" width=\"" + num(box.width()) +
               "\" height=\"" + num(box.height()) +
               "\" preserveAspectRatio=\"none\" image-rendering=\"optimizeSpeed\" "
               "href=\"data:image/png;base64," +
               base64_of(png_of(alone, 1.0)) + "\"/>\n";
    }
    // A nested <svg> clips to its own box, without an id.
    void clip(const Box& b) override {
        const auto place = " x=\"" + num(b.x0) + "\" y=\"" + num(b.y0) + "\" width=\"" + num(b.width()) +
                           "\" height=\"" + num(b.height()) + "\"";
        out += "<svg" + place + " viewBox=\"" + num(b.x0) + " " + num(b.y0) + " " + num(b.width()) + " " +
               num(b.height()) + "\" preserveAspectRatio=\"none\">\n";
    }
    void unclip() override { out += "</svg>\n"; }
};

}  // namespace

std::string xml_escaped(std::string_view text) {
    std::string out;
    for (const char c : clean_text(text)) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            case '\'':
                out += "&#39;";
                break;
            default:
                out += c;
        }
    }
    return out;
}

std::string base64_of(std::string_view bytes) {
    std::string out(4 * ((bytes.size() + 2) / 3) + 1, '\0');
    const int length =
        EVP_EncodeBlock(reinterpret_cast<unsigned char*>(out.data()),
                        reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<int>(bytes.size()));
    out.resize(static_cast<std::size_t>(length));
    return out;
}

std::string svg_of(const LaidOut& laid, bool standalone) {
    SvgWriter writer;
    auto& out = writer.out;
    if (standalone) out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    const auto width = num(laid.size.width), height = num(laid.size.height);
    out += "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + width + "\" height=\"" + height +
           "\" viewBox=\"0 0 " + width + " " + height + "\" role=\"img\" font-family=\"" + family +
           "\">\n<title>" + xml_escaped(laid.description) + "</title>\n";
    paint(laid, writer, standalone);
    return out + "</svg>\n";
}

std::string svg_of(const Figure& figure, Size size, const Theme& theme, bool standalone) {
    if (size.height <= 0.0) size.height = natural_height(figure, size.width / theme.scale) * theme.scale;
    const auto measure = cairo_measure();
    return svg_of(lay_out(figure, size, theme, *measure), standalone);
}

}  // namespace cranknote::figure
