#include "compare/range.hpp"

#include <algorithm>
#include <cstdio>

namespace cranknote {

std::string plain_number(double value, int digits) {
    char buffer[40];
    std::snprintf(buffer, sizeof buffer, "%.*f", digits, std::abs(value));
    std::string s = buffer;
    if (value < 0.0 && s.find_first_of("123456789") != s.npos) s.insert(0, "\u2212");
    std::replace(s.begin(), s.end(), ',', '.');
    return s;
}

CommonRange common_range(const std::vector<Take>& a, const std::vector<Take>& b, Comparable& c) {
    CommonRange r{Hertz{20}, Hertz{1e6}, 0.5, 1e6};
    for (const auto* side : {&a, &b})
        for (const auto& t : *side) {
            r.low = std::max(r.low, t.portrait->hz_low), r.high = std::min(r.high, t.portrait->hz_high);
            const auto& tones = t.portrait->tones_ratio;
            if (!t.portrait->has_speed()) {
                r.ratio_high = 0.0;
            } else {
                const double turns = t.portrait->speed.mean->value() / 60.0;
                r.ratio_high =
                    std::min({r.ratio_high, static_cast<double>(tones.power.size()) * tones.step / 1.02,
                              t.portrait->hz_high.value() / turns});
                r.ratio_low = std::max(r.ratio_low, t.portrait->hz_low.value() / turns);
            }
        }
    if (r.high > r.low) c.hz = {r.low, r.high};
    if (r.ratio_high > r.ratio_low) {
        c.ratio = {Ratio{r.ratio_low}, Ratio{r.ratio_high}};
    } else {
        r.ratio_low = r.ratio_high = 0.0;
        c.why.push_back(
            "Crank speed is not known on both sides: nothing can be compared by ratio. Enter it (--rpm "
            "820~40).");
    }
    if (c.hz && r.high.value() < 9000.0)
        c.why.push_back("Nothing above " + plain_number(r.high.value() / 1000.0, 1) +
                        " kHz is compared: one of the recordings does not hold it.");
    return r;
}

Alignment align_takes(const std::vector<Take>& a, const std::vector<Take>& b, const CommonRange& range,
                      bool same_placement) {
    std::vector<const Portrait*> pa, pb;
    for (const auto& t : a) pa.push_back(t.portrait);
    for (const auto& t : b) pb.push_back(t.portrait);
    return align(pa, pb, range.low, range.high > range.low ? range.high : Hertz{8000}, same_placement);
}

}  // namespace cranknote
