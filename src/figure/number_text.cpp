#include "figure/number_text.hpp"

#include <fmt/format.h>

#include <cmath>

namespace cranknote {

namespace {

constexpr const char* minus = "\u2212";
constexpr const char* times = "\u00d7";
constexpr const char* dash = "\u2013";
constexpr const char* space = "\u00a0";  // no-break: a number and its unit stay on one line

/// Digits of |value|, empty when not finite.
std::string digits_of(double value, int decimals) {
    return std::isfinite(value) ? fmt::format("{:.{}f}", std::abs(value), decimals) : std::string();
}

bool all_zero(const std::string& digits) { return digits.find_first_of("123456789") == std::string::npos; }

}  // namespace

std::string number_text(double value, int decimals) {
    const auto digits = digits_of(value, decimals);
    if (digits.empty()) return not_known;
    return value < 0 && !all_zero(digits) ? minus + digits : digits;
}

std::string signed_text(double value, int decimals) {
    const auto digits = digits_of(value, decimals);
    if (digits.empty()) return not_known;
    if (all_zero(digits)) return digits;
    return (value < 0 ? minus : "+") + digits;
}

std::string short_number_text(double value, int digits) {
    if (!std::isfinite(value)) return not_known;
    const int whole = value == 0 ? 1 : static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
    auto text = number_text(value, std::max(0, digits - std::max(whole, 1)));
    if (text.find('.') == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

std::string ratio_text(Ratio ratio) {
    const double r = std::abs(ratio.value());
    return number_text(ratio.value(), r < 9.995 ? 2 : r < 99.95 ? 1 : 0) + times;
}

std::string hertz_text(Hertz f) {
    if (std::abs(f.value()) >= 999.5) return number_text(f.value() / 1000.0, 2) + space + "kHz";
    return number_text(f.value(), std::abs(f.value()) < 99.95 ? 1 : 0) + space + "Hz";
}

std::string hertz_text(std::pair<Hertz, Hertz> band) {
    const bool kilo = band.second.value() >= 999.5;
    const double unit = kilo ? 1000.0 : 1.0;
    const int decimals = kilo ? (band.second.value() < 9995 ? 2 : 1) : (band.second.value() < 99.95 ? 1 : 0);
    const auto low = number_text(band.first.value() / unit, decimals);
    const auto high = number_text(band.second.value() / unit, decimals);
    const std::string name = kilo ? "kHz" : "Hz";
    return low == high ? low + space + name : low + dash + high + space + name;
}

std::string rpm_text(Rpm n) { return number_text(n.value(), 0) + space + "rpm"; }
std::string level_text(Decibel level) { return number_text(level.value(), 1) + space + "dB"; }
std::string change_text(Decibel change) { return signed_text(change.value(), 1) + space + "dB"; }

std::string probability_text(double probability) {
    if (!std::isfinite(probability)) return not_known;
    if (probability < 0.01) return std::string("under") + space + "1" + space + "%";
    if (probability > 0.99) return std::string("over") + space + "99" + space + "%";
    return number_text(100.0 * probability, 0) + space + "%";
}

std::string seconds_text(Seconds t) {
    if (!std::isfinite(t.value())) return not_known;
    if (std::abs(t.value()) < 119.95) return number_text(t.value(), 1) + space + "s";
    const auto whole = static_cast<long long>(std::llround(t.value()));
    return fmt::format("{}{}min{}{:02d}{}s", whole / 60, space, space, std::abs(whole % 60), space);
}

}  // namespace cranknote
