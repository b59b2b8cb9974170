// What changed between the two states: levels, the change with its interval, swelling, speed through time.
#include <cmath>

#include "desk/crowded.hpp"
#include "desk/frame.hpp"
#include "desk/reading_at.hpp"

namespace cranknote::desk {

namespace {

const Finding* chosen_finding(const Frame& f) {
    if (!f.scene.compared) return nullptr;
    for (const auto& x : f.scene.compared->comparison.findings)
        if (x.id == f.view.finding) return &x;
    return nullptr;
}

std::optional<std::pair<Hertz, Hertz>> band(const Frame& f) {
    const auto* finding = chosen_finding(f);
    if (!f.view.alone || !finding) return std::nullopt;
    return std::pair{finding->low, finding->high};
}

void play_button(Frame& f, bool b, float width) {
    const bool on = f.live.playing && f.live.playing_recording.empty() && f.live.playing_b == b;
    if (f.ui.toggle(b ? "play b" : "play a", on ? "Stop" : b ? "Play B" : "Play A", on, width)) {
        if (on)
            f.out.push_back(ask::StopPlaying{});
        else
            f.out.push_back(ask::Play{b, "", band(f), false});
    }
}

constexpr std::pair<SoundTab, const char*> tabs[] = {
    {SoundTab::change, "Change"}, {SoundTab::swelling, "Swelling"}, {SoundTab::time, "In time"}};

void play_buttons(Frame& f) {
    const float gap = f.ui.px(8);
    play_button(f, false, f.ui.button_width("Play A"));
    ImGui::SameLine(0, gap);
    play_button(f, true, f.ui.button_width("Play B"));
    if (!chosen_finding(f)) return;
    ImGui::SameLine(0, gap);
    if (f.ui.toggle("alone", "Alone", f.view.alone)) f.view.alone = !f.view.alone;
}

void tab_buttons(Frame& f, const std::string& unit) {
    const float gap = f.ui.px(8);
    for (const auto& [tab, name] : tabs) {
        if (f.ui.toggle(std::string("tab ") + name, name, f.view.tab == tab)) f.view.tab = tab;
        ImGui::SameLine(0, gap);
    }
    if (!f.ui.button("units", unit, Press::plain)) return;
    f.view.over_hz = !f.view.over_hz;
    f.view.range.reset();
}

/// All on one line where there is room, else on two.
void controls(Frame& f, float right) {
    auto& ui = f.ui;
    const float gap = ui.px(8), left = ImGui::GetCursorScreenPos().x, top = ImGui::GetCursorScreenPos().y;
    const bool shared = f.places.kind == Arrangement::Kind::shared;
    const std::string unit = f.view.over_hz ? "Hz" : "× crank";
    float width = ui.button_width(unit);
    for (const auto& [tab, name] : tabs) width += ui.button_width(name) + gap;
    const float swap = shared ? ui.button_width("Engine") : 0.0f;
    const float plays = 3.0f * (ui.button_width("Play A") + gap);
    play_buttons(f);
    if (shared) {
        ImGui::SetCursorScreenPos({right - swap, top});
        if (ui.button("to engine", "Engine", Press::plain)) f.view.engine_in_middle = true;
    }
    const bool one_line = left + plays + width + (shared ? swap + gap : 0.0f) < right;
    const float end = shared && one_line ? right - swap - gap : right;
    ImGui::SetCursorScreenPos({one_line ? end - width : left, one_line ? top : top + ui.px(touch) + gap});
    tab_buttons(f, unit);
}

/// The picture through time is made when it is first looked at.
void ask_through_time(Frame& f) {
    if (f.view.tab != SoundTab::time) return;
    const auto id = recording_shown(f.scene, f.view);
    const auto* r = f.scene.job.recording(id);
    const auto wanted = r ? std::to_string(f.scene.job.revision) + " " + id : std::string();
    if (!r || f.view.drawn_through_time == wanted) return;
    f.view.drawn_through_time = wanted;
    if (!f.scene.through_time || f.scene.through_time->recording != id)
        f.out.push_back(ask::ShowThroughTime{id});
}

/// Zooming: the wheel about the pointer, a drag to a range, a double click back to all. True: a click that
/// was no drag ended.
bool zoom(Frame& f, const figure::LaidPanel& panel, figure::Point at, bool hovered) {
    auto& view = f.view;
    const auto& io = ImGui::GetIO();
    if (hovered && io.MouseWheel != 0.0f && view.tab == SoundTab::change &&
        panel.x.scale == figure::Scale::log) {
        const double here = panel.data(at).x, factor = std::pow(0.8, io.MouseWheel);
        const double low = here * std::pow(panel.x.from / here, factor),
                     high = here * std::pow(panel.x.to / here, factor);
        if (high / low > 1.02) view.range = std::pair{low, high};
    }
    if (hovered && ImGui::IsMouseDoubleClicked(0)) {
        view.range.reset();
        view.drag_from.reset();
        return false;
    }
    if (hovered && ImGui::IsMouseClicked(0)) view.drag_from = at.x;
    if (!view.drag_from || ImGui::IsMouseDown(0)) return false;
    const double low = std::min(*view.drag_from, at.x), high = std::max(*view.drag_from, at.x);
    const bool dragged = high - low > f.ui.px(12);
    if (dragged && view.tab == SoundTab::change)
        view.range = std::pair{panel.data({low, at.y}).x, panel.data({high, at.y}).x};
    view.drag_from.reset();
    return !dragged;
}

void pointer(Frame& f, const figure::LaidOut& laid, ImVec2 from, bool hovered) {
    auto& ui = f.ui;
    const auto mouse = ImGui::GetMousePos();
    const figure::Point at{mouse.x - from.x, mouse.y - from.y};
    const auto* target = hovered ? figure::under(laid, at, ui.px(6)) : nullptr;
    if (hovered) f.view.lit_finding = target ? target->id : "";
    const bool clicked = !laid.panels.empty() && zoom(f, laid.panels.front(), at, hovered);
    if (clicked && target) f.view.finding = target->id;
    const auto* panel = hovered ? figure::panel_under(laid, at) : nullptr;
    auto& list = *ImGui::GetWindowDrawList();
    if (panel)
        for (const auto& p : laid.panels)
            list.AddLine({mouse.x, from.y + static_cast<float>(p.plot.y0)},
                         {mouse.x, from.y + static_cast<float>(p.plot.y1)}, ui.ink(Tone::faint), ui.px(1));
    if (f.view.drag_from && panel)
        for (const auto& p : laid.panels)
            list.AddRectFilled(
                {from.x + static_cast<float>(*f.view.drag_from), from.y + static_cast<float>(p.plot.y0)},
                {mouse.x, from.y + static_cast<float>(p.plot.y1)},
                packed(ui.look.colour(Tone::act).faded(0.15)));
}

}  // namespace

void draw_sound(Frame& f) {
    const auto& box = f.places.sound;
    if (box.width() <= 0.0) return;
    auto& ui = f.ui;
    const Region region("sound", box, ui, 16.0, Tone::paper, false);
    if (f.places.kind == Arrangement::Kind::whole) {  // else it lies below a line that is there
        auto& list = *ImGui::GetWindowDrawList();
        const ImVec2 from{static_cast<float>(box.x0), static_cast<float>(box.y0)},
            to{static_cast<float>(box.x1), static_cast<float>(box.y1)};
        list.PushClipRect(from, to);
        list.AddLine(from, {to.x, from.y}, ui.ink(Tone::line), 2.0f * ui.px(1));
        list.PopClipRect();
    }
    ask_through_time(f);
    const float right = static_cast<float>(box.x1) - ui.px(16);
    ImGui::SetCursorScreenPos(
        {static_cast<float>(box.x0) + ui.px(20), static_cast<float>(box.y0) + ui.px(12)});
    controls(f, right);
    const float foot = ui.px(30);
    const ImVec2 from{static_cast<float>(box.x0) + ui.px(8), ImGui::GetCursorScreenPos().y};
    const figure::Size size{box.width() - ui.px(20), box.y1 - from.y - foot};
    if (size.width < 80.0 || size.height < 80.0) return;
    if (!f.texts.pair_trouble.empty() || !f.scene.compared) {
        ImGui::SetCursorScreenPos({from.x + ui.px(12), from.y + ui.px(8)});
        ui.say(!f.texts.pair_trouble.empty() ? f.texts.pair_trouble
               : f.busy.running              ? "Being heard …"
                                             : "Two states make a comparison.",
               body, static_cast<float>(size.width) - ui.px(24));
        return;
    }
    const auto& laid = f.pictures.sound(f.scene, f.view, ui.look, size);
    ImGui::SetCursorScreenPos(from);
    ImGui::InvisibleButton("figure", {static_cast<float>(size.width), static_cast<float>(size.height)});
    const bool hovered = ImGui::IsItemHovered();
    ui.note("figure", from,
            {from.x + static_cast<float>(size.width), from.y + static_cast<float>(size.height)});
    ImguiPainter painter(*ImGui::GetWindowDrawList(), from, ui.look);
    figure::paint(laid, painter, false);
    if (ui.notes())
        for (const auto& text : crowded(laid)) ui.note_cut(text);
    pointer(f, laid, from, hovered);
    const auto mouse = ImGui::GetMousePos();
    f.view.reading_off =
        hovered ? reading_at(f.scene, f.view, laid, {mouse.x - from.x, mouse.y - from.y}) : "";
    std::string reading = f.view.reading_off;
    if (reading.empty() && f.view.tab == SoundTab::change)
        reading = f.view.range ? "Double click shows all again." : "Drag over a stretch to look closer.";
    ui.name_line({static_cast<float>(box.x0) + ui.px(20), static_cast<float>(box.y1) - foot + ui.px(2)},
                 reading, in(small, Tone::text), right - static_cast<float>(box.x0) - ui.px(20));
}

}  // namespace cranknote::desk
