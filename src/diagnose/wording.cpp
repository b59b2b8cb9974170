#include "diagnose/wording.hpp"

#include <array>
#include <charconv>

namespace cranknote::wording {

std::string fixed_text(double value, int decimals) {
    std::array<char, 64> text{};
    const auto end =
        std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, decimals);
    return end.ec == std::errc{} ? std::string(text.data(), end.ptr) : "?";
}

std::string written(Ratio ratio) { return fixed_text(ratio.value(), 2) + "×"; }

std::string percent_text(double probability) { return fixed_text(100.0 * probability, 0) + " %"; }

std::string hertz_text(Hertz f) {
    return f.value() >= 1000.0 ? fixed_text(f.value() / 1000.0, 1) + " kHz"
                               : fixed_text(f.value(), 0) + " Hz";
}

std::string joined(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return text;
}

}  // namespace cranknote::wording
