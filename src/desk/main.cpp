// cranknote-desk: the whole job on one screen.
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iostream>
#include <sstream>

#include "desk/draw.hpp"
#include "desk/next_state.hpp"
#include "desk/session.hpp"
#include "desk/settings.hpp"
#include "desk/window.hpp"
#include "units/error.hpp"

namespace cranknote::desk {

namespace {

struct Options {
    std::string job, shot, size = "1600x1000", places, over, page, part, finding, tab;
    double scale = 0.0;
    bool dark = false, light = false, hz = false, measure = false;
    std::optional<int> a, b;
};

std::pair<int, int> size_of(const std::string& text) {
    int width = 0, height = 0;
    if (std::sscanf(text.c_str(), "%dx%d", &width, &height) != 2 || width < 320 || height < 240 ||
        width > 8192 || height > 8192)
        throw Error("not a size: " + text, "--size", "as in 1600x1000", Error::Kind::wrong_call);
    return {width, height};
}

template <class T>
T named(const std::string& word, const std::vector<std::pair<const char*, T>>& names, const char* option) {
    for (const auto& [name, value] : names)
        if (word == name) return value;
    throw Error("there is no \"" + word + "\"", option, "", Error::Kind::wrong_call);
}

void stand_as_asked(const Options& o, ViewState& view, const Scene& scene) {
    if (!o.over.empty())
        view.over = named<Over>(o.over,
                                {{"help", Over::help},
                                 {"new", Over::new_job},
                                 {"layout", Over::layout},
                                 {"record", Over::record},
                                 {"add", Over::add},
                                 {"saw", Over::saw},
                                 {"note", Over::note}},
                                "--over");
    if (!o.page.empty()) {
        view.page = named<Page>(o.page,
                                {{"day", Page::day},
                                 {"engine", Page::engine},
                                 {"sound", Page::sound},
                                 {"answers", Page::answers}},
                                "--page");
        view.engine_in_middle = view.page != Page::sound;
    }
    if (!o.tab.empty())
        view.tab = named<SoundTab>(
            o.tab,
            {{"change", SoundTab::change}, {"swelling", SoundTab::swelling}, {"speed", SoundTab::time}},
            "--tab");
    view.lit_part = o.part;
    view.finding = o.finding;
    view.over_hz = o.hz;
    const auto last = scene.states.empty() ? 0 : scene.states.size() - 1;
    if (o.a) view.a = std::min<std::size_t>(static_cast<std::size_t>(*o.a), last);
    if (o.b) view.shown = view.b = std::min<std::size_t>(static_cast<std::size_t>(*o.b), last);
}

void write_places(const std::string& file, const Places& places) {
    std::ofstream out(file);
    for (const auto& p : places.items)
        out << p.box.x0 << ' ' << p.box.y0 << ' ' << p.box.x1 << ' ' << p.box.y1 << ' ' << p.id << '\n';
    for (const auto& text : places.cut) out << "cut " << text << '\n';
}

/// Seconds since the process began, by the system's own account (in hundredths).
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

class Program {
  public:
    explicit Program(Options options)
        : o_(std::move(options)),
          settings_(read_settings()),
          window_(wish()),
          session_([] { Window::wake(); }) {
        view_.mode = o_.dark ? figure::Mode::dark : o_.light ? figure::Mode::light : settings_.mode;
        view_.scale = o_.scale > 0.0                             ? o_.scale
                      : settings_.scale > 0.0 && o_.shot.empty() ? settings_.scale
                                                                 : window_.desktop_scale();
        presets_ = find_presets();
        const char* home = std::getenv("HOME");
        view_.new_job.place = std::string(home ? home : ".") + "/Cranknote";
        view_.new_job.date = job::to_iso(job::now()).substr(0, 10);
        if (o_.job.empty()) return;
        session_.open(o_.job, view_);
        stand_as_asked(o_, view_, session_.scene());
    }

    void shoot() {
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
            (void)draw_frame(&places);
            pixels = window_.end_offscreen(width, height);
        }
        write_png(o_.shot, pixels, width, height);
        if (!o_.places.empty()) write_places(o_.places, places);
    }

    /// How long it takes until the window is there, and how long a frame takes: with everything kept, and
    /// with the figure laid out anew each time, as while zooming.
    void measure() {
        frame();
        const double first = seconds_since_start();
        const double worked = static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
        session_.settle(view_);
        const double heard = seconds_since_start();
        const auto mean_ms = [&](bool zooming) {
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
        };
        const double still = mean_ms(false), zoomed = mean_ms(true);
        std::printf(
            "first frame after %.2f s (%.2f s of it computing), everything heard after %.2f s, a frame %.2f "
            "ms, while zooming %.2f "
            "ms\n",
            first, worked, heard, still, zoomed);
    }

