#include "figure/labels.hpp"

#include <algorithm>
#include <numeric>
#include <optional>

namespace cranknote::figure {

namespace {

using Indices = std::vector<std::size_t>;

Indices sorted_by(std::size_t count, const auto& less) {
    Indices order(count);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), less);
    return order;
}

struct Interval {
    double left, right;
};

/// Where in the free window round `x` a label of `width` goes: to the right of x if possible.
std::optional<double> left_end(double x, double width, Interval window) {
    if (window.right - window.left < width) return std::nullopt;
    const double left = std::clamp(x - 3.0, window.left, window.right - width);
    return left <= x && left + width >= x ? std::optional(left) : std::nullopt;
}

/// Tries to place all of `chosen`; false if some do not fit.
bool place_all(const std::vector<FlagRequest>& wanted, const Indices& chosen, double left, double right,
               int most_rows, double gap, std::vector<FlagPlace>& places) {
    std::vector<double> x, sizes(chosen.size(), 2.0 * gap);
    for (const auto i : chosen) x.push_back(wanted[i].x);
    const auto knees = spread_apart(x, sizes, 0.0, left, right);
    std::vector<bool> placed(chosen.size(), false);
    std::size_t open = chosen.size();
    for (int row = 0; row < most_rows && open > 0; ++row) {
        std::vector<Interval> taken;
        for (std::size_t c = chosen.size(); c-- > 0;) {
            if (placed[c]) continue;
            Interval window{left, right};
            for (std::size_t o = 0; o < chosen.size(); ++o) {  // leaders on their way to higher rows
                if (o == c || placed[o]) continue;
                if (knees[o] < knees[c]) window.left = std::max(window.left, knees[o] + gap);
                if (knees[o] > knees[c]) window.right = std::min(window.right, knees[o] - gap);
            }
            for (const auto& t : taken) {
                if (t.right <= knees[c]) window.left = std::max(window.left, t.right + gap);
                if (t.left >= knees[c]) window.right = std::min(window.right, t.left - gap);
                if (t.left < knees[c] && t.right > knees[c]) window.right = window.left;
            }
            const auto start = left_end(knees[c], wanted[chosen[c]].width, window);
            if (!start) continue;
            places[chosen[c]] = {true, row, *start, knees[c]};
            taken.push_back({*start, *start + wanted[chosen[c]].width});
            placed[c] = true;
            --open;
        }
    }
    return open == 0;
}

/// Blocks of the pool-adjacent-violators method: members moved together.
struct Block {
    double sum = 0.0;
    std::size_t count = 0;
    [[nodiscard]] double mean() const { return sum / static_cast<double>(count); }
};

}  // namespace

std::vector<double> spread_apart(const std::vector<double>& middles, const std::vector<double>& sizes,
                                 double gap, double low, double high) {
    const auto order =
        sorted_by(middles.size(), [&](std::size_t a, std::size_t b) { return middles[a] < middles[b]; });
    // Subtracting each one's least distance from the first makes "apart" into "not falling", which pooling
    // neighbours solves in the least-squares sense.
    std::vector<double> offset(order.size(), 0.0);
    for (std::size_t k = 1; k < order.size(); ++k)
        offset[k] = offset[k - 1] + (sizes[order[k - 1]] + sizes[order[k]]) / 2.0 + gap;
    std::vector<Block> blocks;
    for (std::size_t k = 0; k < order.size(); ++k) {
        blocks.push_back({middles[order[k]] - offset[k], 1});
        while (blocks.size() > 1 && blocks[blocks.size() - 2].mean() > blocks.back().mean()) {
            blocks[blocks.size() - 2].sum += blocks.back().sum;
            blocks[blocks.size() - 2].count += blocks.back().count;
            blocks.pop_back();
        }
    }
    std::vector<double> result(middles.size());
    if (order.empty()) return result;
    const double least = low + sizes[order.front()] / 2.0;
    const double most = std::max(least, high - sizes[order.back()] / 2.0 - offset.back());
    std::size_t k = 0;
    for (const auto& block : blocks)
        for (std::size_t i = 0; i < block.count; ++i, ++k)
            result[order[k]] = std::clamp(block.mean(), least, most) + offset[k];
    return result;
}

std::vector<FlagPlace> place_flags(const std::vector<FlagRequest>& wanted, double left, double right,
                                   int most_rows, double gap) {
    Indices chosen =
        sorted_by(wanted.size(), [&](std::size_t a, std::size_t b) { return wanted[a].x < wanted[b].x; });
    std::erase_if(chosen, [&](std::size_t i) { return wanted[i].width > right - left; });
    while (!chosen.empty()) {
        std::vector<FlagPlace> places(wanted.size());
        if (place_all(wanted, chosen, left, right, most_rows, gap, places)) return places;
        chosen.erase(std::min_element(chosen.begin(), chosen.end(), [&](std::size_t a, std::size_t b) {
            return wanted[a].weight < wanted[b].weight;
        }));
    }
    return std::vector<FlagPlace>(wanted.size());
}

