// The parts of a figure to their places: title and keys on top, panels below, the caption last.
#include <algorithm>
#include <cmath>

#include "figure/labels.hpp"
#include "figure/sheet.hpp"
#include "figure/ticks.hpp"

namespace cranknote::figure {

namespace {

/// What is known of a panel before its height is.
struct Plan {
    const Panel* panel = nullptr;
    std::vector<const Flag*> flags;
    std::vector<FlagPlace> places;
    double gutter = 0.0;  ///< height of the flags' rows
    double above = 0.0;   ///< the label's row
    bool names_x = true;  ///< the x axis is written below it
};

class Page {
  public:
    Page(const Figure& figure, LaidOut& out, const Theme& theme, TextMeasure& measure)
        : figure_(figure), out_(out), sheet_(out, theme, measure), theme_(theme) {}

    void lay() {
        const double pad = theme_.gap() * figure_.margin;
        area_ = {pad, pad, out_.size.width - pad, out_.size.height - pad};
        header();
        footer();
        panels();
    }

  private:
    void header() {
        const auto style = sheet_.style(theme_.title(), Ink::text, Weight::bold);
        for (const auto& line : sheet_.broken(figure_.title, style, area_.width(), 2))
            area_.y0 = sheet_.text(area_.x0, area_.y0, Align::left, line, style).y1;
        if (!figure_.title.empty()) area_.y0 += theme_.gap() * 0.5;
        keys();
    }

    /// Samples of strokes with their names, as many on a line as fit.
    void keys() {
        const double sample = 22.0 * theme_.scale, gap = theme_.gap();
        double x = area_.x0, bottom = area_.y0;
        for (const auto& key : figure_.keys) {
            const auto style = sheet_.style(
                theme_.normal(), key.ink == Ink::side_b || key.ink == Ink::side_a ? Ink::text : key.ink,
                key.sample ? Weight::medium : Weight::regular);
            const double lead = key.sample ? sample + gap * 0.75 : 0.0;
            const auto text = sheet_.fitted(key.text, style, area_.width() - lead);
            if (x > area_.x0 && x + lead + sheet_.width_of(text, style) > area_.x1) {
                x = area_.x0;
                area_.y0 = bottom;
            }
            const Box box = sheet_.text(x + lead, area_.y0, Align::left, text, style);
            if (key.sample)
                sheet_.line({x, box.centre().y}, {x + sample, box.centre().y}, sheet_.stroke(key.ink, 1.3));
            bottom = box.y1 + gap * 0.25;
            x = box.x1 + 2.5 * gap;
        }
        if (!figure_.keys.empty()) area_.y0 = bottom + gap * 0.5;
    }

    void footer() {
        const auto style = sheet_.style(theme_.small(), Ink::faint);
        const auto lines = sheet_.broken(figure_.caption, style, area_.width(), 6);
        if (lines.empty()) return;
        double y = area_.y1 - static_cast<double>(lines.size()) * sheet_.line_height(style);
        area_.y1 = y - theme_.gap();
        for (const auto& line : lines) y = sheet_.text(area_.x0, y, Align::left, line, style).y1;
    }

    void panels() {
        std::vector<Plan> plans;
        double left = 0.0;
        for (std::size_t i = 0; i < figure_.panels.size(); ++i) {
            plans.push_back({&figure_.panels[i], {}, {}, 0.0, 0.0, !continues(i)});
            left = std::max(left, left_margin(figure_.panels[i]));
        }
        plot_left_ = area_.x0 + left;
        plot_right_ = area_.x1 - right_margin();
        double taken = 0.0, shares = 0.0;
        for (auto& plan : plans) {
            plan_gutter(plan);
            taken += plan.above + plan.gutter + below(plan) + theme_.gap();
            shares += plan.panel->share;
        }
        const double height = std::max(40.0, area_.height() - taken + theme_.gap());
        double y = area_.y0;
        for (const auto& plan : plans) {
            y += plan.above + plan.gutter;
            const double bottom = y + height * plan.panel->share / shares;
            panel(plan, y, bottom);
            y = bottom + below(plan) + theme_.gap();
        }
    }

    /// True if the panel below has the same x axis, which is then named there.
    [[nodiscard]] bool continues(std::size_t i) const {
        if (i + 1 >= figure_.panels.size()) return false;
        const auto &a = figure_.panels[i].x, &b = figure_.panels[i + 1].x;
        return a.from == b.from && a.to == b.to && a.label == b.label;
    }

