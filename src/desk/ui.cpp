#include "desk/ui.hpp"

#include <algorithm>

namespace cranknote::desk {

namespace {

const Cut& cut_of(const Look& look, Type type) { return *look.cut(type.size * look.scale, type.weight); }

ImDrawList& page() { return *ImGui::GetWindowDrawList(); }

struct Colours {
    Tone fill, text;
    bool filled, framed;
};

Colours colours_of(Press press) {
    switch (press) {
        case Press::act:
            return {Tone::act, Tone::on_act, true, false};
        case Press::warn:
            return {Tone::warn, Tone::on_warn, true, false};
        case Press::plain:
            return {Tone::paper, Tone::text, false, true};
        case Press::quiet:
            return {Tone::paper, Tone::text, false, false};
    }
    return {};
}

}  // namespace

Font::Font(const Look& look, Type type) { ImGui::PushFont(cut_of(look, type).font); }
Font::~Font() { ImGui::PopFont(); }

ImVec2 Ui::measure(std::string_view text, Type type, float wrap) const {
    const auto& cut = cut_of(look, type);
    if (wrap <= 0.0f)
        return cut.font->CalcTextSizeA(cut.font->FontSize, 1e9f, 0.0f, text.data(),
                                       text.data() + text.size());
    ImVec2 size{0.0f, 0.0f};
    for (const auto& one : broken(text, type, wrap)) {
        size.x = std::max(size.x, measure(one, type).x);
        size.y += cut.font->FontSize;
    }
    return size;
}

std::vector<std::string> Ui::broken(std::string_view text, Type type, float wrap, std::size_t most) const {
    std::vector<std::string> lines;
    std::string now;
    while (!text.empty()) {
        const auto end = std::min(text.find(' '), text.size());
        const std::string word(text.substr(0, end));
        const std::string longer = now.empty() ? word : now + " " + word;
        if (!now.empty() && measure(longer, type).x > wrap) {
            if (lines.size() + 1 == most) {
                lines.push_back(elided(now + " " + std::string(text), type, wrap));
                return lines;
            }
            lines.push_back(now);
            now = word;
        } else {
            now = longer;
        }
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    if (!now.empty() || lines.empty()) lines.push_back(now);
    for (auto& one : lines)
        if (measure(one, type).x > wrap + 0.5f) one = elided(one, type, wrap);
    return lines;
}

void Ui::say(std::string_view text, Type type, float wrap) {
    const auto& cut = cut_of(look, type);
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float room = wrap > 0.0f ? wrap : std::max(px(40), ImGui::GetContentRegionAvail().x);
    const auto lines = broken(text, type, room);
    float width = 0.0f, y = at.y;
    for (const auto& one : lines) {
        page().AddText(cut.font, cut.font->FontSize, {std::floor(at.x), std::floor(y)}, ink(type.tone),
                       one.data(), one.data() + one.size());
        width = std::max(width, measure(one, type).x);
        y += cut.font->FontSize;
    }
    ImGui::Dummy({width, y - at.y});
}

std::string Ui::elided(std::string_view text, Type type, float room) const {
    std::string shown(text);
    while (!shown.empty() && measure(shown + "…", type).x > room) {
        shown.pop_back();
        while (!shown.empty() && (static_cast<unsigned char>(shown.back()) & 0xC0) == 0x80) shown.pop_back();
        if (!shown.empty() && static_cast<unsigned char>(shown.back()) >= 0xC0) shown.pop_back();
    }
    while (!shown.empty() && shown.back() == ' ') shown.pop_back();
    return shown + "…";
}

float Ui::line(ImVec2 at, std::string_view text, Type type, float room) {
    if (room > 0.0f && measure(text, type).x > room + 0.5f) note_cut(text);
    return name_line(at, text, type, room);
}

float Ui::name_line(ImVec2 at, std::string_view text, Type type, float room) {
    const auto& cut = cut_of(look, type);
    std::string kept;
    if (room > 0.0f && measure(text, type).x > room + 0.5f) text = kept = elided(text, type, room);
    page().AddText(cut.font, cut.font->FontSize, {std::floor(at.x), std::floor(at.y)}, ink(type.tone),
                   text.data(), text.data() + text.size());
    return measure(text, type).x;
}

float Ui::button_width(std::string_view label, std::string_view key) const {
    const float word = measure(label, {body_type, figure::Weight::medium, Tone::text}).x;
    return word + px(30) + (key.empty() ? 0.0f : measure(key, small).x + px(10));
}

bool Ui::button(std::string_view id, std::string_view label, Press press, float width, std::string_view key,
                bool enabled) {
    const float room = ImGui::GetContentRegionAvail().x;
    if (width <= 0.0f)
        width = width < 0.0f ? room : std::min(button_width(label, key), std::max(room, px(60)));
    const ImVec2 from = ImGui::GetCursorScreenPos();
    const ImVec2 size{std::max(width, px(touch)), px(touch)}, to{from.x + size.x, from.y + size.y};
    ImGui::PushID(id.data(), id.data() + id.size());
    const bool pressed = ImGui::InvisibleButton("press", size) && enabled;
    const bool hovered = ImGui::IsItemHovered() && enabled, held = ImGui::IsItemActive() && enabled;
    const bool focused = ImGui::IsItemFocused() && ImGui::GetIO().NavVisible;
    ImGui::PopID();
    if (hovered) ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
    note(id, from, to);
    auto c = colours_of(press);
    if (!enabled && c.filled) c = {Tone::hover, Tone::faint, true, false};
    const float round = px(7);
    if (c.filled)
        page().AddRectFilled(from, to,
                             packed(figure::mixed(look.colour(c.fill), look.colour(Tone::text),
                                                  held      ? 0.25
                                                  : hovered ? 0.12
                                                            : 0.0)),
                             round);
    else if (hovered || held)
        page().AddRectFilled(from, to, ink(Tone::hover), round);
    if (c.framed) page().AddRect(from, to, ink(focused ? Tone::act : Tone::line), round, 0, px(1.25));
    if (focused)
        page().AddRect({from.x - px(3), from.y - px(3)}, {to.x + px(3), to.y + px(3)}, ink(Tone::act),
                       round + px(3), 0, px(2));
    const Type type{body_type, figure::Weight::medium, enabled ? c.text : Tone::faint};
    const float hint = key.empty() ? 0.0f : measure(key, small).x + px(10);
    float inner = size.x - px(24) - hint;
    const auto text = measure(label, type);
    const float x = from.x + (size.x - std::min(text.x, inner) - hint) / 2.0f;
    line({x, from.y + (size.y - text.y) / 2.0f}, label, type, inner + px(6));
    if (!key.empty()) {
        const auto k = measure(key, small);
        const Type faint{small_type, figure::Weight::regular, c.filled ? c.text : Tone::faint};
        line({x + std::min(text.x, inner) + px(10), from.y + (size.y - k.y) / 2.0f}, key, faint);
    }
    return pressed;
}

bool Ui::toggle(std::string_view id, std::string_view label, bool on, float width) {
    const ImVec2 from = ImGui::GetCursorScreenPos();
    if (on) {
        const float w = width > 0.0f ? width : button_width(label);
        page().AddRectFilled(from, {from.x + w, from.y + px(touch)}, ink(Tone::chosen), px(7));
    }
    const bool pressed = button(id, label, Press::plain, width);
    if (on) {
        const ImVec2 low = ImGui::GetItemRectMin(), high = ImGui::GetItemRectMax();
        page().AddRect(low, high, ink(Tone::act), px(7), 0, px(2));
    }
    return pressed;
}

Ui::Area Ui::area(std::string_view id, float height, bool chosen, float width, float bleed) {
    Area a;
    if (width <= 0.0f) width = ImGui::GetContentRegionAvail().x;
    width += 2.0f * bleed;
    a.from = ImGui::GetCursorScreenPos();
    a.from.x -= bleed;
    ImGui::SetCursorScreenPos(a.from);
    a.to = {a.from.x + width, a.from.y + height};
    ImGui::PushID(id.data(), id.data() + id.size());
    a.pressed = ImGui::InvisibleButton("area", {width, height});
    a.hovered = ImGui::IsItemHovered();
    ImGui::SetItemAllowOverlap();
    ImGui::PopID();
    if (chosen || a.hovered)
        page().AddRectFilled(a.from, a.to, ink(chosen ? Tone::chosen : Tone::hover), px(8));
    if (a.hovered) ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
    note(id, a.from, a.to);
    return a;
}

void Ui::rule() {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    page().AddLine(at, {at.x + ImGui::GetContentRegionAvail().x, at.y}, ink(Tone::line), px(1));
    ImGui::Dummy({0.0f, px(1)});
}

void Ui::gap(double at_scale_1) {
    ImGui::Dummy({0.0f, std::max(0.0f, px(at_scale_1) - ImGui::GetStyle().ItemSpacing.y)});
}

void Ui::heading(std::string_view text) { say(text, lead); }

void Ui::bar(ImVec2 at, float width, float height, double share, ImU32 colour) const {
    const float round = height / 2.0f;
    page().AddRectFilled(at, {at.x + width, at.y + height}, ink(Tone::line), round);
    const float part = width * static_cast<float>(std::clamp(share, 0.0, 1.0));
    if (part > 0.5f) page().AddRectFilled(at, {at.x + std::max(part, height), at.y + height}, colour, round);
}

void Ui::note(std::string_view id, ImVec2 from, ImVec2 to) {
    if (places_) places_->items.push_back({std::string(id), {from.x, from.y, to.x, to.y}});
}

void Ui::note_cut(std::string_view text) {
    if (places_) places_->cut.emplace_back(text);
}

}  // namespace cranknote::desk
