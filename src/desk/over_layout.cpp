// The layout: every part's teeth, diameter or counted turns beside the drawing, the ratio following at once.
#include <algorithm>

#include "desk/crowded.hpp"
#include "desk/frame.hpp"
#include "desk/layout_draft.hpp"

namespace cranknote::desk {

namespace {

void begin(Frame& f) {
    auto& d = f.view.draft;
    d = LayoutDraft{};
    d.layout = f.scene.layout;
    d.begun = true;
    d.changes = f.scene.serial;
    for (const auto& p : d.layout.parts) {
        d.names.push_back(p.name);
        d.ratios.push_back(ratio_word(d.layout, p.name));
    }
    if (!d.names.empty()) choose_part(d, d.names.front());
}

void changed(LayoutDraft& d) {
    d.trouble = enter_fields(d.layout, d.part, d.fields);
    if (d.trouble.empty()) d.trouble = trouble_of(d.layout);
    d.sentence = ratio_sentence(d.layout, d.part);
    for (std::size_t i = 0; i < d.names.size(); ++i) d.ratios[i] = ratio_word(d.layout, d.names[i]);
    ++d.changes;
    d.edited = true;
}

void part_row(Frame& f, std::size_t i) {
    auto& ui = f.ui;
    auto& d = f.view.draft;
    const auto a = ui.area("draft " + d.names[i], ui.px(touch), d.part == d.names[i]);
    const float y = a.from.y + ui.px(12);
    const auto ratio = ui.measure(d.ratios[i], small);
    ui.name_line({a.from.x + ui.px(12), y}, d.names[i], body, a.to.x - a.from.x - ratio.x - ui.px(36));
    ui.line({a.to.x - ui.px(12) - ratio.x, y + ui.px(2)}, d.ratios[i], small);
    if (a.pressed) choose_part(d, d.names[i]);
}

/// Two short fields side by side.
bool pair_of_fields(Frame& f, const char* id_a, const std::string& label_a, std::string& a, const char* id_b,
                    const std::string& label_b, std::string& b) {
    const float half = (ImGui::GetContentRegionAvail().x - f.ui.px(12)) / 2.0f;
    bool change = false;
    ImGui::BeginGroup();
    ImGui::PushItemWidth(half);
    change = field(f, id_a, label_a, a, false, half) || change;
    ImGui::PopItemWidth();
    ImGui::EndGroup();
    ImGui::SameLine(0, f.ui.px(12));
    ImGui::BeginGroup();
    change = field(f, id_b, label_b, b, false, half) || change;
    ImGui::EndGroup();
    return change;
}

void part_fields(Frame& f) {
    auto& ui = f.ui;
    auto& d = f.view.draft;
    if (d.part.empty()) return;
    ui.say(d.part, lead);
    ui.gap(6);
    bool change = pair_of_fields(f, "teeth", "Teeth, counted", d.fields.teeth, "diameter",
                                 "Diameter across, mm", d.fields.diameter);
    ui.say("Or turn it by hand and count; this beats any tape.", small);
    change = pair_of_fields(f, "crank turns", "So many crank turns", d.fields.crank_turns, "part turns",
                            "make so many of it", d.fields.part_turns) ||
             change;
    if (change) changed(d);
    ui.say(d.sentence, body);
    if (!d.trouble.empty()) ui.say(d.trouble, in(body, Tone::warn_text));
}

void drawing(Frame& f) {
    auto& ui = f.ui;
    const auto room = ImGui::GetContentRegionAvail();
    if (room.x < ui.px(160) || room.y < ui.px(160)) return;
    const auto from = ImGui::GetCursorScreenPos();
    const auto& laid = f.pictures.draft(f.view, ui.look, {room.x, room.y});
    const bool pressed = ImGui::InvisibleButton("draft drawing", room);
    const auto mouse = ImGui::GetMousePos();
    ImguiPainter painter(*ImGui::GetWindowDrawList(), from, ui.look);
    figure::paint(laid, painter, false);
    if (ui.notes())
        for (const auto& text : crowded(laid)) ui.note_cut(text);
    if (!pressed) return;
    const auto* target = figure::under(laid, {mouse.x - from.x, mouse.y - from.y}, ui.px(8));
    if (target && std::ranges::find(f.view.draft.names, target->id) != f.view.draft.names.end())
        choose_part(f.view.draft, target->id);
}

}  // namespace

void choose_part(LayoutDraft& d, const std::string& name) {
    const auto* part = d.layout.part(name);
    if (!part) return;
    d.part = name;
    d.fields = fields_of(*part);
    d.sentence = ratio_sentence(d.layout, name);
    ++d.changes;
}

void over_layout(Frame& f) {
    auto& ui = f.ui;
    auto& d = f.view.draft;
    if (!d.begun) begin(f);
    const auto room = ImGui::GetContentRegionAvail();
    const float below = ui.px(touch + 34), height = std::max(ui.px(180), room.y - below);
    const bool narrow = room.x / ui.look.scale < 1000.0;  // no room for the drawing and its names
    const float list = narrow ? room.x * 0.42f : ui.px(290),
                fields = narrow ? room.x - list - ui.px(20) : ui.px(360);
    ImGui::BeginChild("draft parts", {list, height});
    for (std::size_t i = 0; i < d.names.size(); ++i) part_row(f, i);
    ImGui::EndChild();
    ImGui::SameLine(0, ui.px(20));
    ImGui::BeginChild("draft fields", {fields, height});
    part_fields(f);
    ImGui::EndChild();
    if (!narrow) {
        ImGui::SameLine(0, ui.px(20));
        ImGui::BeginChild("draft picture", {0, height});
        drawing(f);
        ImGui::EndChild();
    }
    const bool can = d.edited && d.trouble.empty() && f.scene.read_only.empty();
    if (over_buttons(f, "Keep the layout", "Not now", can))
        f.out.push_back(ask::KeepLayout{to_toml(d.layout)});
}

}  // namespace cranknote::desk
