// The engine's front. A click takes a part off in the state that is recorded next, or puts it back on.
#include <cmath>

#include "desk/crowded.hpp"
#include "desk/frame.hpp"
#include "desk/next_state.hpp"
#include "figure/number_text.hpp"
#include "layout/kinematics.hpp"
#include "note/sentences.hpp"

namespace cranknote::desk {

namespace {

/// What a click would do to the thing below the pointer.
std::string hint(const Frame& f) {
    const auto& view = f.view;
    const auto drawn = drawn_state(f.scene, view);
    if (view.lit_part.empty()) {
        if (view.shown) return "Shown as it was recorded. Click a part to plan the next recording.";
        return drawn.off.empty() ? "Everything is on. Click a part, belt or cover to take it off."
                                 : "Off: " + listed({drawn.off.begin(), drawn.off.end()}) + ".";
    }
    std::string text = view.lit_part;
    if (const auto turns = turns_of(f.scene.layout, view.lit_part))
        text += ", " + ratio_text(turns->value) + " (" + turns_source(f.scene.layout, view.lit_part) + ")";
    if (drawn.off.contains(view.lit_part)) return text + ". Click: back on.";
    if (drawn.still.contains(view.lit_part)) return text + ". It stands still.";
    return text + ". Click: take it off.";
}

void click(Frame& f, const std::string& name) {
    f.view.shown.reset();
    if (const auto refused = take_off_or_refit(f.view.next, f.scene.layout, name)) {
        f.view.caution = *refused;
        f.view.over = Over::caution;
    }
}

/// For tests: a place at which each thing of the drawing can be pressed.
void note_parts(Frame& f, const figure::LaidOut& laid, ImVec2 from) {
    for (const auto& t : laid.targets)
        for (std::size_t i = 0; i < t.points.size(); i += 1 + t.points.size() / 24) {
            const auto& p = t.points[i];
            // The library's pointer stands at whole pixels.
            const ImVec2 at{std::floor(from.x + static_cast<float>(p.x)),
                            std::floor(from.y + static_cast<float>(p.y))};
            const auto* top = figure::under(laid, {at.x - from.x, at.y - from.y}, f.ui.px(8));
            if (!top || top->id != t.id) continue;
            f.ui.note("part " + t.id, at, at);
            break;
        }
}

/// Which state is drawn: what it is in small type, its name below.
void title(Frame& f, ImVec2 at, float room) {
    auto& ui = f.ui;
    const bool shown = f.view.shown && *f.view.shown < f.scene.states.size();
    ui.name_line(at, shown ? "The engine as recorded" : "The engine, next recording", small, room);
    ui.name_line({at.x, at.y + ui.px(19)},
                 shown ? f.scene.states[*f.view.shown].name : name_of(f.view.next, f.scene), lead, room);
}

}  // namespace

void draw_engine(Frame& f) {
    const auto& box = f.places.engine;
    if (box.width() <= 0.0) return;
    auto& ui = f.ui;
    const Region region("engine", box, ui, 16.0, Tone::paper, false);
    const float top = ui.px(12), line = ui.px(touch);
    const ImVec2 at{static_cast<float>(box.x0) + ui.px(20), static_cast<float>(box.y0) + top};
    const bool shared = f.places.kind == Arrangement::Kind::shared;
    const float right = static_cast<float>(box.x1) - ui.px(16);
    const float layout_width = ui.button_width("Layout");
    const float swap_width = shared ? ui.button_width("Sound") + ui.px(8) : 0.0f;
    title(f, at, right - at.x - layout_width - swap_width - ui.px(16));
    ImGui::SetCursorScreenPos({right - layout_width - swap_width, at.y});
    if (ui.button("layout", "Layout", Press::quiet)) {
        f.view.draft = {};
        f.view.over = Over::layout;
    }
    if (shared) {
        ImGui::SameLine(0, ui.px(8));
        if (ui.button("to sound", "Sound", Press::plain)) f.view.engine_in_middle = false;
    }
    const float foot = ui.px(44);
    const ImVec2 from{static_cast<float>(box.x0) + ui.px(8), at.y + line + ui.px(4)};
    const figure::Size size{box.width() - ui.px(16), box.y1 - from.y - foot};
    if (size.width < 60.0 || size.height < 60.0) return;
    const auto& laid = f.pictures.engine(f.scene, f.texts, f.view, ui.look, size);
    ImGui::SetCursorScreenPos(from);
    const bool pressed =
        ImGui::InvisibleButton("drawing", {static_cast<float>(size.width), static_cast<float>(size.height)});
    const bool hovered = ImGui::IsItemHovered();
    ui.note("drawing", from,
            {from.x + static_cast<float>(size.width), from.y + static_cast<float>(size.height)});
    ImguiPainter painter(*ImGui::GetWindowDrawList(), from, ui.look);
    figure::paint(laid, painter, false);
    const auto mouse = ImGui::GetMousePos();
    const figure::Target* target =
        hovered ? figure::under(laid, {mouse.x - from.x, mouse.y - from.y}, ui.px(8)) : nullptr;
    if (hovered || ImGui::IsMouseClicked(0)) f.view.lit_part = target ? target->id : "";
    if (target) ImGui::SetMouseCursor(ImGuiMouseCursor_Hand);
    if (pressed && target) click(f, target->id);
    if (ui.notes()) note_parts(f, laid, from);
    if (ui.notes())
        for (const auto& text : crowded(laid)) ui.note_cut(text);
    const float y = static_cast<float>(box.y1) - foot + ui.px(2);
    const float taken = ui.line({at.x, y}, hint(f), in(small, Tone::text), right - at.x);
    const std::string view = "Seen from the front, to scale.";
    const float wide = ui.measure(view, small).x;
    if (at.x + taken + ui.px(24) + wide < right) ui.line({right - wide, y}, view, small);
}

}  // namespace cranknote::desk
