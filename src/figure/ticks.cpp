#include "figure/ticks.hpp"

#include <algorithm>
#include <cmath>

#include "figure/number_text.hpp"

namespace cranknote::figure {

namespace {

int decimals_for(double step) { return std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9))); }

std::vector<Tick> linear_ticks(double from, double to, int most) {
    const double step = tick_step(to - from, most);
    std::vector<Tick> ticks;
    const double slack = 1e-9 * (to - from);
    for (double k = std::ceil((from - slack) / step); k * step <= to + slack; k += 1.0)
        ticks.push_back({k * step + 0.0, number_text(k * step, decimals_for(step)), true});
    return ticks;
}

/// All of 1, 2, ..., 9 times powers of ten within; `with_text` says which of the digits are written.
std::vector<Tick> decade_ticks(double from, double to, const std::vector<int>& with_text, int every) {
    std::vector<Tick> ticks;
    const int first = static_cast<int>(std::floor(std::log10(from))),
              last = static_cast<int>(std::ceil(std::log10(to)));
    for (int decade = first; decade <= last; ++decade)
        for (int digit = 1; digit < 10; ++digit) {
            const double at = digit * std::pow(10.0, decade);
            if (at < from * (1.0 - 1e-9) || at > to * (1.0 + 1e-9)) continue;
            const bool written = std::find(with_text.begin(), with_text.end(), digit) != with_text.end() &&
                                 (digit != 1 || decade % every == 0);
            ticks.push_back({at, written ? short_number_text(at) : "", written});
        }
    return ticks;
}

long written(const std::vector<Tick>& ticks) {
    return std::count_if(ticks.begin(), ticks.end(), [](const Tick& t) { return !t.text.empty(); });
}

std::vector<Tick> log_ticks(double from, double to, int most) {
    if (to / from < 2.2) return linear_ticks(from, to, most);
    for (const auto& digits :
         {std::vector<int>{1, 2, 3, 4, 5, 6, 8}, std::vector<int>{1, 2, 5}, std::vector<int>{1, 3}}) {
        auto ticks = decade_ticks(from, to, digits, 1);
        if (written(ticks) <= most) return ticks;
    }
    int every = 1;
    while (written(decade_ticks(from, to, {1}, every)) > most && every < 64) ++every;
    return decade_ticks(from, to, {1}, every);
}

std::string suffix_of(Unit unit) {
    switch (unit) {
        case Unit::decibel:
        case Unit::change_decibel:
            return "\u00a0dB";
        case Unit::seconds:
            return "\u00a0s";
        case Unit::rpm:
            return "\u00a0rpm";
        case Unit::percent:
            return "\u00a0%";
        case Unit::millimetres:
            return "\u00a0mm";
        default:
            return "";
    }
}

}  // namespace

void name_ticks(std::vector<Tick>& ticks, Unit unit) {
    Tick* last = nullptr;
    for (auto& tick : ticks) {
        if (tick.text.empty()) continue;
        last = &tick;
        if (unit == Unit::ratio) tick.text += "\u00d7";
        if (unit == Unit::hertz)
            tick.text = tick.at >= 1000.0 ? short_number_text(tick.at / 1000.0) + "\u00a0kHz"
                                          : tick.text + "\u00a0Hz";
        if (unit == Unit::change_decibel && tick.at > 0.0) tick.text = std::string("+").append(tick.text);
    }
    if (last) last->text += suffix_of(unit);
}

double tick_step(double span, int most) {
    const double least = span / std::max(1, most);
    const double power = std::pow(10.0, std::floor(std::log10(least)));
    for (const double step : {1.0, 2.0, 5.0})
        if (step * power >= least * (1.0 - 1e-9)) return step * power;
    return 10.0 * power;
}

std::vector<Tick> ticks_for(Scale scale, double from, double to, int most) {
    if (!std::isfinite(from) || !std::isfinite(to) || !(from < to)) return {};
    if (scale == Scale::linear) return linear_ticks(from, to, most);
    return from > 0.0 ? log_ticks(from, to, most) : std::vector<Tick>{};
}

}  // namespace cranknote::figure
