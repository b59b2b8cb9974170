#include "desk/bench.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>

#include "example/example.hpp"
#include "job/small_layout.hpp"
#include "layout/kinematics.hpp"

namespace cranknote::test {

desk::Scene example_scene() {
    desk::Scene s;
    s.serial = 1;
    s.open = true;
    s.path = "example";
    s.job.title = "Example";
    s.job.layout = small_layout;
    s.layout = parse_layout(small_layout, "small");
    int number = 0;
    for (const char* name : {"as found", "fan belt off"}) {
        job::State state;
        state.name = name;
        if (number > 0) state.off = {"fan belt off"};
        job::Recording r;
        r.id = "r" + std::to_string(++number);
        r.file = "recordings/" + std::string(name) + ".wav";
        r.state = name;
        s.job.states.push_back(state);
        s.job.recordings.push_back(r);
        State known;
        known.name = name;
        known.off = state.off;
        for (const auto& still : still_when_off(s.layout, state.off)) known.still.push_back(still);
        s.states.push_back(known);
        auto examined = std::make_shared<Examined>();
        examined->summary = example_recording(r.file, 800.0);
        s.heard.push_back({examined, ""});
    }
    auto compared = std::make_shared<desk::Compared>();
    compared->a = 0;
    compared->b = 1;
    compared->comparison = example_comparison();
    compared->suspects = example_suspects();
    compared->conclusion = Conclusion::named;
    s.compared = compared;
    auto time = std::make_shared<desk::ThroughTime>();
    time->recording = "r2";
    time->map = {{Seconds{0.0}, Seconds{12.0}}, {Ratio{0.5}, Ratio{200.0}}, 240, 120, {}};
    for (int i = 0; i < 240 * 120; ++i) time->map.level.push_back(static_cast<float>(-90 + i % 37));
    s.through_time = time;
    s.job.readings = {job::Reading{"idle speed", 815, "rpm", 820, 40, "r1", {}, {}},
                      job::Reading{"belt deflection", 6.5, "mm", 5, 0.5, {}, {}, {}}};
    return s;
}

Bench::Bench(double width, double height, double scale) : look_(desk::make_look(figure::Mode::light, scale)) {
    view.b = 1;
    view.scale = scale;
    ImGui::CreateContext();
    auto& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.KeyMap[ImGuiKey_Space] = GLFW_KEY_SPACE;
    io.KeyMap[ImGuiKey_Enter] = GLFW_KEY_ENTER;
    io.KeyMap[ImGuiKey_Escape] = GLFW_KEY_ESCAPE;
    io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;  // as the window's painter has it
    io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
    desk::load_fonts(look_, *io.Fonts);
    desk::apply_style(look_);
    settle();
}

Bench::~Bench() { ImGui::DestroyContext(); }

desk::Commands Bench::frame() {
    ImGui::GetIO().DeltaTime = 1.0f / 30.0f;
    ImGui::NewFrame();
    places = {};
    desk::Ui ui(look_, &places);
    const auto texts = desk::texts_of(scene);
    auto commands = desk::draw(view, scene, texts, busy, live, {}, {}, pictures_, ui);
    ImGui::Render();
    return commands;
}

double Bench::frame_seconds(const desk::Texts& texts) {
    const auto from = std::chrono::steady_clock::now();
    ImGui::NewFrame();
    desk::Ui ui(look_, nullptr);
    (void)desk::draw(view, scene, texts, busy, live, {}, {}, pictures_, ui);
    ImGui::Render();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

desk::Commands Bench::settle(int frames) {
    desk::Commands all;
    for (int i = 0; i < frames; ++i)
        for (auto& c : frame()) all.push_back(std::move(c));
    return all;
}

bool Bench::has(const std::string& id) const {
    return std::ranges::any_of(places.items, [&](const auto& p) { return p.id == id; });
}

figure::Box Bench::box(const std::string& id) const {
    for (const auto& p : places.items)
        if (p.id == id) return p.box;
    FAIL("nothing is called " << id);
    return {};
}

void Bench::point(const std::string& id) {
    const auto middle = box(id).centre();
    ImGui::GetIO().MousePos = {static_cast<float>(middle.x), static_cast<float>(middle.y)};
    settle(2);
}

desk::Commands Bench::click_at(figure::Point at) {
    auto& io = ImGui::GetIO();
    io.MousePos = {static_cast<float>(at.x), static_cast<float>(at.y)};
    settle(2);
    io.MouseDown[0] = true;
    auto all = settle(1);
    io.MouseDown[0] = false;
    for (auto& c : settle(3)) all.push_back(std::move(c));
    return all;
}

desk::Commands Bench::click(const std::string& id) {
    settle(2);
    return click_at(box(id).centre());
}

desk::Commands Bench::key(int code, bool ctrl, bool shift) {
    auto& io = ImGui::GetIO();
    io.KeyCtrl = ctrl;
    io.KeyShift = shift;
    io.KeysDown[code] = true;
    auto all = settle(1);
    io.KeysDown[code] = false;
    io.KeyCtrl = io.KeyShift = false;
    for (auto& c : settle(2)) all.push_back(std::move(c));
    return all;
}

desk::Commands Bench::type(char letter) {
    ImGui::GetIO().AddInputCharacter(static_cast<unsigned>(letter));
    return settle(2);
}

}  // namespace cranknote::test
