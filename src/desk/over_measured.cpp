// What belongs to a recording besides its sound: where the microphone was held, and what was measured.
#include "desk/frame.hpp"
#include "desk/next_state.hpp"
#include "desk/reading_draft.hpp"

namespace cranknote::desk {

namespace {

/// Words to choose one of, as many on a line as fit. Returns the one pressed, or none.
std::optional<std::size_t> words(Frame& f, const char* id, const std::vector<std::string>& names,
                                 const std::string& chosen) {
    auto& ui = f.ui;
    const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
    std::optional<std::size_t> pressed;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (i > 0) ImGui::SameLine(0, ui.px(8));
        if (ImGui::GetCursorScreenPos().x + ui.button_width(names[i]) > right) ImGui::NewLine();
        if (ui.toggle(id + (" " + names[i]), names[i], names[i] == chosen)) pressed = i;
    }
    return pressed;
}

/// Whose reading it is: of the state that is looked at, else of the whole job.
void belongs(Frame& f) {
    auto& draft = f.view.reading;
    draft.recording.clear();
    std::string of = "the whole job";
    if (f.view.shown && *f.view.shown < f.scene.states.size()) {
        const auto& state = f.scene.states[*f.view.shown].name;
        for (const auto& r : f.scene.job.recordings)
            if (r.state == state) draft.recording = r.id;
        of = state;
    }
    f.ui.say("It is written down for " + of + ".", small);
}

}  // namespace

void over_near(Frame& f) {
    auto& ui = f.ui;
    auto& near = f.view.next.near;
    ui.say("Where is the microphone held in the next recording?", body);
    ui.say("Keep hands, leads and the phone a hand's breadth from everything that turns.",
           in(small, Tone::warn_text));
    ui.gap(10);
    if (ui.toggle("near nothing", "nowhere in particular", !near)) near.reset();
    ui.gap(4);
    const auto& names = f.texts.near_names;
    if (const auto i = words(f, "near", names, near.value_or(""))) near = names[*i];
    over_buttons(f, "Good", nullptr);
}

void over_reading(Frame& f) {
    auto& ui = f.ui;
    auto& draft = f.view.reading;
    std::vector<std::string> names;
    for (const auto& kind : reading_kinds()) names.emplace_back(kind.what);
    draft.kind = std::min(draft.kind, names.size() - 1);
    if (const auto i = words(f, "reading", names, names[draft.kind])) draft.kind = *i;
    ui.gap(10);
    field(f, "value", std::string("Value, ") + reading_kinds()[draft.kind].unit, draft.value, true);
    const float half = (ImGui::GetContentRegionAvail().x - ui.px(12)) / 2.0f;
    ImGui::BeginGroup();
    field(f, "target", "What it should be", draft.target, false, half);
    ImGui::EndGroup();
    ImGui::SameLine(0, ui.px(12));
    ImGui::BeginGroup();
    field(f, "tolerance", "How far it may be off", draft.tolerance, false, half);
    ImGui::EndGroup();
    belongs(f);
    const auto typed = reading_from(draft);
    if (!typed.trouble.empty()) ui.say(typed.trouble, in(body, Tone::warn_text));
    if (!over_buttons(f, "Write it down", "Not now", typed.reading.has_value())) return;
    f.out.push_back(ask::EnterReading{*typed.reading});
    draft = {};
}

}  // namespace cranknote::desk
