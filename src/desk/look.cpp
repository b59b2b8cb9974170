#include "desk/look.hpp"

#include <algorithm>
#include <cmath>

namespace cranknote::desk {

namespace {

using figure::Colour;
using figure::colour_of;

struct Pair {
    std::uint32_t light, dark;
};

/// Blue and vermillion are Okabe and Ito's, darkened where white text stands on them.
Pair pair_of(Tone tone) {
    switch (tone) {
        case Tone::paper:
            return {0xFFFFFF, 0x16191C};
        case Tone::tint:
            return {0xF2F3F1, 0x1D2125};
        case Tone::line:
            return {0xD9DCDA, 0x363C42};
        case Tone::text:
            return {0x1B1E22, 0xECEEF0};
        case Tone::faint:
            return {0x565C62, 0xA9AFB6};
        case Tone::act:
            return {0x0067A3, 0x56B4E9};
        case Tone::on_act:
            return {0xFFFFFF, 0x10151A};
        case Tone::warn:
            return {0xA84800, 0xF07F2B};
        case Tone::on_warn:
            return {0xFFFFFF, 0x10151A};
        case Tone::warn_text:
            return {0xA04400, 0xFF9A52};
        case Tone::good_text:
            return {0x00694D, 0x35CFA2};
        case Tone::hover:
            return {0xE8EBEA, 0x2A3036};
        case Tone::chosen:
            return {0xDFEBF3, 0x20364A};
    }
    return {0, 0};
}

ImVec4 vec(Colour c) {
    return {static_cast<float>(c.red), static_cast<float>(c.green), static_cast<float>(c.blue),
            static_cast<float>(c.alpha)};
}

}  // namespace

figure::Colour Look::colour(Tone tone) const {
    const auto pair = pair_of(tone);
    return colour_of(theme.mode == figure::Mode::light ? pair.light : pair.dark);
}

ImU32 Look::ink(Tone tone) const { return packed(colour(tone)); }

float Cut::line_for(double wanted) const {
    return std::abs(wanted - size) < 0.6 ? font->FontSize
                                         : static_cast<float>(wanted / size) * font->FontSize;
}

const Cut* Look::cut(double size, figure::Weight weight) const {
    const Cut* best = nullptr;
    const auto distance = [&](const Cut& c) {
        return (c.weight == weight ? 0.0 : 1000.0) + std::abs(c.size - size) - (c.size > size ? 1e-3 : 0.0);
    };
    for (const auto& cut : cuts)
        if (!best || distance(cut) < distance(*best)) best = &cut;
    return best;
}

Look make_look(figure::Mode mode, double scale) {
    Look look;
    look.scale = std::clamp(scale, 0.5, 3.0);
    look.theme.mode = mode;
    look.theme.scale = look.scale * figure_scale;
    return look;
}

ImU32 packed(figure::Colour c) {
    const auto byte = [](double v) {
        return static_cast<ImU32>(std::lround(std::clamp(v, 0.0, 1.0) * 255.0));
    };
    return IM_COL32(byte(c.red), byte(c.green), byte(c.blue), byte(c.alpha));
}

void apply_style(const Look& look) {
    auto& style = ImGui::GetStyle();
    style = ImGuiStyle{};
    style.WindowRounding = style.ChildRounding = 0.0f;
    style.WindowBorderSize = style.ChildBorderSize = 0.0f;
    style.PopupRounding = look.px(8);
    style.PopupBorderSize = look.px(1);
    style.FrameRounding = look.px(6);
    style.FramePadding = {look.px(12), look.px(11)};
    style.ItemSpacing = {look.px(10), look.px(8)};
    style.WindowPadding = {0, 0};
    style.ScrollbarSize = look.px(14);
    style.ScrollbarRounding = look.px(7);
    style.AntiAliasedLinesUseTex = false;  // thin lines of any width come out alike
    auto set = [&](ImGuiCol which, Tone tone) { style.Colors[which] = vec(look.colour(tone)); };
    set(ImGuiCol_Text, Tone::text);
    set(ImGuiCol_TextDisabled, Tone::faint);
    set(ImGuiCol_WindowBg, Tone::paper);
    set(ImGuiCol_PopupBg, Tone::paper);
    set(ImGuiCol_Border, Tone::line);
    set(ImGuiCol_FrameBg, Tone::tint);
    set(ImGuiCol_FrameBgHovered, Tone::hover);
    set(ImGuiCol_FrameBgActive, Tone::hover);
    set(ImGuiCol_ScrollbarGrab, Tone::line);
    set(ImGuiCol_ScrollbarGrabHovered, Tone::faint);
    set(ImGuiCol_ScrollbarGrabActive, Tone::faint);
    set(ImGuiCol_TextSelectedBg, Tone::chosen);
    set(ImGuiCol_NavHighlight, Tone::act);
    style.Colors[ImGuiCol_ChildBg] = style.Colors[ImGuiCol_ScrollbarBg] = {0, 0, 0, 0};
    style.Colors[ImGuiCol_ModalWindowDimBg] = {0, 0, 0, 0.45f};
}

}  // namespace cranknote::desk
