#include "desk/draw.hpp"

#include "desk/keys.hpp"

namespace cranknote::desk {

Region::Region(const char* name, const figure::Box& box, const Ui& ui, double inset, Tone ground,
               bool scrolls) {
    ImGui::SetCursorScreenPos({static_cast<float>(box.x0), static_cast<float>(box.y0)});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(inset), 0.0f});
    ImGui::PushStyleColor(ImGuiCol_ChildBg, ui.ink(ground));
    const ImGuiWindowFlags still = ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse;
    ImGui::BeginChild(name, {static_cast<float>(box.width()), static_cast<float>(box.height())}, false,
                      ImGuiWindowFlags_AlwaysUseWindowPadding | (scrolls ? 0 : still));
    ImGui::PopStyleColor();
    ImGui::PopStyleVar();
}

Region::~Region() { ImGui::EndChild(); }

Commands draw(ViewState& view, const Scene& scene, const Texts& texts, const Busy& busy, const Live& live,
              const std::vector<Preset>& presets, const std::vector<std::string>& recent, Pictures& pictures,
              Ui& ui) {
    Commands out;
    const auto size = ImGui::GetIO().DisplaySize;
    Frame f{scene,
            busy,
            texts,
            live,
            presets,
            recent,
            pictures,
            view,
            ui,
            out,
            arrange({size.x, size.y}, ui.look.scale, view)};
    // On the sheet every key has its own meaning; over it the arrows move and the space bar presses.
    auto& flags = ImGui::GetIO().ConfigFlags;
    flags = view.over == Over::nothing ? flags & ~ImGuiConfigFlags_NavEnableKeyboard
                                       : flags | ImGuiConfigFlags_NavEnableKeyboard;
    ImGui::SetNextWindowPos({0, 0});
    ImGui::SetNextWindowSize(size);
    const Font font(ui.look, body);
    ImGui::Begin("sheet", nullptr,
                 ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                     ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_NoScrollWithMouse);
    if (scene.open) {
        act_on_keys(f);
        draw_head(f);
        draw_day(f);
        draw_engine(f);
        draw_sound(f);
        draw_answers(f);
        draw_foot(f);
    } else {
        draw_start(f);
    }
    draw_overlay(f);
    ImGui::End();
    return out;
}

}  // namespace cranknote::desk
