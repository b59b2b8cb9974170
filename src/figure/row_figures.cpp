// Figures that are lists of named rows: suspects, and a complaint's level by state.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "figure/figures.hpp"
#include "figure/number_text.hpp"

namespace cranknote::figure {

namespace {

std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}

/// The verdict by form as well as by colour.
Shape shape_of(Verdict v) {
    switch (v) {
        case Verdict::there:
        case Verdict::stronger:
        case Verdict::fresh:
            return Shape::dot;
        case Verdict::weaker:
            return Shape::down;
        case Verdict::gone:
            return Shape::ring;
        case Verdict::cannot_tell:
            return Shape::diamond;
    }
    return Shape::dot;
}

Ink ink_of(Verdict v) {
    switch (v) {
        case Verdict::gone:
        case Verdict::weaker:
            return Ink::quieter;
        case Verdict::cannot_tell:
            return Ink::expected;
        default:
            return Ink::louder;
    }
}

/// The range of levels and intervals, in round tens, with room for a word on the right.
std::pair<double, double> level_range(const std::vector<StateLevel>& levels) {
    double low = 1e9, high = -1e9;
    for (const auto& l : levels)
        for (const auto& v : {l.level, l.interval.first, l.interval.second})
            if (v && std::isfinite(v->value())) {
                low = std::min(low, v->value());
                high = std::max(high, v->value());
            }
    if (low > high) return {-60.0, -20.0};
    return {5.0 * std::floor((low - 1.0) / 5.0), 5.0 * std::ceil((high + 1.0) / 5.0)};
}

}  // namespace

Figure suspects_figure(const std::vector<Suspect>& suspects, std::size_t most, const Captions& words) {
    Figure figure;
    Panel panel;
    panel.x.hidden = true;
    panel.y.rows_above = true;
    for (std::size_t i = 0; i < std::min(most, suspects.size()); ++i) {
        const auto& s = suspects[i];
        panel.y.rows.push_back(capital(s.cause));
        const bool other = s.kind == CauseKind::other;
        panel.elements.push_back(Bar{s.cause, static_cast<double>(i), 0.0,
                                     std::clamp(s.probability, 0.0, 1.0), other ? Ink::spread : Ink::doubt,
                                     probability_text(s.probability)});
        figure.description += capital(s.cause) + ": " + probability_text(s.probability) + ". ";
    }
    figure.keep_height = true;
    figure.least_height = 16.0 + 42.0 * static_cast<double>(panel.y.rows.size());
    if (panel.y.rows.empty()) {
        figure.caption = words.nothing;
        figure.least_height = 40.0;
        return figure;
    }
    figure.panels.push_back(std::move(panel));
    return figure;
}

Figure levels_figure(const std::vector<StateLevel>& levels, const std::string& title, const Captions& words) {
    Figure figure;
    figure.title = title;
    figure.keep_height = true;
    figure.least_height = 70.0 + (title.empty() ? 0.0 : 26.0) + 29.0 * static_cast<double>(levels.size());
    Panel panel;
    panel.x.label = words.level_by_state;
    panel.x.unit = Unit::decibel;
    std::tie(panel.x.from, panel.x.to) = level_range(levels);
    panel.x.to += 0.3 * (panel.x.to - panel.x.from);  // room for the word
    for (std::size_t i = 0; i < levels.size(); ++i) {
        const auto& l = levels[i];
        panel.y.rows.push_back(l.state);
        const auto word = words.word(l.verdict);
        figure.description += l.state + ": " + word + ". ";
        const double row = static_cast<double>(i);
        if (!l.level) {
            panel.elements.push_back(Mark{l.state, panel.x.from + 0.05 * (panel.x.to - panel.x.from), row,
                                          Shape::none, Ink::expected, std::nullopt, word, Ink::expected});
            continue;
        }
        Mark mark{l.state,           l.level->value(), row,  shape_of(l.verdict),
                  ink_of(l.verdict), std::nullopt,     word, ink_of(l.verdict)};
        if (l.interval.first || l.interval.second)  // an open end runs to the edge
            mark.interval = std::pair{l.interval.first ? l.interval.first->value() : panel.x.from,
                                      l.interval.second ? l.interval.second->value() : panel.x.to};
        panel.elements.push_back(mark);
    }
    if (levels.empty()) {
        figure.caption = words.nothing;
        return figure;
    }
    figure.panels.push_back(std::move(panel));
    return figure;
}

}  // namespace cranknote::figure
