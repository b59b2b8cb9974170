// A layout from a stranger: whatever the bytes, it is read or refused by cranknote::Error; and what was read
// can be computed with and written so that it is read again.
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <string_view>

#include "layout/kinematics.hpp"
#include "layout/layout.hpp"

using namespace cranknote;

namespace {

void require(bool holds) {
    if (!holds) std::abort();
}

bool sound(const UncertainRatio& r) {
    return r.value.value() > 0.0 && r.relative_error >= 0.0 && r.creep >= 0.0 && r.low() <= r.value &&
           r.value <= r.high();
}

void use(const Layout& layout) {
    for (const auto& line : predicted_lines(layout)) require(sound(line.ratio));
    for (const auto& name : names_of(layout)) static_cast<void>(nearest_name(name, {"alternator", name}));
    for (const auto& d : layout.drives) require(still_when_off(layout, {d.name}).contains(d.name));
    for (const auto& p : layout.pulls) static_cast<void>(run_limit(layout, {p.name}));
    const auto text = to_toml(layout);
    require(to_toml(parse_layout(text, "again")) == text);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    Layout layout;
    try {
        layout = parse_layout(text, "fuzz");
    } catch (const Error& e) {
        require(std::strchr(e.what(), '\n') == nullptr);
        return 0;
    }
    use(layout);
    return 0;
}
