// The program without a person: pictures of the window, and how long it takes.
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <sstream>

#include "desk/places_file.hpp"
#include "desk/program.hpp"

namespace cranknote::desk {

double seconds_since_start() {
    std::ifstream stat("/proc/self/stat"), uptime("/proc/uptime");
    std::string line;
    std::getline(stat, line);
    std::istringstream rest(line.substr(line.rfind(')') + 2));
    std::string field;
    for (int i = 3; i <= 22; ++i) rest >> field;  // the 22nd is when it began, in ticks
    double up = 0.0;
    uptime >> up;
    return up - std::atof(field.c_str()) / static_cast<double>(sysconf(_SC_CLK_TCK));
}

void Program::stand_lit() {
    view_.lit_part = o_.part;
    if (!o_.finding.empty()) view_.finding = o_.finding;
}

void Program::shoot() {
    const auto [width, height] = size_of(o_.size);
    if (session_.scene().open) {
        session_.act(ask::Compare{view_.a, view_.b}, view_);
        session_.settle(view_);
    }
    stand_as_asked(o_, view_, session_.scene());
    Places places;
    std::vector<unsigned char> pixels;
    // A few frames, since what lies over the sheet needs some to find its size and to fade in.
    for (int i = 0; i < 16; ++i) {
        stand_lit();
        window_.use(make_look(view_.mode, view_.scale));
        places = {};
        window_.begin_offscreen(width, height);
        const auto commands = draw_frame(&places);  // pictures that are made when they are first looked at
        pixels = window_.end_offscreen(width, height);
        for (const auto& c : commands) session_.act(c, view_);
        if (!commands.empty()) session_.settle(view_);
    }
    write_png(o_.shot, pixels, width, height);
    if (!o_.places.empty())
        write_places(o_.places, places, {16, false, {}, view_.said, view_.lit_part, view_.reading_off});
}

double Program::frame_ms(bool zooming) {
    double sum = 0.0;
    constexpr int frames = 100;
    for (int i = 0; i < frames; ++i) {
        if (zooming) view_.range = std::pair{1.0 + 0.01 * i, 100.0};
        const auto from = std::chrono::steady_clock::now();
        window_.begin_frame();
        (void)draw_frame(nullptr);
        ImGui::Render();
        sum += std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
        window_.end_frame();
    }
    return 1e3 * sum / frames;
}

void Program::measure() {
    window_.use(make_look(view_.mode, view_.scale));
    const double typefaces = seconds_since_start();
    frame();
    const double first = seconds_since_start();
    const double worked = static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
    session_.settle(view_);
    const double heard = seconds_since_start();
    const double still = frame_ms(false), zoomed = frame_ms(true);
    std::printf(
        "window after %.2f s, job after %.2f s, typefaces after %.2f s, first frame after %.2f s (%.2f s of "
        "it "
        "computing), everything heard after %.2f s, a frame %.2f ms, while zooming %.2f ms\n",
        window_ready_, job_ready_, typefaces, first, worked, heard, still, zoomed);
}

}  // namespace cranknote::desk
