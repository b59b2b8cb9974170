// Recording: what is off and how it is run, cautions first, then the meter and the advice of the recorder.
#include <GLFW/glfw3.h>

#include <algorithm>

#include "desk/frame.hpp"
#include "desk/next_state.hpp"
#include "figure/number_text.hpp"
#include "job/edit.hpp"

namespace cranknote::desk {

namespace {

void check_words(Frame& f) {
    auto& ui = f.ui;
    auto& next = f.view.next;
    ui.say("Run with", small);
    const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
    bool first = true;
    for (const auto check : job::checks) {
        const std::string name(check);
        if (!first) ImGui::SameLine(0, ui.px(8));
        if (ImGui::GetCursorScreenPos().x + ui.button_width(name) > right) ImGui::NewLine();
        if (ui.toggle("with " + name, name, next.with.contains(name)) && next.with.erase(name) == 0)
            next.with.insert(name);
        first = false;
    }
    ui.gap(10);
}

void conditions(Frame& f) {
    auto& ui = f.ui;
    auto& next = f.view.next;
    const float gap = ui.px(8);
    ui.say("Coolant", small);
    if (ui.toggle("cold", "cold", next.warmth == 1)) next.warmth = next.warmth == 1 ? 0 : 1;
    ImGui::SameLine(0, gap);
    if (ui.toggle("warm", "warm", next.warmth == 2)) next.warmth = next.warmth == 2 ? 0 : 2;
    ui.gap(10);
    field(f, "rpm", "Crank speed, where you read it (820, or 820~2 from a scan tool)", next.rpm);
    ui.say("Since the last recording", small);
    if (ui.toggle("untouched", "phone untouched", next.same_placement))
        next.same_placement = !next.same_placement;
    ImGui::SameLine(0, gap);
    if (ui.toggle("repaired", "something set right", next.repaired)) next.repaired = !next.repaired;
    ui.gap(10);
}

void before(Frame& f) {
    auto& ui = f.ui;
    field(f, "state name", "The state's name (empty: " + name_of({f.view.next}, f.scene) + ")",
          f.view.next.name);
    check_words(f);
    conditions(f);
    const auto cautions = cautions_of(f.view.next, f.scene.layout);
    for (const auto& c : cautions) ui.say(c, in(body, Tone::warn_text));
    if (!f.view.cautioned)
        ui.say(
            "Out of gear, brake on, exhaust led away. Sleeves, leads and the phone's cable away from "
            "everything "
            "that turns. Nobody reaches in while it runs.",
            in(body, Tone::warn_text));
    if (over_buttons(f, "Start recording", "Not now", true, true)) {
        f.view.cautioned = true;
        f.out.push_back(ask::Record{f.view.next});
    }
}

void spectrum(Frame& f) {
    auto& ui = f.ui;
    auto& list = *ImGui::GetWindowDrawList();
    const auto from = ImGui::GetCursorScreenPos();
    const float width = ImGui::GetContentRegionAvail().x, height = ui.px(120);
    list.AddRectFilled(from, {from.x + width, from.y + height}, ui.ink(Tone::tint), ui.px(6));
    const auto count = f.live.spectrum.size();
    for (std::size_t i = 0; i < count; ++i) {
        const float share = std::clamp((f.live.spectrum[i] + 100.0f) / 90.0f, 0.0f, 1.0f);
        const float each = width / static_cast<float>(count);
        const float x = from.x + each * static_cast<float>(i);
        list.AddRectFilled({x + 1.0f, from.y + height * (1.0f - share)}, {x + each - 1.0f, from.y + height},
                           packed(ui.look.theme.colour(figure::Ink::side_a)));
    }
    ImGui::Dummy({width, height});
    ui.say("30 Hz to 16 kHz, as it comes in", small);
}

void during(Frame& f) {
    auto& ui = f.ui;
    const auto& s = f.live.record;
    ui.say(number_text(s.recorded.value(), 1) + "\u00a0s", head);
    ui.say(s.recorded.value() <= 0.0 ? "Waiting for the first sound." : "From " + f.live.device + ".", small);
    ui.gap(8);
    const auto at = ImGui::GetCursorScreenPos();
    const float width = ImGui::GetContentRegionAvail().x;
    double share = 0.0;
    if (!s.levels.empty() && s.levels[0].rms) share = (s.levels[0].rms->value() + 60.0) / 60.0;
    ui.bar(at, width, ui.px(14), share, ui.ink(Tone::act));
    ImGui::Dummy({width, ui.px(18)});
    const std::string advice = f.live.advice.value_or(s.recorded.value() > 1.0 ? "The level is good." : "");
    ui.say(advice.empty() ? " " : advice, in(body, f.live.advice ? Tone::warn_text : Tone::good_text));
    spectrum(f);
    ui.say(f.live.rpm ? "Crank speed about " + rpm_text(*f.live.rpm) + "." : "Crank speed: not clear yet.",
           body);
    ui.say(s.recorded.value() < 10.0 ? "Ten seconds at least, twenty are better."
                                     : "Long enough. Stop when you like.",
           small);
    ui.gap(14);
    if (ui.button("stop", "Stop and keep", Press::warn, 0, "Enter") ||
        ImGui::IsKeyPressed(GLFW_KEY_ENTER, false)) {
        f.out.push_back(ask::StopRecording{true});
        f.view.over = Over::nothing;
    }
    ImGui::SameLine(0, ui.px(10));
    if (ui.button("drop", "Throw away", Press::quiet)) {
        f.out.push_back(ask::StopRecording{false});
        f.view.over = Over::nothing;
    }
}

}  // namespace

void over_record(Frame& f) {
    if (f.live.recording)
        during(f);
    else
        before(f);
}

}  // namespace cranknote::desk
