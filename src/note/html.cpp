#include "note/html.hpp"

#include <openssl/evp.h>

#include <array>
#include <cmath>

#include "figure/svg_painter.hpp"
#include "figure/utf8.hpp"
#include "units/error.hpp"

namespace cranknote {

namespace {

using namespace document;
using figure::xml_escaped;

// Widths (px) at which figures are laid out: for a desk or paper, and for a phone. One of the two is shown.
constexpr double wide_px = 720.0, narrow_px = 358.0;

constexpr std::string_view style = R"(
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;background:#eceef0;color:#1b1e22;font:16px/1.5 Inter,"DejaVu Sans",system-ui,sans-serif;overflow-wrap:anywhere}
main{max-width:784px;margin:24px auto;padding:32px;background:#fff;border-radius:6px}
h1{font-size:30px;line-height:1.15;margin:0;letter-spacing:-.01em}
h1+p{margin:4px 0 0;font-size:19px;color:#5b6168}
h2{font-size:19px;line-height:1.25;margin:36px 0 10px;break-after:avoid}
h3{font-size:16px;margin:20px 0 4px;break-after:avoid}
p{margin:0 0 10px}
.lead{font-size:18px}
.faint{color:#5b6168;font-size:14px}
dl{display:grid;grid-template-columns:max-content 1fr max-content 1fr;gap:2px 20px;margin:18px 0 0}
dt{color:#5b6168}
dd{margin:0}
dl.wide-list{grid-template-columns:max-content 1fr;gap:8px 20px}
dl.wide-list dd{white-space:pre-line}
.callout{display:grid;grid-template-columns:auto 1fr;gap:0 16px;margin:24px 0 0;padding:18px 20px;border:2px solid;border-radius:6px;break-inside:avoid}
.callout svg{margin-top:2px}
.callout h2{margin:0 0 4px;font-size:23px;color:#1b1e22}
.callout p{margin:3px 0 0;color:#1b1e22}
.good{border-color:#009e73;background:#eef8f5}
.bad{border-color:#d55e00;background:#fdf3ec}
.open{border-color:#8a9097;background:#f5f6f7}
ul{list-style:none;margin:0 0 10px;padding:0}
li{display:grid;grid-template-columns:22px 1fr;margin:3px 0}
li>span:first-child{font-weight:600}
.entry{margin:16px 0;break-inside:avoid}
.entry h3{display:grid;grid-template-columns:76px 1fr;margin:0 0 2px}
.entry ul{margin-left:76px}
table{width:100%;table-layout:fixed;border-collapse:collapse;margin:6px 0 14px;font-size:15px;line-height:1.4}
th{text-align:left;font-weight:500;color:#5b6168;font-size:13px;padding:4px 14px 4px 0;border-bottom:1.5px solid #8a9097;vertical-align:bottom}
td{padding:6px 14px 6px 0;border-bottom:1px solid #e2e4e7;vertical-align:top;white-space:pre-line}
tr{break-inside:avoid}
.right{text-align:right;font-variant-numeric:tabular-nums}
figure{margin:10px 0 14px;break-inside:avoid}
figure>svg{display:block;width:100%;height:auto}
figcaption{font-size:14px;color:#5b6168;margin-top:4px}
.narrow{display:none!important}
.clips{display:grid;grid-template-columns:repeat(auto-fit,minmax(250px,1fr));gap:14px 20px}
.clips figure{margin:0}
.clips figcaption{margin:0 0 4px;color:#1b1e22}
.clips figcaption span{color:#5b6168}
audio{width:100%;height:40px;display:block}
.paper{display:none}
.blank{display:inline-grid;grid-template-columns:max-content 1fr;gap:8px;width:100%;margin:10px 0}
.blank i{border-bottom:1px solid #5b6168}
small p{margin:0 0 4px;color:#5b6168;font-size:12.5px;line-height:1.45}
@media (max-width:640px){
main{margin:0;padding:20px 16px;border-radius:0}
h1{font-size:26px}
dl{grid-template-columns:minmax(84px,max-content) 1fr;gap:2px 12px}
.wide{display:none!important}
.narrow{display:block!important}
.entry h3{grid-template-columns:1fr}
.entry ul{margin-left:0}
thead,colgroup{display:none}
tr{display:block;padding:8px 0;border-bottom:1px solid #e2e4e7}
td{display:grid;grid-template-columns:104px 1fr;gap:10px;padding:1px 0;border:0;text-align:left!important}
td.none{display:none}
td::before{content:attr(data-label);color:#5b6168;font-size:13px}
}
@media print{
@page{margin:16mm}
body{background:#fff;font-size:10.5pt}
main{margin:0;padding:0;max-width:none}
.paper{display:block}
.clips,.screen{display:none}
.callout,.good,.bad,.open{background:#fff}
}
)";

std::string sha256_base64(std::string_view text) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int length = 0;
    if (EVP_Digest(text.data(), text.size(), digest.data(), &length, EVP_sha256(), nullptr) != 1)
        throw Error("the page's style could not be hashed", "", "");
    return figure::base64_of({reinterpret_cast<const char*>(digest.data()), length});
}

/// A sign that says good, bad or open by its form.
std::string sign_of(Callout::Mark mark) {
    const auto svg = [](const char* colour, const char* path) {
        return std::string(
                   "<svg width=\"30\" height=\"30\" viewBox=\"0 0 30 30\" aria-hidden=\"true\"><circle "
                   "cx=\"15\" cy=\"15\" r=\"14\" fill=\"") +
               colour + "\"/><path d=\"" + path +
               "\" fill=\"none\" stroke=\"#fff\" stroke-width=\"3.4\" stroke-linecap=\"round\" "
               "stroke-linejoin=\"round\"/></svg>";
    };
    switch (mark) {
        case Callout::Mark::good:
            return svg("#00805d", "M8 15.5l5 5 9-10.5");
        case Callout::Mark::bad:
            return svg("#b54f00", "M15 7.5v9M15 22v.2");
        case Callout::Mark::open:
            return svg("#5b6168", "M8 15h14");
    }
    return "";
}

struct HtmlWriter {
    std::string out;

    void line(const std::string& text) { out += text + "\n"; }

    void operator()(const Heading& h) {
        const std::string tag = h.minor ? "h3" : "h2";
        line("<" + tag + " dir=\"auto\">" + xml_escaped(h.text) + "</" + tag + ">");
    }
    void operator()(const Paragraph& p) {
        const auto* kind = p.tone == Paragraph::Tone::lead    ? " class=\"lead\""
                           : p.tone == Paragraph::Tone::faint ? " class=\"faint\""
                                                              : "";
        line("<p dir=\"auto\"" + std::string(kind) + ">" + xml_escaped(p.text) + "</p>");
    }
    void operator()(const Callout& c) {
        const auto* kind = c.mark == Callout::Mark::good  ? "good"
                           : c.mark == Callout::Mark::bad ? "bad"
                                                          : "open";
        line("<section class=\"callout " + std::string(kind) + "\">" + sign_of(c.mark) +
             "<div><h2 dir=\"auto\">" + xml_escaped(c.headline) + "</h2>");
        for (const auto& s : c.sentences) line("<p dir=\"auto\">" + xml_escaped(s) + "</p>");
        line("</div></section>");
    }
    void operator()(const Facts& f) {
        line(f.wide ? "<dl class=\"wide-list\">" : "<dl>");
        for (const auto& [label, value] : f.rows)
            line("<dt dir=\"auto\">" + xml_escaped(label) + "</dt><dd dir=\"auto\">" + xml_escaped(value) +
                 "</dd>");
        line("</dl>");
    }
    void operator()(const Items& list) {
        line("<ul>");
        for (const auto& item : list.items)
            line("<li><span>" + xml_escaped(item.mark) + "</span><span dir=\"auto\">" +
                 xml_escaped(item.text) + "</span></li>");
        line("</ul>");
    }
    void operator()(const Entry& e) {
        line("<section class=\"entry\"><h3><span>" + xml_escaped(e.number) + "</span><span dir=\"auto\">" +
             xml_escaped(e.title) + "</span></h3>");
        if (!e.items.items.empty()) (*this)(e.items);
        line("</section>");
    }
    void operator()(const Table& t) {
        const auto kind = [&](std::size_t i, bool none = false) {
            const bool right = i < t.columns.size() && t.columns[i].right;
            if (!right && !none) return std::string();
            return std::string(" class=\"") + (right ? "right" : "") + (right && none ? " " : "") +
                   (none ? "none" : "") + "\"";
        };
        double shares = 0.0;
        for (const auto& column : t.columns) shares += column.share;
        out += "<table><colgroup>";
        for (const auto& column : t.columns)
            out += "<col width=\"" + std::to_string(std::lround(100.0 * column.share / shares)) + "%\">";
        line("</colgroup><thead><tr>");
        for (std::size_t i = 0; i < t.columns.size(); ++i)
            line("<th scope=\"col\"" + kind(i) + ">" + xml_escaped(t.columns[i].title) + "</th>");
        line("</tr></thead><tbody>");
        for (const auto& row : t.rows) {
            out += "<tr>";
            for (std::size_t i = 0; i < row.size(); ++i)
                out += "<td" + kind(i, row[i].empty() || row[i] == "\u2013") + " data-label=\"" +
                       (i < t.columns.size() ? xml_escaped(t.columns[i].title) : "") +
                       "\"><span dir=\"auto\">" + xml_escaped(row[i]) + "</span></td>";
            line("</tr>");
        }
        line("</tbody></table>");
    }
    void operator()(const Picture& p) {
        const auto svg = [&](double width, const char* kind) {
            auto text = figure::svg_of(p.figure, {width, 0.0}, {}, false);
            return text.replace(0, 4, std::string("<svg class=\"") + kind + "\"");
        };
        line("<figure>" + svg(wide_px, "wide") + svg(narrow_px, "narrow"));
        if (!p.caption.empty()) line("<figcaption dir=\"auto\">" + xml_escaped(p.caption) + "</figcaption>");
        line("</figure>");
    }
    void operator()(const Sounds& s) {
        line("<h2 dir=\"auto\" class=\"screen\">" + xml_escaped(s.title) + "</h2>");
        line("<p class=\"faint screen\">" + xml_escaped(s.about) + "</p><div class=\"clips\">");
        for (const auto& clip : s.clips)
            line("<figure><figcaption dir=\"auto\">" + xml_escaped(clip.title) + " <span>" +
                 xml_escaped(clip.caption) +
                 "</span></figcaption><audio controls preload=\"metadata\" src=\"data:" +
                 xml_escaped(clip.mime) + ";base64," + figure::base64_of(clip.bytes) +
                 "\"></audio></figure>");
        line("</div><p class=\"faint paper\">" + xml_escaped(s.on_paper) + "</p>");
    }
    void operator()(const Blanks& b) {
        for (const auto& label : b.labels)
            line("<div class=\"blank\"><span>" + xml_escaped(label) + "</span><i></i></div>");
    }
    void operator()(const SmallPrint& s) {
        line("<small>");
        for (const auto& text : s.lines) line("<p dir=\"auto\">" + xml_escaped(text) + "</p>");
        line("</small>");
    }
};

}  // namespace

std::string html_of(const Document& document) {
    HtmlWriter w;
    const auto title =
        xml_escaped(clean_line(document.title + (document.subtitle.empty() ? "" : ": " + document.subtitle)));
    w.line("<!DOCTYPE html>");
    w.line("<html lang=\"" + xml_escaped(document.language) + "\"><head><meta charset=\"utf-8\">");
    // Nothing from outside, no script at all: only this file's own style, pictures and sounds.
    w.line("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'sha256-" +
           sha256_base64(style) +
           "'; img-src data:; media-src data:; base-uri 'none'; form-action 'none'\">");
    w.line(
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><meta name=\"referrer\" "
        "content=\"no-referrer\">");
    w.line("<meta name=\"author\" content=\"" + xml_escaped(clean_line(document.author)) +
           "\"><meta name=\"description\" content=\"" + xml_escaped(clean_line(document.subject)) +
           "\"><link rel=\"icon\" href=\"data:,\">");
    w.line("<title>" + title + "</title><style>" + std::string(style) +
           "</style></head><body><main><header>");
    w.line("<h1>" + xml_escaped(document.title) + "</h1>");
    if (!document.subtitle.empty()) w.line("<p dir=\"auto\">" + xml_escaped(document.subtitle) + "</p>");
    w.line("</header>");
    for (const auto& block : document.blocks) std::visit(w, block);
    w.line("</main></body></html>");
    return std::move(w.out);
}

}  // namespace cranknote
