#include "speed/running.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::speed_detail {

namespace {

// All chosen on the set `tune`. A stopped engine's pieces hold 0 to 0.3 of a running one's strength.
constexpr double alive_share = 0.45;
// Pieces that keep step agree to 0.7 and more; chance agrees to 0.5 at most where there are many lines. What
// agrees much less than the best quarter follows something else (a starter, another multiple).
constexpr double least_step = 0.5, step_share = 0.72;
constexpr Seconds longest_gap{0.7};  // a clank, a word: bridged

double upper_quartile(std::vector<double> v) {
    if (v.empty()) return 0.0;
    const auto q = v.begin() + static_cast<std::ptrdiff_t>(v.size() * 3 / 4);
    std::nth_element(v.begin(), q, v.end());
    return *q;
}

/// Median of five, fewer at the ends.
std::vector<double> calmed(const std::vector<double>& v) {
    std::vector<double> out(v.size()), part;
    for (std::size_t i = 0; i < v.size(); ++i) {
        const std::size_t a = i > 2 ? i - 2 : 0, b = std::min(v.size(), i + 3);
        part.assign(v.begin() + static_cast<std::ptrdiff_t>(a), v.begin() + static_cast<std::ptrdiff_t>(b));
        const auto m = part.begin() + static_cast<std::ptrdiff_t>(part.size() / 2);
        std::nth_element(part.begin(), m, part.end());
        out[i] = *m;
    }
    return out;
}

/// Half the way to the neighbours, which is the time that a piece stands for.
Seconds share_of(const std::vector<PieceState>& p, std::size_t i) {
    if (p.size() < 2) return Seconds{0};
    const std::size_t a = i > 0 ? i - 1 : 0, b = std::min(i + 1, p.size() - 1);
    return (p[b].at - p[a].at) / static_cast<double>(b - a);
}

}  // namespace

std::vector<PieceVerdict> verdicts(const std::vector<PieceState>& pieces) {
    std::vector<double> strength, step;
    for (const auto& p : pieces) strength.push_back(p.strength), step.push_back(p.step);
    const double loud = upper_quartile(strength);
    const double agreed = std::max(least_step, step_share * upper_quartile(step));
    strength = calmed(strength), step = calmed(step);
    std::vector<PieceVerdict> v(pieces.size());
    for (std::size_t i = 0; i < v.size(); ++i) {
        v[i].alive = strength[i] > alive_share * loud;
        v[i].locked = v[i].alive && step[i] > agreed;
    }
    return v;
}

double unlocked_share(const std::vector<PieceState>& pieces) {
    const auto v = verdicts(pieces);
    const auto alive = std::count_if(v.begin(), v.end(), [](const auto& p) { return p.alive; });
    const auto locked = std::count_if(v.begin(), v.end(), [](const auto& p) { return p.locked; });
    return alive > 0 ? 1.0 - static_cast<double>(locked) / static_cast<double>(alive) : 0.0;
}

Seconds locked_time(const std::vector<PieceState>& pieces) {
    const auto v = verdicts(pieces);
    Seconds sum{0};
    for (std::size_t i = 0; i < v.size(); ++i)
        if (v[i].locked) sum += share_of(pieces, i);
    return sum;
}

RunningStretch running_stretch(const std::vector<PieceState>& pieces, Seconds duration) {
    RunningStretch r;
    const auto v = verdicts(pieces);
    const auto edge = [&](std::size_t i) { return share_of(pieces, i); };
    std::size_t first = v.size(), last = 0;  // of the present stretch
    const auto close = [&] {
        if (first >= v.size()) return;
        const Seconds from = first == 0 ? Seconds{0} : pieces[first].at - edge(first) / 2;
        const Seconds to = last + 1 == v.size() ? duration : pieces[last].at + edge(last) / 2;
        if (to - from > r.used.second - r.used.first) r.used = {from, to};
    };
    for (std::size_t i = 0; i < v.size(); ++i) {
        if (!v[i].locked) continue;
        if (first < v.size() && pieces[i].at - pieces[last].at > longest_gap) {
            close();
            first = v.size();
        }
        if (first >= v.size()) first = i;
        last = i;
    }
    close();
    const auto alive = [](const PieceVerdict& p) { return p.alive; };
    const auto on = std::find_if(v.begin(), v.end(), alive);
    const auto off = std::find_if(v.rbegin(), v.rend(), alive);
    if (on == v.end()) return r;
    const auto i = static_cast<std::size_t>(on - v.begin());
    const auto j = v.size() - 1 - static_cast<std::size_t>(off - v.rbegin());
    if (pieces[i].at > longest_gap) r.starts = pieces[i].at - edge(i) / 2;
    if (duration - pieces[j].at > longest_gap) r.stops = pieces[j].at + edge(j) / 2;
    return r;
}

}  // namespace cranknote::speed_detail
