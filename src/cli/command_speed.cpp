#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>
#include <ostream>

#include "audio/record.hpp"
#include "cli/commands.hpp"
#include "cli/parse.hpp"
#include "cli/read_layout.hpp"
#include "cli/terminal.hpp"
#include "cli/track_text.hpp"
#include "cli/write_figure.hpp"
#include "figure/figures.hpp"
#include "job/examine_file.hpp"
#include "note/json.hpp"
#include "note/words.hpp"
#include "speed/at_moment.hpp"
#include "speed/engine_settings.hpp"
#include "units/error.hpp"

namespace cranknote::cli {

namespace {

struct SpeedOptions {
    std::string file, layout, rpm, from, to, at, figure, pickup, pulses;
    std::optional<int> cylinders, pickup_cylinder;
    bool as_json = false;
};

SpeedSettings settings_of(const SpeedOptions& o) {
    SpeedSettings s;
    if (const auto layout = layout_of(o.layout, o.cylinders)) s = speed_settings_of(layout->engine);
    if (o.layout.empty()) s.firing_order.clear();  // a typical engine's is a guess
    if (!o.rpm.empty()) s.tag = parse_speed_tag(o.rpm);
    return s;
}

/// Where the pulses are, and what was said of them.
std::optional<PickupChoice> pickup_of(const SpeedOptions& o, const SpeedSettings& settings) {
    if (o.pickup.empty()) {
        if (o.pulses.empty() && !o.pickup_cylinder) return std::nullopt;
        throw Error("this is about a pickup, and none is named",
                    o.pulses.empty() ? "--pickup-cylinder" : "--pulses", "give --pickup right, left or FILE",
                    Error::Kind::wrong_call);
    }
    PickupChoice p;
    p.channel = channel_named(o.pickup);
    p.file = o.pickup;
    if (!o.pulses.empty()) p.how.pulses_per_turn = parse_pulses(o.pulses);
    p.how.cylinder = o.pickup_cylinder;
    const int count = settings.cylinders.value_or(16);
    if (o.pickup_cylinder && (*o.pickup_cylinder < 1 || *o.pickup_cylinder > count))
        throw Error("there is no cylinder " + std::to_string(*o.pickup_cylinder), "--pickup-cylinder",
                    "1 to " + std::to_string(count), Error::Kind::wrong_call);
    return p;
}

struct Measured {
    RecordingSummary summary;
    std::optional<Seconds> at;  ///< the moment asked for
    SpeedAtMoment there;
};

Measured read_and_measure(const SpeedOptions& o, const SpeedSettings& settings) {
    const auto typed = parse_stretch(o.from, o.to);
    Measured m;
    if (!o.at.empty()) m.at = parse_seconds(o.at, "--at");
    m.summary = examine_file(o.file, {typed.from, typed.to}, settings, {}, pickup_of(o, settings)).summary;
    if (!m.at) return m;
    if (*m.at > m.summary.duration)
        throw Error("the file is only " + json_of(m.summary.duration).dump() + " s long", "--at",
                    "give seconds from the file's beginning", Error::Kind::wrong_call);
    const Seconds from = typed.from.value_or(Seconds{0});
    const Seconds to = std::min(typed.to.value_or(m.summary.duration), from + longest_analysed);
    m.there = speed_at_moment(m.summary.speed, *m.at, {from, std::min(to, m.summary.duration)});
    return m;
}

void print_json(std::ostream& out, const Measured& m) {
    auto json = to_json(m.summary);
    if (m.at) {
        const auto& rpm = m.there.rpm;
        json["at"] = {{"t_s", json_of(*m.at)}, {"rpm", rpm ? json_of(*rpm) : Json(nullptr)}};
        json["at"]["why"] = rpm ? Json(nullptr) : Json(m.there.why);
    }
    out << text_of(json);
}

/// The track as a line of blocks says nothing to a program that reads this.
void print_track(std::ostream& out, const RecordingSummary& r) {
    if (!on_terminal()) return;
    auto track = r.speed.track;
    for (auto& t : track.at) t -= r.used.first;
    const auto line = track_line(track, r.used.second - r.used.first);
    if (!line.empty()) out << line << "\n";
}

void print_words(std::ostream& out, const Measured& m) {
    out << words_for(m.summary);
    print_track(out, m.summary);
    if (!m.at) return;
    const auto& rpm = m.there.rpm;
    out << "At " << json_of(*m.at).dump() << " s: "
        << (rpm ? std::to_string(std::lround(rpm->value())) + " rpm" : "cannot tell: " + m.there.why) << "\n";
}

void run(const SpeedOptions& o, Streams s) {
    const auto settings = settings_of(o);
    if (!o.figure.empty()) check_figure_name(o.figure);
    const auto m = read_and_measure(o, settings);
    if (!o.figure.empty())
        write_figure(
            figure::running_figure(m.summary.speed, std::filesystem::path(o.file).filename().string()),
            o.figure);
    o.as_json ? print_json(s.out, m) : print_words(s.out, m);
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
    speed->add_option("--pickup", o->pickup,
                      std::string("An ignition pickup's pulses: the right or left channel, or a FILE of its "
                                  "own (for the speed only: two recorders drift). WARNING: ") +
                          two_channel_warning);
    speed->add_option("--pulses", o->pulses,
                      "Pulses of the pickup: 1 a crank turn, 2, ..., or 1/2: one in two turns (one plug of a "
                      "four-stroke); left out: inferred");
    speed->add_option("--pickup-cylinder", o->pickup_cylinder,
                      "Whose lead the pickup is on; with a layout's firing order it names the cylinders");
    speed->add_option(
        "--figure", o->figure,
        "Draw speed through time, and with a pickup the ring of cylinders: a .png or .svg file");
    speed->add_flag("--json", o->as_json, "As JSON");
    speed->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
