#include "desk/program.hpp"

#include <algorithm>
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
    const char* home = std::getenv("HOME");
    view_.new_job.place = std::string(home ? home : ".") + "/Cranknote";
    view_.new_job.date = job::to_iso(job::now()).substr(0, 10);
    if (!o_.job.empty()) session_.open(o_.job, view_);
    if (!o_.job.empty()) stand_as_asked(o_, view_, session_.scene());
    job_ready_ = seconds_since_start();
}

WindowWish Program::wish() const {
    const auto [width, height] = size_of(o_.size);
    const double scale = o_.scale > 0.0                             ? o_.scale
                         : settings_.scale > 0.0 && o_.shot.empty() ? settings_.scale
                                                                    : 1.0;
    return {width, height, scale, !o_.shot.empty()};
}

void Program::run() {
    while (!window_.wants_to_close() && !session_.left()) {
        const auto live = session_.live();
        window_.wait(Pace::wait(due_ > 0, live.recording || live.playing));
        std::this_thread::sleep_until(pace_.next(live.recording, Pace::Clock::now()));
        frame();
    }
    settings_.mode = view_.mode;
    settings_.scale = view_.scale;
    write_settings(settings_);
}

Commands Program::draw_frame(Places* places) {
    // Layouts to start from are read when they are first looked at.
    if (!presets_found_ && (!session_.scene().open || view_.over == Over::new_job)) {
        presets_ = find_presets();
        presets_found_ = true;
    }
    Ui ui(window_.look(), places);
    return draw(view_, session_.scene(), session_.texts(), session_.busy(), session_.live(), presets_,
                settings_.recent, pictures_, ui);
}

void Program::frame() {
    const bool news = session_.collect(view_);
    window_.use(make_look(view_.mode, view_.scale));
    Places places;
    window_.begin_frame();
    const auto commands = draw_frame(o_.places.empty() ? nullptr : &places);
    const bool input = heed();  // before the library forgets it at the frame's end
    window_.end_frame();
    for (const auto& c : commands) session_.act(c, view_);
    drop();  // after the frame, which knows what the pointer is on
    note_opening();
    const bool happened = news || input || window_.keys_wait() || !commands.empty();
    due_ = happened ? 3 : std::max(0, due_ - 1);  // what happened moves things for some frames
    if (!o_.places.empty())
        write_places(o_.places, places,
                     {++drawn_, session_.busy().running || due_ > 0, heed_, view_.said, view_.lit_part,
                      view_.reading_off});
}

bool Program::heed() {
    const auto& io = ImGui::GetIO();
    const Heed before = heed_;
    heed_.x = io.MousePos.x;
    heed_.y = io.MousePos.y;
    heed_.keys = window_.keys_seen();
    heed_.characters = window_.characters_seen();
    heed_.buttons += ImGui::IsMouseReleased(0) ? 1 : 0;
    heed_.wheel += io.MouseWheel != 0 ? 1 : 0;
    return !(heed_ == before) || ImGui::IsAnyMouseDown();
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