    [[nodiscard]] double small_line() { return sheet_.line_height(sheet_.style(theme_.small(), Ink::faint)); }

    [[nodiscard]] std::vector<Tick> y_ticks(const Panel& panel, double height) {
        if (panel.drawing || panel.y.hidden || !panel.y.rows.empty()) return {};
        auto ticks = ticks_for(panel.y.scale, panel.y.from, panel.y.to,
                               std::clamp(static_cast<int>(height / (27.0 * theme_.scale)), 2, 9));
        name_ticks(ticks, panel.y.unit);
        return ticks;
    }

    [[nodiscard]] double left_margin(const Panel& panel) {
        const auto style = sheet_.style(theme_.small(), Ink::faint);
        double width = 0.0;
        for (const auto& tick : y_ticks(panel, area_.height() * panel.share))
            width = std::max(width, sheet_.width_of(tick.text, style));
        if (!panel.y.rows_above)
            for (const auto& row : panel.y.rows) width = std::max(width, sheet_.width_of(row, row_style()));
        width = std::min(width, area_.width() * 0.42);
        return width > 0.0 ? width + theme_.gap() : 0.0;
    }

    /// Room for half of the last tick's text.
    [[nodiscard]] double right_margin() {
        double width = 0.0;
        for (const auto& panel : figure_.panels)
            if (!panel.drawing && !panel.x.hidden) width = 14.0 * theme_.scale;
        return width;
    }

    [[nodiscard]] TextStyle row_style() const { return sheet_.style(theme_.normal(), Ink::text); }

    [[nodiscard]] double below(const Plan& plan) {
        const auto& x = plan.panel->x;
        if (plan.panel->drawing || x.hidden || !plan.names_x) return 0.0;
        return (1.0 + (x.second ? 1.0 : 0.0) + (x.label.empty() ? 0.0 : 1.0)) * small_line() +
               6.0 * theme_.scale;
    }

    // Flags ------------------------------------------------------------------------------------------------

    [[nodiscard]] TextStyle flag_style(const Flag& flag, std::size_t line) const {
        return line == 0 ? sheet_.style(theme_.small(), flag.ink, Weight::bold)
                         : sheet_.style(theme_.small(), Ink::text);
    }
    [[nodiscard]] double flag_lead(const Flag& flag) const {
        return flag.shape == Shape::none ? 0.0 : 12.0 * theme_.scale;
    }
    [[nodiscard]] double flag_width(const Flag& flag) {
        double width = 0.0;
        for (std::size_t i = 0; i < flag.lines.size(); ++i)
            width = std::max(width, sheet_.width_of(flag.lines[i], flag_style(flag, i)) +
                                        (i == 0 ? flag_lead(flag) : 0.0));
        return std::min(width, (plot_right_ - plot_left_) * 0.62);
    }
    [[nodiscard]] double flag_row_height(const Plan& plan) {
        std::size_t lines = 1;
        for (const auto* flag : plan.flags) lines = std::max(lines, flag->lines.size());
        return static_cast<double>(lines) * small_line() + 4.0 * theme_.scale;
    }

    void plan_gutter(Plan& plan) {
        plan.above =
            plan.panel->y.label.empty() || plan.panel->drawing ? 0.0 : small_line() + 9.0 * theme_.scale;
        LaidPanel laid{{plot_left_, 0, plot_right_, 1}, plan.panel->x, plan.panel->y, false};
        std::vector<FlagRequest> wanted;
        for (const auto& element : plan.panel->elements) {
            const auto* flag = std::get_if<Flag>(&element);
            if (!flag) continue;
            const double x = laid.x_px(flag->x);
            if (!(x >= plot_left_ && x <= plot_right_)) continue;
            plan.flags.push_back(flag);
            wanted.push_back({x, flag_width(*flag), flag->weight});
        }
        if (wanted.empty()) return;
        const int rows = std::clamp(static_cast<int>(area_.height() * 0.36 / flag_row_height(plan)), 1, 6);
        plan.places = place_flags(wanted, plot_left_ - 4.0, area_.x1, rows, 12.0 * theme_.scale);
        int used = 0;
        for (const auto& place : plan.places) {
            if (place.shown) used = std::max(used, place.row + 1);
            if (!place.shown) sheet_.left_out();
        }
        plan.gutter = used * flag_row_height(plan) + 8.0 * theme_.scale;
    }

