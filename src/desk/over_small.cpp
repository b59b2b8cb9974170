// Help, cautions, adding a file, what was seen, the note: what is said and asked in a few lines.
#include "desk/frame.hpp"
#include "desk/keys.hpp"
#include "desk/next_state.hpp"
#include "layout/kinematics.hpp"

namespace cranknote::desk {

void over_help(Frame& f) {
    auto& ui = f.ui;
    const float left = ui.px(210);
    for (const auto& k : key_texts()) {
        const auto at = ImGui::GetCursorScreenPos();
        ui.line(at, k.keys, strong);
        ImGui::SetCursorScreenPos({at.x + left, at.y});
        ui.say(k.does, body);
    }
    ui.gap(8);
    ui.say(
        "The drawing shows the engine's front. A ring and a number on a part say how much it is suspected. "
        "Pointing at a part lights its lines in the sound, pointing at a finding lights the parts that make "
        "such a sound.",
        small);
    over_buttons(f, "Good", nullptr);
}

void over_caution(Frame& f) {
    f.ui.say(f.view.caution, body);
    over_buttons(f, "Understood", nullptr);
}

void over_add(Frame& f) {
    auto& ui = f.ui;
    ui.say("To the state: " + name_of(f.view.next, f.scene) + ".", body);
    ui.say("Or drop files on the window: on a state they go to that state.", small);
    ui.gap(10);
    field(f, "file", "The file's name", f.view.saw_text, true);
    if (over_buttons(f, "Add it", "Not now", !f.view.saw_text.empty())) {
        f.out.push_back(ask::AddFiles{{f.view.saw_text}, f.view.next, std::nullopt});
        f.view.saw_text.clear();
    }
}

void over_saw(Frame& f) {
    auto& ui = f.ui;
    auto& v = f.view;
    ui.say("On: " + v.saw_on, strong);
    ui.gap(8);
    field(f, "saw", "What is to be seen or felt there", v.saw_text, true);
    ui.say("As the cause of the noise, this speaks", small);
    if (ui.toggle("for", "for it", v.saw_for)) v.saw_for = true;
    ImGui::SameLine(0, ui.px(8));
    if (ui.toggle("against", "against it", !v.saw_for)) v.saw_for = false;
    if (over_buttons(f, "Write it down", "Not now", !v.saw_text.empty())) {
        f.out.push_back(ask::Saw{v.saw_text, v.saw_on, v.saw_for});
        v.saw_text.clear();
    }
}

void over_note(Frame& f) {
    f.ui.say(
        "States, pictures, sound clips, the conclusion and how sure it is, for the car's owner. It is kept "
        "in "
        "the job's folder, under notes.",
        body);
    if (over_buttons(f, "Write the note")) f.out.push_back(ask::WriteNote{});
}

}  // namespace cranknote::desk