std::vector<Point> place_badges(std::vector<Point> at, double radius, const Box& area) {
    const Box inner = area.grown(-radius);
    const auto into = [&](Point p) {
        return Point{std::clamp(p.x, inner.x0, std::max(inner.x0, inner.x1)),
                     std::clamp(p.y, inner.y0, std::max(inner.y0, inner.y1))};
    };
    for (auto& p : at) p = into(p);
    for (int round = 0; round < 400; ++round) {
        bool moved = false;
        for (std::size_t i = 0; i < at.size(); ++i)
            for (std::size_t j = 0; j < i; ++j) {
                Point apart = at[i] - at[j];
                const double now = length(apart), least = 2.0 * radius;
                if (now >= least) continue;
                if (now < 1e-6) apart = {1.0, 0.1 * static_cast<double>(i + 1)};
                const Point step = ((least - now) / 2.0 + 0.1) / std::max(length(apart), 1e-6) * apart;
                at[i] = into(at[i] + step);
                at[j] = into(at[j] - step);
                moved = true;
            }
        if (!moved) break;
    }
    return at;
}

bool segments_cross(Point a, Point b, Point c, Point d) {
    const auto side = [](Point p, Point q, Point r) {
        return (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    };
    return side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
}

namespace {

/// Labels of one column in the order of their anchors, then swapped until no two leaders cross.
void fill_column(const std::vector<CalloutRequest>& wanted, Indices column, bool on_left, double edge,
                 double top, double bottom, double gap, std::vector<CalloutPlace>& places) {
    double needed = -gap;
    for (const auto i : column) needed += wanted[i].size.height + gap;
    while (!column.empty() && needed > bottom - top) {
        const auto lightest = std::min_element(
            column.begin(), column.end(),
            [&](std::size_t a, std::size_t b) { return wanted[a].weight < wanted[b].weight; });
        needed -= wanted[*lightest].size.height + gap;
        column.erase(lightest);
    }
    std::stable_sort(column.begin(), column.end(),
                     [&](std::size_t a, std::size_t b) { return wanted[a].at.y < wanted[b].at.y; });
    const auto settle = [&] {
        std::vector<double> middles, sizes;
        double next = -1e9;
        for (const auto i : column) {  // keep the column's order whatever the anchors say
            next = std::max(next + 1e-6, wanted[i].at.y);
            middles.push_back(next);
            sizes.push_back(wanted[i].size.height);
        }
        const auto y = spread_apart(middles, sizes, gap, top, bottom);
        for (std::size_t k = 0; k < column.size(); ++k) {
            const auto& size = wanted[column[k]].size;
            const double x0 = on_left ? edge - size.width : edge;
            places[column[k]] = {true,
                                 on_left,
                                 {x0, y[k] - size.height / 2, x0 + size.width, y[k] + size.height / 2},
                                 {on_left ? edge + gap / 2 : edge - gap / 2, y[k]}};
        }
    };
    settle();
    for (int round = 0; round < 200; ++round) {
        bool crossed = false;
        for (std::size_t a = 0; a < column.size() && !crossed; ++a)
            for (std::size_t b = a + 1; b < column.size() && !crossed; ++b)
                if (segments_cross(places[column[a]].leader, wanted[column[a]].at, places[column[b]].leader,
                                   wanted[column[b]].at)) {
                    std::swap(column[a], column[b]);
                    crossed = true;
                }
        if (!crossed) return;
        settle();
    }
}

}  // namespace

std::vector<CalloutPlace> place_callouts(const std::vector<CalloutRequest>& wanted, const Box& drawing,
                                         double top, double bottom, double gap) {
    std::vector<CalloutPlace> places(wanted.size());
    const auto order = sorted_by(
        wanted.size(), [&](std::size_t a, std::size_t b) { return wanted[a].at.x < wanted[b].at.x; });
    // Left of the middle to the left column, but neither column more than its share of the height.
    double total = 0.0;
    for (const auto& w : wanted) total += w.size.height + gap;
    const double half = std::max(total / 2.0, std::min(total, 0.0));
    Indices left, right;
    double used_left = 0.0, used_right = 0.0;
    const double middle = drawing.centre().x;
    for (const auto i : order)
        if (wanted[i].at.x < middle && used_left < half + gap) {
            left.push_back(i);
            used_left += wanted[i].size.height + gap;
        }
    for (std::size_t k = order.size(); k-- > 0;) {
        const auto i = order[k];
        if (std::find(left.begin(), left.end(), i) != left.end()) continue;
        const bool room = used_right < half + gap || used_left >= half + gap;
        (room ? right : left).push_back(i);
        (room ? used_right : used_left) += wanted[i].size.height + gap;
    }
    fill_column(wanted, left, true, drawing.x0 - gap, top, bottom, gap / 2, places);
    fill_column(wanted, right, false, drawing.x1 + gap, top, bottom, gap / 2, places);
    return places;
}

}  // namespace cranknote::figure