    void flags(const Plan& plan, const LaidPanel& laid) {
        const double knee = laid.plot.y0 - 7.0 * theme_.scale, row = flag_row_height(plan);
        for (std::size_t i = 0; i < plan.flags.size(); ++i) {
            const auto& flag = *plan.flags[i];
            const auto& place = plan.places[i];
            const double x = laid.x_px(flag.x);
            const double end = std::isfinite(flag.y)
                                   ? std::clamp(laid.y_px(flag.y), laid.plot.y0, laid.plot.y1)
                                   : laid.plot.y0;
            if (!place.shown) continue;
            const double bottom = knee - place.row * row,
                         top = bottom - static_cast<double>(flag.lines.size()) * small_line();
            const Stroke stroke{theme_.colour(flag.ink).faded(0.75), 0.9 * theme_.scale, {}};
            sheet_.polyline({{place.knee_x, bottom}, {place.knee_x, knee}, {x, laid.plot.y0}, {x, end}},
                            false, stroke);
            const double width = flag_width(flag);
            double y = top;
            for (std::size_t line = 0; line < flag.lines.size(); ++line) {
                const double lead = line == 0 ? flag_lead(flag) : 0.0;
                const auto style = flag_style(flag, line);
                const Box box =
                    sheet_.text(place.left + lead, y, Align::left,
                                sheet_.fitted(flag.lines[line], style, width - lead + 0.5), style);
                if (lead > 0.0)
                    lay_shape(sheet_, {place.left + 4.0 * theme_.scale, box.centre().y}, flag.shape, flag.ink,
                              3.6 * theme_.scale);
                y = box.y1;
            }
            sheet_.target(flag.id, Box{place.left, top, place.left + width, bottom});
        }
    }

    // Axes -------------------------------------------------------------------------------------------------

    void panel(const Plan& plan, double top, double bottom) {
        LaidPanel laid{
            {plot_left_, top, plot_right_, bottom}, plan.panel->x, plan.panel->y, plan.panel->drawing};
        if (laid.drawing) {
            drawing(*plan.panel, laid);
            return;
        }
        if (plan.above > 0.0)
            sheet_.text(
                area_.x0, top - plan.gutter - plan.above, Align::left,
                sheet_.fitted(plan.panel->y.label, sheet_.style(theme_.small(), Ink::faint, Weight::medium),
                              area_.width()),
                sheet_.style(theme_.small(), Ink::faint, Weight::medium));
        grid(plan, laid);
        lay_elements(sheet_, *plan.panel, laid);
        flags(plan, laid);
        out_.panels.push_back(std::move(laid));
    }

    void grid(const Plan& plan, const LaidPanel& laid) {
        const auto style = sheet_.style(theme_.small(), Ink::faint);
        const auto& plot = laid.plot;
        for (const auto& tick : y_ticks(*plan.panel, plot.height())) {
            const double y = laid.y_px(tick.at);
            sheet_.line({plot.x0, y}, {plot.x1, y}, sheet_.stroke(Ink::grid));
            if (!tick.text.empty())
                sheet_.text(plot.x0 - theme_.gap() * 0.75, y - small_line() / 2.0, Align::right, tick.text,
                            style);
        }
        rows(laid);
        if (laid.x.hidden) return;
        for (const auto& tick : x_ticks(laid, laid.x, 1.0)) {
            const double x = laid.x_px(tick.at);
            auto stroke = sheet_.stroke(Ink::grid, tick.text.empty() ? 0.7 : 1.0);
            if (tick.text.empty()) stroke.colour = stroke.colour.faded(0.6);
            sheet_.line({x, plot.y0}, {x, plot.y1}, stroke);
        }
        sheet_.line({plot.x0, plot.y1}, {plot.x1, plot.y1}, sheet_.stroke(Ink::axis));
        if (plan.names_x) name_x(laid);
    }

    [[nodiscard]] std::vector<Tick> x_ticks(const LaidPanel& laid, const DataAxis& axis,
                                            double factor) const {
        auto ticks =
            ticks_for(axis.scale, axis.from * factor, axis.to * factor,
                      std::clamp(static_cast<int>(laid.plot.width() / (52.0 * theme_.scale)), 2, 14));
        name_ticks(ticks, factor == 1.0 ? axis.unit : axis.second->unit);
        return ticks;
    }

