// What lies over the sheet: one thing at a time, in the middle, everything else dimmed.
#include <GLFW/glfw3.h>
#include <imgui.h>

#include <algorithm>

#include "desk/frame.hpp"
// Needs what comes before it.
#include <imgui_stdlib.h>

namespace cranknote::desk {

namespace {

struct Shape {
    const char* title;
    double width, height;  ///< wished, at scale 1; height 0: as high as its content
    void (*content)(Frame&);
};

Shape shape_of(Over over) {
    switch (over) {
        case Over::help:
            return {"By keyboard", 760, 0, over_help};
        case Over::new_job:
            return {"A new job", 760, 0, over_new_job};
        case Over::layout:
            return {"What turns on this engine", 1180, 900, over_layout};
        case Over::record:
            return {"Record", 760, 0, over_record};
        case Over::add:
            return {"Add a file", 640, 0, over_add};
        case Over::saw:
            return {"What eyes and hands found", 640, 0, over_saw};
        case Over::near:
            return {"Microphone near", 760, 0, over_near};
        case Over::reading:
            return {"What was measured", 640, 0, over_reading};
        case Over::note:
            return {"The repair note", 640, 0, over_note};
        case Over::caution:
            return {"Never run it like that", 560, 0, over_caution};
        case Over::nothing:
        case Over::start:
        case Over::leave:
            break;
    }
    return {"", 0, 0, nullptr};
}

}  // namespace

bool over_buttons(Frame& f, const char* yes, const char* no, bool can, bool stays) {
    auto& ui = f.ui;
    ui.gap(18);
    bool done = ui.button("yes", yes, Press::act, 0, "Enter", can);
    // Not the press that brought this over the sheet.
    const bool enter = !ImGui::IsWindowAppearing() && (ImGui::IsKeyPressed(GLFW_KEY_ENTER, false) ||
                                                       ImGui::IsKeyPressed(GLFW_KEY_KP_ENTER, false));
    if (enter && can) done = true;
    bool leave = false;
    if (no) {
        ImGui::SameLine(0, ui.px(10));
        leave = ui.button("no", no, Press::quiet, 0, "Esc");
    }
    if ((done && !stays) || leave) f.view.over = Over::nothing;
    return done;
}

bool field(Frame& f, const char* id, const std::string& label, std::string& text, bool first, float width) {
    auto& ui = f.ui;
    ui.say(label, small);
    ImGui::SetNextItemWidth(width);
    if (first && ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
    const bool changed = ImGui::InputText((std::string("##") + id).c_str(), &text);
    ui.note(id, ImGui::GetItemRectMin(), ImGui::GetItemRectMax());
    ui.gap(8);
    return changed;
}

void draw_overlay(Frame& f) {
    auto& view = f.view;
    const auto shape = shape_of(view.over);
    if (!shape.content) return;
    const char* name = "over the sheet";
    if (!ImGui::IsPopupOpen(name)) ImGui::OpenPopup(name);
    auto& ui = f.ui;
    const auto screen = ImGui::GetIO().DisplaySize;
    const float margin = ui.px(20);
    const float width = std::min(ui.px(shape.width), screen.x - margin);
    const float most = screen.y - margin;
    ImGui::SetNextWindowPos({screen.x / 2.0f, screen.y / 2.0f}, ImGuiCond_Always, {0.5f, 0.5f});
    const float height = shape.height > 0.0 ? std::min(ui.px(shape.height), most) : 0.0f;
    ImGui::SetNextWindowSizeConstraints({width, height}, {width, height > 0.0f ? height : most});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(28), ui.px(24)});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, ui.px(12));
    const bool open = ImGui::BeginPopupModal(name, nullptr,
                                             ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize |
                                                 ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                                                 ImGuiWindowFlags_AlwaysAutoResize);
    ImGui::PopStyleVar(2);
    if (!open) return;
    ui.say(shape.title, head);
    ui.gap(12);
    shape.content(f);
    if (!ImGui::IsWindowAppearing() && ImGui::IsKeyPressed(GLFW_KEY_ESCAPE, false)) view.over = Over::nothing;
    if (view.over == Over::nothing) ImGui::CloseCurrentPopup();
    ImGui::EndPopup();
}

}  // namespace cranknote::desk
