// The top of the sheet: which job, how it stands, and three words to press.
#include "desk/frame.hpp"

namespace cranknote::desk {

namespace {

void words(Frame& f, const figure::Box& box, float buttons) {
    auto& ui = f.ui;
    const auto x0 = static_cast<float>(box.x0), x1 = static_cast<float>(box.x1);
    const bool narrow = box.width() / ui.look.scale < 880.0;
    const float title = narrow ? 0.0f : std::min(ui.px(360), (x1 - x0) * 0.26f);
    const float left = x0 + ui.px(20), room = x1 - buttons - left - ui.px(16);
    if (!narrow) {
        // A long title takes the engine's line as well.
        const auto lines = ui.broken(f.texts.title, strong, title - ui.px(16), 2);
        for (std::size_t i = 0; i < lines.size(); ++i)
            ui.name_line({left, ui.px(14 + 23 * static_cast<double>(i))}, lines[i], strong, 0.0f);
        if (lines.size() == 1) ui.name_line({left, ui.px(40)}, f.texts.engine, small, title - ui.px(16));
    }
    const float from = left + title;
    // The headline takes the larger type where it fits, else it is broken into two lines.
    const Type type = ui.measure(f.texts.headline, head).x < room - title ? head : strong;
    const auto size = ui.measure(f.texts.headline, type, room - title);
    float top = (static_cast<float>(box.height()) - size.y) / 2.0f;
    if (narrow && size.y < ui.px(28)) {  // the job's title has a line of its own above
        top += ui.px(10);
        ui.name_line({from, top - ui.px(22)}, f.texts.title, small, room);
    }
    ImGui::SetCursorScreenPos({from, top});
    ui.say(f.texts.headline, type, room - title);
}

}  // namespace

void draw_head(Frame& f) {
    auto& ui = f.ui;
    const auto& box = f.places.head;
    auto& list = *ImGui::GetWindowDrawList();
    const auto x1 = static_cast<float>(box.x1), height = static_cast<float>(box.height());
    const bool roomy = box.width() / ui.look.scale > 1200.0;
    const std::string undo = "Undo", note = roomy ? "Repair note" : "Note";
    const float gap = ui.px(8), wide = ui.button_width(undo) + ui.button_width(note) + ui.px(touch) + 2 * gap;
    words(f, box, wide + ui.px(16));
    ImGui::SetCursorScreenPos({x1 - wide - ui.px(16), (height - ui.px(touch)) / 2.0f});
    if (ui.button("undo", undo, Press::quiet, 0, "", f.scene.read_only.empty())) f.out.push_back(ask::Undo{});
    ImGui::SameLine(0, gap);
    if (ui.button("note", note, Press::plain)) f.view.over = Over::note;
    ImGui::SameLine(0, gap);
    if (ui.button("help", "?", Press::plain, ui.px(touch))) f.view.over = Over::help;
    list.AddLine({0, height - 1}, {x1, height - 1}, ui.ink(Tone::line), ui.px(1));
    if (f.places.kind != Arrangement::Kind::single) return;
    ImGui::SetCursorScreenPos({ui.px(8), height + ui.px(8)});
    const std::pair<Page, const char*> pages[] = {{Page::day, "The day"},
                                                  {Page::engine, "Engine"},
                                                  {Page::sound, "Sound"},
                                                  {Page::answers, "Which part"}};
    const float each = (x1 - ui.px(16) - 3 * gap) / 4.0f;
    for (const auto& [page, name] : pages) {
        if (ui.toggle(std::string("page ") + name, name, f.view.page == page, each)) f.view.page = page;
        ImGui::SameLine(0, gap);
    }
    ImGui::NewLine();
}

void draw_foot(Frame& f) {
    auto& ui = f.ui;
    const auto& box = f.places.foot;
    auto& list = *ImGui::GetWindowDrawList();
    const auto y0 = static_cast<float>(box.y0), x1 = static_cast<float>(box.x1);
    list.AddRectFilled({0, y0}, {x1, static_cast<float>(box.y1)}, ui.ink(Tone::tint));
    const float y = y0 + (static_cast<float>(box.height()) - ui.measure("Ag", small).y) / 2.0f;
    float x = ui.px(20);
    if (f.busy.running) {
        ui.bar({x, y + ui.px(6)}, ui.px(120), ui.px(6), f.busy.share, ui.ink(Tone::act));
        x += ui.px(132);
        x += ui.name_line({x, y}, f.busy.what, in(small, Tone::text), x1 - x - ui.px(120));
        ImGui::SetCursorScreenPos({x + ui.px(8), y0 - ui.px(2)});
        if (ui.button("stop work", "Stop", Press::quiet)) f.out.push_back(ask::StopWork{});
        return;
    }
    const std::string saved = f.scene.originals_trouble ? "" : " Everything is saved as you go.";
    const std::string said = !f.view.said.empty()         ? f.view.said
                             : !f.scene.read_only.empty() ? "Only to look at: " + f.scene.read_only
                             : f.scene.originals_trouble  ? f.scene.originals
                             : !f.scene.remarks.empty()   ? f.scene.remarks.front()
                             : !f.scene.originals.empty() ? f.scene.originals + saved
                                                          : "Everything is saved as you go.";
    const bool trouble = f.view.said.empty() ? !f.scene.read_only.empty() || f.scene.originals_trouble
                                             : f.view.said_is_trouble;
    ui.name_line({x, y}, said, in(small, trouble ? Tone::warn_text : Tone::faint), x1 - x - ui.px(20));
}

}  // namespace cranknote::desk
