#include <algorithm>
#include <cmath>

#include "figure/figures.hpp"
#include "figure/number_text.hpp"

namespace cranknote::figure {

namespace {

std::optional<Rpm> mean_speed(const std::vector<RecordingSummary>& side) {
    for (const auto& r : side)
        if (r.speed.mean) return r.speed.mean;
    return std::nullopt;
}

bool quieter(const Finding& f) {
    if (f.verdict == Verdict::gone || f.verdict == Verdict::weaker) return true;
    return f.verdict != Verdict::fresh && f.verdict != Verdict::stronger && f.change &&
           f.change->value() < 0.0;
}

Ink ink_of(const Finding& f) { return f.expected ? Ink::expected : quieter(f) ? Ink::quieter : Ink::louder; }

Shape shape_of(const Finding& f) { return quieter(f) ? Shape::down : Shape::up; }

/// The value below which `share` of the finite ones lie.
double quantile(std::vector<float> values, double share) {
    std::erase_if(values, [](float v) { return !std::isfinite(v); });
    if (values.empty()) return 0.0;
    const auto at = static_cast<std::size_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(at), values.end());
    return values[at];
}

class Maker {
  public:
    Maker(const Comparison& c, const ComparisonView& view)
        : c_(c), view_(view), curve_(view.over_hz ? c.over_hz : c.over_ratio), rpm_(mean_speed(c.a)) {}

    Figure make() {
        Figure figure;
        figure.title = view_.title;
        figure.keys = {{Ink::side_a, side_name(view_.a, c_.a), true},
                       {Ink::side_b, side_name(view_.b, c_.b), true}};
        figure.aspect = 0.66;
        const auto flagged =
            std::count_if(c_.findings.begin(), c_.findings.end(), [](const Finding& f) { return f.flagged; });
        figure.least_height = 420.0 + 36.0 * static_cast<double>(std::min<std::ptrdiff_t>(flagged, 5));
        figure.most_height = 760.0;
        figure.description = description();
        if (curve_.x.size() < 2) {
            figure.caption = view_.words.nothing;
            return figure;
        }
        figure.panels = {levels(), changes()};
        if (outside_shown_) figure.caption = view_.words.outside;
        if (c_.spread.least_octave)
            figure.caption +=
                (figure.caption.empty() ? "" : " ") +
                filled(view_.words.least, "db", number_text(c_.spread.least_octave->value(), 0) + "\u00a0dB");
        return figure;
    }

  private:
    [[nodiscard]] static std::string side_name(const std::string& name,
                                               const std::vector<RecordingSummary>& side) {
        const auto rpm = mean_speed(side);
        return rpm ? name + ", " + rpm_text(*rpm) : name;
    }

    [[nodiscard]] std::string description() const {
        std::string text = view_.a + ", " + view_.b + ".";
        for (const auto& f : c_.findings)
            if (f.flagged) text += " " + where(f) + ": " + view_.words.word(f.verdict) + ".";
        return text;
    }

    [[nodiscard]] DataAxis x_axis() const {
        DataAxis axis;
        axis.scale = Scale::log;
        axis.from = curve_.x.front();
        axis.to = curve_.x.back();
        if (const auto limits = comparable()) {  // what was not compared is shown at the edges only
            axis.from = std::max(axis.from, limits->first / 1.4);
            axis.to = std::min(axis.to, limits->second * 1.25);
        }
        if (view_.range && view_.range->first > 0.0 && view_.range->first < view_.range->second) {
            axis.from = view_.range->first;
            axis.to = view_.range->second;
        }
        axis.unit = view_.over_hz ? Unit::hertz : Unit::ratio;
        axis.label = view_.over_hz ? view_.words.frequency : view_.words.per_turn;
        if (!view_.over_hz && rpm_) {
            axis.second = DataAxis::Second{rpm_->value() / 60.0, Unit::hertz};
            axis.label = filled(view_.words.with_pitch, "rpm", rpm_text(*rpm_));
        }
        return axis;
    }

    [[nodiscard]] std::string where(const Finding& f) const {
        const bool tied = f.ratio && (f.axis == Axis::ratio || f.follows == Follows::crank);
        return tied ? ratio_text(*f.ratio) : hertz_text({f.low, f.high});
    }

