// A new job: which engine, what was worked on, what it is called. And the page without a job.
#include <algorithm>

#include "desk/frame.hpp"
#include "layout/layout.hpp"

namespace cranknote::desk {

namespace {

/// The names of the chosen preset's parts, read once a choice.
void read_names(Frame& f) {
    auto& n = f.view.new_job;
    if (n.names_of == n.preset) return;
    n.names_of = n.preset;
    n.names.clear();
    n.toml.clear();
    const auto index = static_cast<std::size_t>(std::max(0, n.preset));
    if (n.preset < 0 || index >= f.presets.size()) return;
    n.toml = f.presets[index].toml;
    const auto layout = parse_layout(n.toml, f.presets[index].name);
    for (const auto& d : layout.drives) n.names.push_back(d.name);
    for (const auto& p : layout.parts) n.names.push_back(p.name);
}

void presets(Frame& f) {
    auto& ui = f.ui;
    auto& n = f.view.new_job;
    ui.say("1. Which engine is most like it?", strong);
    ImGui::BeginChild("presets",
                      {0, std::min(ui.px(260), ui.px(touch + 8) * static_cast<float>(f.presets.size()))});
    for (std::size_t i = 0; i < f.presets.size(); ++i) {
        const auto a = ui.area("preset " + f.presets[i].name, ui.px(touch), n.preset == static_cast<int>(i));
        ui.name_line({a.from.x + ui.px(12), a.from.y + ui.px(12)}, f.presets[i].name, body,
                     a.to.x - a.from.x - ui.px(30));
        if (a.pressed) {
            n.preset = static_cast<int>(i);
            n.worked_on.clear();
        }
    }
    ImGui::EndChild();
    ui.gap(12);
}

void worked_on(Frame& f) {
    auto& ui = f.ui;
    auto& n = f.view.new_job;
    ui.say("2. What was worked on before the noise came?", strong);
    ImGui::BeginChild("worked on", {0, ui.px(150)});
    const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
    bool first = true;
    for (const auto& name : n.names) {
        if (!first) ImGui::SameLine(0, ui.px(8));
        if (ImGui::GetCursorScreenPos().x + ui.button_width(name) > right) ImGui::NewLine();
        if (ui.toggle("worked on " + name, name, n.worked_on.contains(name)) && n.worked_on.erase(name) == 0)
            n.worked_on.insert(name);
        first = false;
    }
    ImGui::EndChild();
    ui.gap(12);
}

}  // namespace

void over_new_job(Frame& f) {
    auto& ui = f.ui;
    auto& n = f.view.new_job;
    presets(f);
    read_names(f);
    worked_on(f);
    ui.say("3. What is the job called, and where is it kept?", strong);
    const bool titled = field(f, "title", "Title, as on the job card", n.title);
    if (field(f, "folder", "Folder (it is made)", n.folder)) n.folder_typed = true;
    if (!n.folder_typed && (titled || n.folder.empty())) n.folder = proposed_folder(n);
    if (!n.trouble.empty()) ui.say(n.trouble, in(body, Tone::warn_text));
    if (over_buttons(f, "Begin", "Not now", !n.folder.empty(), true)) f.out.push_back(ask::MakeJob{n});
}

void draw_start(Frame& f) {
    auto& ui = f.ui;
    const auto screen = ImGui::GetIO().DisplaySize;
    const float width = std::min(ui.px(620), screen.x - ui.px(40));
    ImGui::SetCursorScreenPos({(screen.x - width) / 2.0f, std::max(ui.px(24), screen.y * 0.14f)});
    ImGui::BeginChild("start", {width, screen.y * 0.8f});
    ui.say("Cranknote", head);
    ui.say("Record the engine, take one thing off, record again: which part is it?", body);
    ui.gap(24);
    if (ui.button("new job", "A new job", Press::act, ui.px(240))) f.view.over = Over::new_job;
    ui.gap(24);
    ui.say(f.recent.empty() ? "To open a job, drop its folder here." : "Open a job, or drop its folder here",
           strong);
    for (const auto& path : f.recent) {
        const auto a = ui.area("open " + path, ui.px(56));
        const auto slash = path.rfind('/');
        ui.name_line({a.from.x + ui.px(10), a.from.y + ui.px(7)},
                     path.substr(slash == std::string::npos ? 0 : slash + 1), strong, width - ui.px(20));
        ui.name_line({a.from.x + ui.px(10), a.from.y + ui.px(30)}, path, small, width - ui.px(20));
        if (a.pressed) f.out.push_back(ask::Open{path});
    }
    if (!f.view.said.empty()) {
        ui.gap(16);
        ui.say(f.view.said, in(body, f.view.said_is_trouble ? Tone::warn_text : Tone::text));
    }
    ImGui::EndChild();
}

}  // namespace cranknote::desk
