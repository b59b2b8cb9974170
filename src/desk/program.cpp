#include "desk/program.hpp"

#include <cstdlib>
#include <thread>

#include "desk/next_state.hpp"
#include "desk/places_file.hpp"
#include "job/job.hpp"

namespace cranknote::desk {

Program::Program(Options options)
    : o_(std::move(options)), settings_(read_settings()), window_(wish()), session_([] { Window::wake(); }) {
    window_ready_ = seconds_since_start();
    view_.mode = o_.dark ? figure::Mode::dark : o_.light ? figure::Mode::light : settings_.mode;
    view_.scale = o_.scale > 0.0                             ? o_.scale
                  : settings_.scale > 0.0 && o_.shot.empty() ? settings_.scale
                                                             : window_.desktop_scale();
    presets_ = find_presets();
    const char* home = std::getenv("HOME");
    view_.new_job.place = std::string(home ? home : ".") + "/Cranknote";
    view_.new_job.date = job::to_iso(job::now()).substr(0, 10);
    if (!o_.job.empty()) session_.open(o_.job, view_);
    if (!o_.job.empty()) stand_as_asked(o_, view_, session_.scene());
    job_ready_ = seconds_since_start();
}

WindowWish Program::wish() const {
    const auto [width, height] = size_of(o_.size);
    return {width, height, !o_.shot.empty()};
}

void Program::run() {
    int frames = 3;
    while (!window_.wants_to_close() && !session_.left()) {
        const auto live = session_.live();
        window_.wait(Pace::wait(frames > 0, live.recording || live.playing));
        std::this_thread::sleep_until(pace_.next(live.recording, Pace::Clock::now()));
        frames = frames > 0 ? frames - 1 : 0;
        if (frame()) frames = 3;
    }
    settings_.mode = view_.mode;
    settings_.scale = view_.scale;
    write_settings(settings_);
}

Commands Program::draw_frame(Places* places) {
    Ui ui(window_.look(), places);
    return draw(view_, session_.scene(), session_.texts(), session_.busy(), session_.live(), presets_,
                settings_.recent, pictures_, ui);
}

bool Program::frame() {
    const bool news = session_.collect(view_);
    window_.use(make_look(view_.mode, view_.scale));
    Places places;
    window_.begin_frame();
    const auto commands = draw_frame(o_.places.empty() ? nullptr : &places);
    window_.end_frame();
    for (const auto& c : commands) session_.act(c, view_);
    drop();  // after the frame, which knows what the pointer is on
    note_opening();
    if (!o_.places.empty())
        write_places(o_.places, places, {++drawn_, session_.busy().running, view_.said, view_.lit_part});
    const auto& io = ImGui::GetIO();
    const bool input = io.MouseDelta.x != 0 || io.MouseDelta.y != 0 || io.MouseWheel != 0 ||
                       ImGui::IsAnyMouseDown() || !io.InputQueueCharacters.empty();
    return news || input || window_.keys_wait() || !commands.empty();
}

void Program::note_opening() {
    const auto opened = session_.newly_opened();
    if (!opened) return;
    remember(settings_, *opened);
    write_settings(settings_);
    const auto& title = session_.texts().title;
    window_.set_title((title.empty() ? "" : title + " - ") + "Cranknote");
}

void Program::drop() {
    auto files = window_.take_dropped();
    if (files.empty()) return;
    if (!session_.scene().open)
        session_.act(ask::Open{files.front()}, view_);
    else
        session_.act(ask::AddFiles{files, view_.next, view_.state_under}, view_);
}

}  // namespace cranknote::desk