    /// One row of tick texts; one that would touch its neighbour or leave the page is not written.
    double tick_row(const LaidPanel& laid, double factor, double top, const TextStyle& style) {
        double free_from = area_.x0, bottom = top;
        for (const auto& tick : x_ticks(laid, laid.x, factor)) {
            if (tick.text.empty()) continue;
            const double x = laid.x_px(tick.at / factor), half = sheet_.width_of(tick.text, style) / 2.0;
            const double middle = std::min(x, area_.x1 - half);
            if (middle - half < free_from || std::abs(middle - x) > 8.0 * theme_.scale) continue;
            bottom = sheet_.text(middle, top, Align::centre, tick.text, style).y1;
            free_from = middle + half + 6.0 * theme_.scale;
        }
        return bottom;
    }

    void name_x(const LaidPanel& laid) {
        const auto style = sheet_.style(theme_.small(), Ink::faint);
        double y = laid.plot.y1 + 3.0 * theme_.scale;
        y = tick_row(laid, 1.0, y, style);
        if (laid.x.second) {
            auto second = style;
            second.colour = mixed(second.colour, theme_.paper(), 0.12);
            y = tick_row(laid, laid.x.second->factor, y, second);
        }
        if (laid.x.label.empty()) return;
        auto medium = style;
        medium.weight = Weight::medium;
        sheet_.text(area_.x1, y + 1.0 * theme_.scale, Align::right,
                    sheet_.fitted(laid.x.label, medium, area_.width()), medium);
    }

    void rows(const LaidPanel& laid) {
        const auto style = row_style();
        const double height =
            laid.plot.height() / static_cast<double>(std::max<std::size_t>(1, laid.y.rows.size()));
        for (std::size_t i = 0; i < laid.y.rows.size(); ++i) {
            const double middle = laid.y_px(static_cast<double>(i)), line = sheet_.line_height(style);
            if (laid.y.rows_above) {
                const double top = middle - height * 0.46;
                sheet_.text(laid.plot.x0, top, Align::left,
                            sheet_.fitted(laid.y.rows[i], style, laid.plot.width()), style);
                continue;
            }
            const double room = laid.plot.x0 - theme_.gap() - area_.x0;
            const auto lines = sheet_.broken(laid.y.rows[i], style, room, height > 2.1 * line ? 2 : 1);
            double y = middle - line * static_cast<double>(lines.size()) / 2.0;
            for (const auto& text : lines)
                y = sheet_.text(laid.plot.x0 - theme_.gap(), y, Align::right, text, style).y1;
        }
    }

    // Drawings ---------------------------------------------------------------------------------------------

    [[nodiscard]] TextStyle callout_style(const Callout& c, std::size_t line) const {
        return line == 0 ? sheet_.style(theme_.normal(), c.ink, Weight::medium)
                         : sheet_.style(theme_.small(), Ink::faint);
    }

    void drawing(const Panel& panel, LaidPanel laid) {
        std::vector<const Callout*> callouts;
        for (const auto& element : panel.elements)
            if (const auto* callout = std::get_if<Callout>(&element)) callouts.push_back(callout);
        if (laid.plot.width() < 560.0 * theme_.scale && !callouts.empty())
            numbered(panel, std::move(laid), callouts);
        else
            called_out(panel, std::move(laid), callouts);
    }

    /// Room on both sides: labels in columns.
    void called_out(const Panel& panel, LaidPanel laid, const std::vector<const Callout*>& callouts) {
        const double most = laid.plot.width() * 0.30;
        double column = 0.0;
        std::vector<Size> sizes;
        for (const auto* callout : callouts) {
            Size size;
            for (std::size_t i = 0; i < callout->lines.size(); ++i) {
                const auto style = callout_style(*callout, i);
                size.width = std::max(size.width, std::min(most, sheet_.width_of(callout->lines[i], style)));
                size.height += sheet_.line_height(style);
            }
            sizes.push_back(size);
            column = std::max(column, size.width);
        }
        const Box whole = laid.plot;
        const double side = callouts.empty() ? 0.0 : column + 2.5 * theme_.gap();
        fit(laid, {whole.x0 + side, whole.y0, whole.x1 - side, whole.y1});
        lay_elements(sheet_, panel, laid);
        std::vector<CalloutRequest> wanted;
        for (std::size_t i = 0; i < callouts.size(); ++i)
            wanted.push_back({laid.px(callouts[i]->at), sizes[i], callouts[i]->weight});
        const auto places = place_callouts(wanted, laid.plot, whole.y0, whole.y1, 1.5 * theme_.gap());
        for (std::size_t i = 0; i < callouts.size(); ++i) callout(*callouts[i], wanted[i], places[i]);
        out_.panels.push_back(std::move(laid));
    }

