#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/parse.hpp"
#include "cli/read_layout.hpp"
#include "cli/track_text.hpp"
#include "cli/write_figure.hpp"
#include "figure/figures.hpp"
#include "job/examine_file.hpp"
#include "note/json.hpp"
#include "note/words.hpp"
#include "speed/from_sound.hpp"

namespace cranknote::cli {

namespace {

struct SpeedOptions {
    std::string file, layout, rpm, from, to, at, figure;
    std::optional<int> cylinders;
    bool as_json = false;
};

SpeedSettings settings_of(const SpeedOptions& o) {
    SpeedSettings s;
    if (const auto layout = layout_of(o.layout, o.cylinders)) {
        s.cylinders = layout->engine.cylinders;
        s.stroke = layout->engine.stroke;
    }
    if (!o.rpm.empty()) s.tag = parse_speed_tag(o.rpm);
    return s;
}

RecordingSummary read_and_measure(const SpeedOptions& o, const SpeedSettings& settings) {
    const auto typed = parse_stretch(o.from, o.to);
    return examine_file(o.file, {typed.from, typed.to}, settings).summary;
}

std::optional<Rpm> speed_at(const RecordingSummary& r, Seconds at) {
    if (at < r.used.first || at > r.used.second)
        throw Error("the moment is not in the stretch that was read", "--at",
                    "give seconds from the file's beginning", Error::Kind::wrong_call);
    if (!r.speed.mean || r.speed.track.empty()) return std::nullopt;
    return r.speed.track.speed_at(at);
}

void print_json(std::ostream& out, const RecordingSummary& r, const std::optional<Seconds>& at) {
    auto json = to_json(r);
    if (at) {
        const auto rpm = speed_at(r, *at);
        json["at"] = {{"t_s", json_of(*at)}, {"rpm", rpm ? json_of(*rpm) : Json(nullptr)}};
    }
    out << text_of(json);
}

void print_words(std::ostream& out, const RecordingSummary& r, const std::optional<Seconds>& at) {
    out << words_for(r);
    auto track = r.speed.track;
    for (auto& t : track.at) t -= r.used.first;
    const auto line = track_line(track, r.used.second - r.used.first);
    if (!line.empty()) out << line << "\n";
    if (!at) return;
    const auto rpm = speed_at(r, *at);
    out << "At " << json_of(*at).dump()
        << " s: " << (rpm ? std::to_string(std::lround(rpm->value())) + " rpm" : "cannot tell") << "\n";
}

void run(const SpeedOptions& o, Streams s) {
    const auto settings = settings_of(o);
    if (!o.figure.empty()) check_figure_name(o.figure);
    std::optional<Seconds> at;
    if (!o.at.empty()) at = parse_seconds(o.at, "--at");
    const auto r = read_and_measure(o, settings);
    if (at) (void)speed_at(r, *at);
    if (!o.figure.empty())
        write_figure(figure::speed_figure(r.speed, std::filesystem::path(o.file).filename().string()),
                     o.figure);
    o.as_json ? print_json(s.out, r, at) : print_words(s.out, r, at);
}

}  // namespace

void add_speed(CLI::App& app, Streams s) {
    auto* speed = app.add_subcommand("speed", "Read crank speed from a recording");
    auto o = std::make_shared<SpeedOptions>();
    speed->add_option("FILE", o->file, "A sound file, or a video's sound")->required();
    speed->add_option("--cylinders", o->cylinders, "How many cylinders the engine has, 1 to 16");
    speed->add_option("--layout", o->layout, "The engine's layout, a TOML file");
    speed->add_option("--rpm", o->rpm, "Speed from the dash or a scan tool: 820, or 820~2 (sure to 2 rpm)");
    speed->add_option("--from", o->from, "Begin so many seconds into the file");
    speed->add_option("--to", o->to, "End so many seconds into the file");
    speed->add_option("--at", o->at, "Print the speed at this moment too, seconds into the file");
    speed->add_option("--figure", o->figure, "Draw speed through time: a .png or .svg file");
    speed->add_flag("--json", o->as_json, "As JSON");
    speed->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