    /// The stretch of the axis that could be compared, if any.
    [[nodiscard]] std::optional<std::pair<double, double>> comparable() const {
        if (view_.over_hz && c_.comparable.hz)
            return std::pair{c_.comparable.hz->first.value(), c_.comparable.hz->second.value()};
        if (!view_.over_hz && c_.comparable.ratio)
            return std::pair{c_.comparable.ratio->first.value(), c_.comparable.ratio->second.value()};
        return std::nullopt;
    }

    /// A finding's place on the x axis, if it has one.
    [[nodiscard]] std::optional<std::pair<double, double>> stretch(const Finding& f) const {
        if (view_.over_hz) return std::pair{f.low.value(), f.high.value()};
        if (!rpm_ || rpm_->value() <= 0.0) return std::nullopt;
        return std::pair{ratio_of(f.low, *rpm_).value(), ratio_of(f.high, *rpm_).value()};
    }

    /// What both panels have behind their lines.
    [[nodiscard]] std::vector<Element> background() {
        std::vector<Element> elements;
        const auto limits = comparable();
        const auto axis = x_axis();
        if (limits && limits->first > axis.from)
            elements.push_back(Span{"", axis.from, limits->first, Ink::outside, false});
        if (limits && limits->second < axis.to)
            elements.push_back(Span{"", limits->second, axis.to, Ink::outside, false});
        outside_shown_ = outside_shown_ || !elements.empty();
        shade(elements);
        for (const auto& p : view_.predicted) {
            const double x =
                view_.over_hz ? (rpm_ ? frequency_of(p.ratio, *rpm_).value() : -1.0) : p.ratio.value();
            if (x >= axis.from && x <= axis.to) elements.push_back(Rule{x, true, Ink::predicted, p.text});
        }
        return elements;
    }

    /// Shading of what is flagged or lit, each place once: a lit finding is whole, then narrow ones cover
    /// wide ones, so that two findings in one band do not add up to a darker, third colour.
    void shade(std::vector<Element>& elements) const {
        struct Shade {
            const Finding* finding;
            double from, to;
            bool lit;
        };
        std::vector<Shade> shades;
        for (const auto& f : c_.findings) {
            const auto at = stretch(f);
            const bool lit = view_.lit.count(f.id) > 0;
            if (at && (f.flagged || lit)) shades.push_back({&f, at->first, at->second, lit});
        }
        std::stable_sort(shades.begin(), shades.end(), [](const Shade& a, const Shade& b) {
            return a.lit != b.lit ? a.lit : a.to / a.from < b.to / b.from;
        });
        std::vector<std::pair<double, double>> taken;  // apart from each other, in order
        for (const auto& s : shades) {
            const Ink ink = s.lit ? Ink::lit : ink_of(*s.finding);
            for (const auto& piece : left_of(s.from, s.to, taken))
                elements.push_back(Span{"", piece.first, piece.second, ink, false});
            taken.emplace_back(s.from, s.to);
            std::sort(taken.begin(), taken.end());
        }
        for (auto s = shades.rbegin(); s != shades.rend(); ++s)  // the last one is hit first
            elements.push_back(Span{s->finding->id, s->from, s->to, Ink::lit, s->lit, false});
    }

    /// What of from .. to no stretch of `taken` covers; slivers that nobody could see are left out.
    [[nodiscard]] static std::vector<std::pair<double, double>> left_of(
        double from, double to, const std::vector<std::pair<double, double>>& taken) {
        constexpr double sliver = 1.005;
        std::vector<std::pair<double, double>> pieces;
        bool whole = true;
        for (const auto& [a, b] : taken) {
            if (b <= from || a >= to) continue;
            whole = false;
            if (a > from * sliver) pieces.emplace_back(from, a);
            from = std::max(from, b);
        }
        if (whole || to > from * sliver) pieces.emplace_back(from, to);
        return pieces;
    }

    [[nodiscard]] Panel levels() {
        Panel panel;
        panel.x = x_axis();
        panel.y.label = view_.words.level;
        panel.y.unit = Unit::decibel;
        const double low = std::min(quantile(curve_.a, 0.005), quantile(curve_.b, 0.005));
        const double high = std::max(quantile(curve_.a, 1.0), quantile(curve_.b, 1.0));
        panel.y.from = 5.0 * std::floor((low - 2.0) / 5.0);
        panel.y.to = std::max(panel.y.from + 10.0, 5.0 * std::ceil((high + 1.0) / 5.0));
        panel.share = 1.25;
        panel.elements = background();
        panel.elements.push_back(Line{"", curve_.x, curve_.b, Ink::side_b});
        panel.elements.push_back(Line{"", curve_.x, curve_.a, Ink::side_a});
        return panel;
    }

