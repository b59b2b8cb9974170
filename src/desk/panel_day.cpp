// The day: the states in the order in which they were recorded, each with what is off and its recordings.
#include <algorithm>

#include "desk/frame.hpp"
#include "desk/next_state.hpp"
#include "figure/number_text.hpp"

namespace cranknote::desk {

namespace {

constexpr double bead = 9.0, rail = 20.0;  // px at scale 1: the bead's radius, where the line of the day runs

/// The letter that says which side of the comparison a state is.
void side_letter(const Frame& f, ImVec2 at, bool is_a, bool is_b) {
    Ui& ui = f.ui;
    auto& list = *ImGui::GetWindowDrawList();
    const float r = ui.px(13);
    const ImVec2 middle{at.x, at.y};
    const auto circle = [&](const char* letter, figure::Ink ink, float x, bool on) {
        if (!on) return;
        const auto colour = packed(ui.look.theme.colour(ink));
        list.AddCircle({x, middle.y}, r, colour, 0, ui.px(2.2));
        const Type type{small_type, figure::Weight::bold, Tone::text};
        const auto size = ui.measure(letter, type);
        ui.line({x - size.x / 2.0f, middle.y - size.y / 2.0f}, letter, type);
    };
    circle("A", figure::Ink::side_a, middle.x - (is_b ? 2.3f * r : 0.0f), is_a);
    circle("B", figure::Ink::side_b, middle.x, is_b);
}

void choose(Frame& f, std::size_t i) {
    f.view.b = i;
    f.view.shown = i;
    f.view.recording.clear();
    f.out.push_back(ask::Compare{f.view.a, f.view.b});
}

/// Two readings of the crank speed are possible: both are said, and the mechanic knows.
void speed_question(Frame& f, const RecordingText& r, float left) {
    auto& ui = f.ui;
    ImGui::SetCursorPosX(left + ui.px(10));
    ui.say(r.question, in(small, Tone::warn_text));
    for (const auto rpm : r.choices) {
        ImGui::SetCursorPosX(left + ui.px(10));
        if (ui.button("speed " + r.id + " " + rpm_text(rpm), rpm_text(rpm), Press::plain, 0, "",
                      f.scene.read_only.empty()))
            f.out.push_back(ask::SetSpeed{r.id, rpm});
    }
}

void recording_row(Frame& f, const RecordingText& r, float left) {
    auto& ui = f.ui;
    const bool chosen = f.view.recording == r.id;
    ImGui::SetCursorPosX(left);
    const auto a = ui.area("recording " + r.id, ui.px(touch), chosen);
    const bool plays = f.live.playing && f.live.playing_recording == r.id;
    const float y = a.from.y + (ui.px(touch) - ui.measure("Ag", body).y) / 2.0f;
    // A triangle plays, a square stops.
    auto& list = *ImGui::GetWindowDrawList();
    const ImVec2 m{a.from.x + ui.px(18), a.from.y + ui.px(touch) / 2.0f};
    const auto colour = ui.ink(r.unusable ? Tone::faint : Tone::act);
    if (plays)
        list.AddRectFilled({m.x - ui.px(6), m.y - ui.px(6)}, {m.x + ui.px(6), m.y + ui.px(6)}, colour,
                           ui.px(1));
    else
        // Clockwise, as the library smooths edges.
        list.AddTriangleFilled({m.x - ui.px(5), m.y - ui.px(7)}, {m.x + ui.px(8), m.y},
                               {m.x - ui.px(5), m.y + ui.px(7)}, colour);
    const Tone tone = r.unusable ? Tone::faint : Tone::text;
    const float room = a.to.x - a.from.x - ui.px(36 + 24);
    const float line =
        ui.name_line({a.from.x + ui.px(36), y}, r.pending ? "being heard …" : r.line, in(body, tone), room);
    const float left_over = room - line - ui.px(10);
    if (!r.near.empty() && left_over > ui.px(60))
        ui.name_line({a.from.x + ui.px(46) + line, y + ui.px(2)}, r.near, small, left_over);
    if (r.warned || r.unusable) {
        const auto mark = ui.measure("!", strong);
        ui.line({a.to.x - ui.px(12) - mark.x, y}, "!", in(strong, Tone::warn_text));
    }
    if (a.pressed) {
        f.view.recording = r.id;
        if (plays)
            f.out.push_back(ask::StopPlaying{});
        else
            f.out.push_back(ask::Play{false, r.id, std::nullopt, false});
    }
    if (chosen && !r.question.empty()) speed_question(f, r, left);
    if ((chosen || a.hovered) && !r.remark.empty()) {
        ImGui::SetCursorPosX(left + ui.px(10));
        ui.say(r.remark, in(small, Tone::warn_text));
    }
}

void state_row(Frame& f, std::size_t i, bool last) {
    auto& ui = f.ui;
    const auto& s = f.texts.day[i];
    const bool is_a = f.view.a == i, is_b = f.view.b == i && f.view.b != f.view.a;
    auto& list = *ImGui::GetWindowDrawList();
    const float letters = ui.px(is_a && is_b ? 64 : 36);
    const float left = ui.px(rail + 18), width = ImGui::GetContentRegionAvail().x - left - letters;
    const auto name = ui.measure(s.name, strong, width), facts = ui.measure(s.facts, small, width);
    const float height = std::max(ui.px(48), name.y + facts.y + ui.px(18));
    const ImVec2 start = ImGui::GetCursorScreenPos();
    const bool seen = f.view.shown == i;
    const auto a = ui.area("state " + s.name, height, seen);
    const ImVec2 middle{start.x + ui.px(rail), start.y + ui.px(23)};
    const ImVec2 after = ImGui::GetCursorPos();
    ImGui::SetCursorScreenPos({start.x + left, start.y + ui.px(10)});
    ui.say(s.name, strong, width);
    ImGui::SetCursorScreenPos({start.x + left, start.y + ui.px(12) + name.y});
    ui.say(s.facts, small, width);
    side_letter(f, {a.to.x - ui.px(20), start.y + ui.px(23)}, is_a, is_b);
    ImGui::SetCursorPos(after);
    if (ImGui::IsMouseHoveringRect(a.from, a.to)) f.view.state_under = i;
    if (a.pressed) {
        if (ImGui::GetIO().KeyShift) {
            f.view.a = i;
            f.out.push_back(ask::Compare{f.view.a, f.view.b});
        } else {
            choose(f, i);
        }
    }
    if (seen || s.recordings.size() <= 2)
        for (const auto& r : s.recordings) recording_row(f, r, left);
    else if (!s.recordings.empty()) {
        ImGui::SetCursorPosX(left + ui.px(10));
        ui.say(std::to_string(s.recordings.size()) + " recordings", small);
    }
    for (const auto& reading : s.readings) {
        ImGui::SetCursorPosX(left + ui.px(10));
        ui.say(reading, small);
    }
    if (seen && i != f.view.a) {
        ImGui::SetCursorPosX(left);
        if (ui.button("compare from " + s.name, "Compare from here", Press::plain)) {
            f.view.a = i;
            f.out.push_back(ask::Compare{f.view.a, f.view.b});
        }
    }
    const float bottom = ImGui::GetCursorScreenPos().y;
    list.AddLine({middle.x, middle.y + ui.px(bead)}, {middle.x, bottom + ui.px(last ? 0 : 14)},
                 ui.ink(Tone::line), ui.px(2));
    list.AddCircleFilled(middle, ui.px(bead), ui.ink(seen ? Tone::act : Tone::paper));
    list.AddCircle(middle, ui.px(bead), ui.ink(seen ? Tone::act : Tone::faint), 0, ui.px(2));
}

void next_state(Frame& f) {
    auto& ui = f.ui;
    auto& list = *ImGui::GetWindowDrawList();
    const float left = ui.px(rail + 18);
    const ImVec2 start = ImGui::GetCursorScreenPos();
    const ImVec2 middle{start.x + ui.px(rail), start.y + ui.px(14)};
    for (int i = 0; i < 8; ++i) {  // a ring of dashes: not there yet
        const float from = 0.785f * static_cast<float>(i);
        list.PathArcTo(middle, ui.px(bead), from, from + 0.45f, 6);
        list.PathStroke(ui.ink(Tone::faint), 0, ui.px(2));
    }
    ImGui::Indent(left);
    ui.say("Next: " + name_of(f.view.next, f.scene), strong);
    ui.say(f.view.next.off.empty() ? "Click in the drawing what you take off."
                                   : "Click it again when it is back on.",
           small);
    if (f.view.next.near) ui.say("Phone near the " + *f.view.next.near + ".", small);
    for (const auto& c : cautions_of(f.view.next, f.scene.layout)) ui.say(c, in(small, Tone::warn_text));
    ui.gap(10);
    const bool can = f.scene.read_only.empty();
    if (ui.button("record", f.live.recording ? "Recording …" : "Record", Press::warn, -1.0f, "R", can))
        f.view.over = Over::record;
    if (ui.button("add file", "Add a file", Press::plain, -1.0f, "O", can)) f.view.over = Over::add;
    if (ui.button("near", "Phone near …", Press::plain, -1.0f, "P", can)) f.view.over = Over::near;
    if (ui.button("reading", "A reading", Press::plain, -1.0f, "E", can)) f.view.over = Over::reading;
    for (const auto& reading : f.texts.readings) ui.say(reading, small);
    ImGui::Unindent(left);
}

}  // namespace

void draw_day(Frame& f) {
    if (f.places.day.width() <= 0.0) return;
    const Region region("the day", f.places.day, f.ui, 12.0, Tone::tint);
    f.ui.gap(14);
    f.view.state_under.reset();
    for (std::size_t i = 0; i < f.texts.day.size(); ++i) state_row(f, i, false);
    f.ui.gap(18);
    next_state(f);
    f.ui.gap(20);
}

}  // namespace cranknote::desk
