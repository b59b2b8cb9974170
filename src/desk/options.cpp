#include "desk/options.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <vector>

#include "units/error.hpp"

namespace cranknote::desk {

namespace {

template <class T>
T named(const std::string& word, const std::vector<std::pair<const char*, T>>& names, const char* option) {
    for (const auto& [name, value] : names)
        if (word == name) return value;
    throw Error("there is no \"" + word + "\"", option, "", Error::Kind::wrong_call);
}

}  // namespace

std::pair<int, int> size_of(const std::string& text) {
    int width = 0, height = 0;
    if (std::sscanf(text.c_str(), "%dx%d", &width, &height) != 2 || width < 320 || height < 240 ||
        width > 8192 || height > 8192)
        throw Error("not a size: " + text, "--size", "as in 1600x1000", Error::Kind::wrong_call);
    return {width, height};
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
                                 {"near", Over::near},
                                 {"reading", Over::reading},
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
            o.tab, {{"change", SoundTab::change}, {"swelling", SoundTab::swelling}, {"time", SoundTab::time}},
            "--tab");
    view.lit_part = o.part;
    view.finding = o.finding;
    view.over_hz = o.hz;
    const auto last = scene.states.empty() ? 0 : scene.states.size() - 1;
    if (o.a) view.a = std::min<std::size_t>(static_cast<std::size_t>(*o.a), last);
    if (o.b) view.shown = view.b = std::min<std::size_t>(static_cast<std::size_t>(*o.b), last);
}

void declare(CLI::App& app, Options& o) {
    app.add_option("JOB", o.job, "The job's folder");
    app.add_option("--shot", o.shot, "Draw the window into this PNG file, without a person, and end");
    app.add_option("--size", o.size, "Width and height in pixels, as in 1600x1000");
    app.add_option("--scale", o.scale, "How large: 1 to 3")->check(CLI::Range(0.8, 3.0));
    app.add_flag("--dark", o.dark, "Light letters on dark ground");
    app.add_flag("--light", o.light, "Dark letters on light ground");
    app.add_option(
        "--over", o.over,
        "With --shot: help, new, layout, record, add, saw, near, reading or note lies over the sheet");
    app.add_option("--page", o.page, "With --shot: day, engine, sound or answers, where not all have room");
    app.add_option("--tab", o.tab, "With --shot: change, swelling or time");
    app.add_option("--part", o.part, "With --shot: as if the pointer were on this part");
    app.add_option("--finding", o.finding, "With --shot: this finding is chosen");
    app.add_option("--a", o.a, "With --shot: number of the first state, from 0");
    app.add_option("--b", o.b, "With --shot: number of the second state");
    app.add_flag("--hz", o.hz, "With --shot: over Hz");
    app.add_flag("--measure", o.measure, "Say how long opening and drawing take, and end");
    app.add_option("--places", o.places, "Write where everything stands into this file, at every frame");
}

}  // namespace cranknote::desk