    [[nodiscard]] double change_range() const {
        double most =
            std::max(std::abs(quantile(curve_.change, 0.005)), std::abs(quantile(curve_.change, 0.995)));
        for (const auto& f : c_.findings)
            if (f.flagged && f.change) most = std::max(most, std::abs(f.change->value()));
        return std::clamp(5.0 * std::ceil((most + 1.5) / 5.0), 10.0, 40.0);
    }

    [[nodiscard]] Panel changes() {
        Panel panel;
        panel.x = x_axis();
        panel.y.label = view_.words.change;
        panel.y.unit = Unit::change_decibel;
        panel.y.to = change_range();
        panel.y.from = -panel.y.to;
        panel.elements = background();
        panel.elements.push_back(Ribbon{"", curve_.x, curve_.low, curve_.high, Ink::spread});
        panel.elements.push_back(Rule{0.0, false, Ink::axis, ""});
        panel.elements.push_back(Line{"", curve_.x, curve_.change, Ink::change});
        double weight = static_cast<double>(c_.findings.size());
        for (const auto& f : c_.findings) {
            weight -= 1.0;
            const auto at = stretch(f);
            if (!at || !f.flagged) continue;
            // In the middle of what the axis shows of it; what lies wholly beyond is named at the edge,
            // unless a part of the axis was asked for.
            const double from = std::max(at->first, panel.x.from), to = std::min(at->second, panel.x.to);
            if (f.ratio && !view_.over_hz && from <= to)
                mark(panel, f, std::clamp(f.ratio->value(), panel.x.from, panel.x.to), weight);
            else if (from <= to)
                mark(panel, f, std::sqrt(from * to), weight);
            else if (!view_.range)
                beyond(panel, f, at->first > panel.x.to ? panel.x.to : panel.x.from, weight);
        }
        return panel;
    }

    /// A flagged finding's change with interval, and its flag above.
    void mark(Panel& panel, const Finding& f, double middle, double weight) const {
        const auto clamped = [&](Decibel v) { return std::clamp(v.value(), panel.y.from, panel.y.to); };
        Flag flag{f.id, middle, std::nan(""), shape_of(f), {}, ink_of(f), weight};
        std::string first = f.expected ? view_.words.expected : view_.words.word(f.verdict);
        if (f.change) {
            Mark value{f.id, middle, clamped(*f.change), shape_of(f), ink_of(f), std::nullopt, "", Ink::text};
            if (f.interval.first && f.interval.second)
                value.interval = std::pair{clamped(*f.interval.first), clamped(*f.interval.second)};
            panel.elements.push_back(value);
            first += " " + change_text(*f.change);
            flag.y = clamped(*f.change);
        }
        flag.lines = {first, where(f) + " \u00b7 " +
                                 (f.explained_by.empty() ? view_.words.word(f.character)
                                                         : f.explained_by.front().part)};
        panel.elements.push_back(flag);
    }

    /// A finding that the axis does not reach: only its words, with where it is.
    void beyond(Panel& panel, const Finding& f, double edge, double weight) const {
        std::string first = f.expected ? view_.words.expected : view_.words.word(f.verdict);
        if (f.change) first += " " + change_text(*f.change);
        panel.elements.push_back(Flag{f.id,
                                      edge,
                                      std::nan(""),
                                      shape_of(f),
                                      {first, filled(view_.words.beyond, "where", where(f))},
                                      ink_of(f),
                                      weight});
    }

    const Comparison& c_;
    const ComparisonView& view_;
    const Curve& curve_;
    std::optional<Rpm> rpm_;
    bool outside_shown_ = false;
};

}  // namespace

std::string filled(std::string text, const std::string& place, const std::string& value) {
    const auto at = text.find("{" + place + "}");
    return at == std::string::npos ? text : text.replace(at, place.size() + 2, value);
}

Figure comparison_figure(const Comparison& comparison, const ComparisonView& view) {
    if (view.over_hz || comparison.over_ratio.x.size() > 1) return Maker(comparison, view).make();
    auto over_hz = view;  // no crank speed is known: what can be shown is over Hz
    over_hz.over_hz = true;
    over_hz.range.reset();
    return Maker(comparison, over_hz).make();
}

}  // namespace cranknote::figure