    void run() {
        int frames = 3;
        while (!window_.wants_to_close() && !session_.left()) {
            const auto live = session_.live();
            const bool moving = live.recording || live.playing;
            window_.wait(frames > 0 ? std::optional(0.0) : moving ? std::optional(1.0 / 15.0) : std::nullopt);
            keep_pace(live.recording ? 1.0 / 15.0 : 1.0 / 60.0);
            frames = frames > 0 ? frames - 1 : 0;
            if (frame()) frames = 3;
        }
        settings_.mode = view_.mode;
        settings_.scale = view_.scale;
        write_settings(settings_);
    }

  private:
    [[nodiscard]] WindowWish wish() const {
        const auto [width, height] = size_of(o_.size);
        return {width, height, !o_.shot.empty()};
    }

    void stand_lit() {
        view_.lit_part = o_.part;
        if (!o_.finding.empty()) view_.finding = o_.finding;
    }

    Commands draw_frame(Places* places) {
        Ui ui(window_.look(), places);
        return draw(view_, session_.scene(), session_.texts(), session_.busy(), session_.live(), presets_,
                    settings_.recent, pictures_, ui);
    }

    /// Never more frames than the wish, however the pointer moves.
    void keep_pace(double least) {
        using namespace std::chrono;
        const auto until = last_ + duration_cast<steady_clock::duration>(duration<double>(least));
        std::this_thread::sleep_until(until);
        last_ = steady_clock::now();
    }

    /// True: something happened, so that a few more frames are due.
    bool frame() {
        bool news = session_.collect(view_);
        window_.use(make_look(view_.mode, view_.scale));
        Places places;
        window_.begin_frame();
        const auto commands = draw_frame(o_.places.empty() ? nullptr : &places);
        window_.end_frame();
        if (!o_.places.empty()) write_places(o_.places, places);
        for (const auto& c : commands) session_.act(c, view_);
        drop();  // after the frame, which knows what the pointer is on
        if (const auto opened = session_.newly_opened()) {
            remember(settings_, *opened);
            write_settings(settings_);
            window_.set_title((session_.texts().title.empty() ? "" : session_.texts().title + " - ") +
                              "Cranknote");
        }
        const auto& io = ImGui::GetIO();
        const bool input = io.MouseDelta.x != 0 || io.MouseDelta.y != 0 || io.MouseWheel != 0 ||
                           ImGui::IsAnyMouseDown() || !io.InputQueueCharacters.empty();
        return news || input || window_.keys_wait() || !commands.empty();
    }

    void drop() {
        auto files = window_.take_dropped();
        if (files.empty()) return;
        if (!session_.scene().open)
            session_.act(ask::Open{files.front()}, view_);
        else
            session_.act(ask::AddFiles{files, view_.next, view_.state_under}, view_);
    }

    Options o_;
    Settings settings_;
    Window window_;
    ViewState view_;
    Session session_;
    Pictures pictures_;
    std::vector<Preset> presets_;
    std::chrono::steady_clock::time_point last_{};
};

}  // namespace

int run(int argc, char** argv) {
    CLI::App app{"Cranknote's window: the whole job on one screen"};
    Options o;
    app.add_option("JOB", o.job, "The job's folder");
    app.add_option("--shot", o.shot, "Draw the window into this PNG file, without a person, and end");
    app.add_option("--size", o.size, "Width and height in pixels, as in 1600x1000");
    app.add_option("--scale", o.scale, "How large: 1 to 3")->check(CLI::Range(0.8, 3.0));
    app.add_flag("--dark", o.dark, "Light letters on dark ground");
    app.add_flag("--light", o.light, "Dark letters on light ground");
    app.add_option("--over", o.over,
                   "With --shot: help, new, layout, record, add, saw or note lies over the sheet");
    app.add_option("--page", o.page, "With --shot: day, engine, sound or answers, where not all have room");
    app.add_option("--tab", o.tab, "With --shot: change, swelling or speed");
    app.add_option("--part", o.part, "With --shot: as if the pointer were on this part");
    app.add_option("--finding", o.finding, "With --shot: this finding is chosen");
    app.add_option("--a", o.a, "With --shot: number of the first state, from 0");
    app.add_option("--b", o.b, "With --shot: number of the second state");
    app.add_flag("--hz", o.hz, "With --shot: over Hz");
    app.add_flag("--measure", o.measure, "Say how long opening and drawing take, and end");
    app.add_option("--places", o.places, "Write where everything stands into this file, at every frame");
    CLI11_PARSE(app, argc, argv);
    try {
        Program program(o);
        if (o.measure)
            program.measure();
        else if (o.shot.empty())
            program.run();
        else
            program.shoot();
        return 0;
    } catch (const Error& e) {
        std::cerr << "cranknote-desk: " << e.what() << "\n";
        return e.kind == Error::Kind::wrong_call ? 2 : 1;
    }
}

}  // namespace cranknote::desk

int main(int argc, char** argv) { return cranknote::desk::run(argc, argv); }