    /// A narrow page: numbers in the drawing, names in two columns below it.
    void numbered(const Panel& panel, LaidPanel laid, const std::vector<const Callout*>& callouts) {
        const auto style = sheet_.style(theme_.small(), Ink::text),
                   number = sheet_.style(theme_.small(), Ink::text, Weight::bold);
        const double line = small_line() + 3.0 * theme_.scale, half = laid.plot.width() / 2.0;
        const std::size_t rows = (callouts.size() + 1) / 2;
        Box box = laid.plot;
        box.y1 -= static_cast<double>(rows) * line + theme_.gap();
        const double list_top = box.y1 + theme_.gap();
        const Box whole = box;
        fit(laid, box);
        lay_elements(sheet_, panel, laid);
        std::vector<Point> at;
        for (const auto* callout : callouts) at.push_back(laid.px(callout->at));
        const double radius = 7.5 * theme_.scale;
        const auto places = place_badges(at, radius, whole);
        const Stroke thin{theme_.colour(Ink::axis), 0.9 * theme_.scale, {}};
        for (std::size_t i = 0; i < callouts.size(); ++i) {
            const auto& c = *callouts[i];
            const auto name = std::to_string(i + 1);
            if (length(places[i] - at[i]) > radius) sheet_.line(at[i], places[i], thin);
            sheet_.circle(
                places[i], radius, theme_.paper(),
                Stroke{theme_.colour(c.ink == Ink::text ? Ink::metal : c.ink), 1.2 * theme_.scale, {}});
            sheet_.text(places[i].x, places[i].y - small_line() / 2.0, Align::centre, name, number);
            sheet_.target(c.id, Box{places[i].x, places[i].y, places[i].x, places[i].y}.grown(1.5 * radius));
            const double x = whole.x0 + (i < rows ? 0.0 : half),
                         y = list_top + static_cast<double>(i % rows) * line;
            sheet_.text(x + 16.0 * theme_.scale, y, Align::right, name, number);
            auto text = c.lines.front();
            for (std::size_t k = 1; k < c.lines.size(); ++k) text += "  " + c.lines[k];
            auto named = style;
            named.colour = theme_.text_colour(c.ink);
            const double room = half - 26.0 * theme_.scale;
            const Box taken =
                sheet_.text(x + 21.0 * theme_.scale, y, Align::left, sheet_.fitted(text, named, room), named);
            sheet_.target(c.id, taken);
        }
        out_.panels.push_back(std::move(laid));
    }

    /// Equal scales: the data's box in the middle of `box`.
    static void fit(LaidPanel& laid, const Box& box) {
        const double wide = laid.x.to - laid.x.from, high = laid.y.to - laid.y.from;
        const double scale = std::min(box.width() / wide, box.height() / high);
        const Point c = box.centre();
        laid.plot = {c.x - scale * wide / 2.0, c.y - scale * high / 2.0, c.x + scale * wide / 2.0,
                     c.y + scale * high / 2.0};
    }

    void callout(const Callout& c, const CalloutRequest& wanted, const CalloutPlace& place) {
        if (!place.shown) {
            sheet_.left_out();
            return;
        }
        const Stroke thin{theme_.colour(Ink::axis), 0.8 * theme_.scale, {}};
        sheet_.line(place.leader, wanted.at, thin);
        sheet_.circle(wanted.at, 1.8 * theme_.scale, theme_.colour(Ink::axis), std::nullopt);
        double y = place.box.y0;
        for (std::size_t i = 0; i < c.lines.size(); ++i) {
            const auto style = callout_style(c, i);
            const auto text = sheet_.fitted(c.lines[i], style, place.box.width() + 0.5);
            y = sheet_
                    .text(place.on_left ? place.box.x1 : place.box.x0, y,
                          place.on_left ? Align::right : Align::left, text, style)
                    .y1;
        }
        sheet_.target(c.id, place.box);
    }

    const Figure& figure_;
    LaidOut& out_;
    Sheet sheet_;
    const Theme& theme_;
    Box area_;
    double plot_left_ = 0.0, plot_right_ = 0.0;
};

}  // namespace

LaidOut lay_out(const Figure& figure, Size size, const Theme& theme, TextMeasure& measure) {
    LaidOut out;
    out.size = size;
    out.paper = theme.paper();
    out.description = figure.description;
    Page(figure, out, theme, measure).lay();
    return out;
}

}  // namespace cranknote::figure
