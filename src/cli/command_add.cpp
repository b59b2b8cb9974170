#include <algorithm>
#include <filesystem>
#include <memory>
#include <ostream>

#include "audio/decode.hpp"
#include "audio/record.hpp"
#include "cli/commands.hpp"
#include "cli/parse.hpp"
#include "cli/recording_text.hpp"
#include "cli/values.hpp"
#include "figure/number_text.hpp"
#include "job/add.hpp"
#include "job/analysis.hpp"
#include "job/evidence.hpp"
#include "note/words.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

struct AddOptions {
    std::string job, file, state, rpm, from, to, placement, near, since_start, coolant, at, weather, notes,
        pickup;
    std::vector<std::string> off, with, loads;
    std::string repaired;  ///< "true", or what was repaired; empty: nothing
};

constexpr const char* repaired_unnamed = "true";

job::Addition addition_of(const AddOptions& o) {
    job::Addition a;
    a.state = parse_words(o.state, "--state");
    a.off = o.off;
    a.with = o.with;
    a.repaired = !o.repaired.empty();
    if (o.repaired != repaired_unnamed) a.repaired_what = o.repaired;
    auto& r = a.recording;
    r.from = if_given(o.from, "--from", parse_seconds);
    r.to = if_given(o.to, "--to", parse_seconds);
    r.placement = if_given(o.placement, "--placement", parse_words);
    r.near = if_given(o.near, "--near", parse_words);
    if (!o.rpm.empty()) r.rpm = parse_speed_tag(o.rpm, "--rpm");
    r.since_start = if_given(o.since_start, "--since-start", parse_seconds);
    r.coolant = if_given(o.coolant, "--coolant", parse_coolant);
    for (const auto& load : o.loads) r.loads.push_back(parse_words(load, "--load"));
    r.weather = if_given(o.weather, "--weather", parse_words);
    r.notes = if_given(o.notes, "--note", parse_words);
    r.at = if_given(o.at, "--at", parse_when);
    r.pickup_channel = channel_named(o.pickup);
    if (!o.pickup.empty() && !r.pickup_channel)
        throw Error("'" + o.pickup + "' is no channel", "--pickup", "left or right", Error::Kind::wrong_call);
    return a;
}

/// The file must be sound, and the stretch must be in it.
SoundInfo checked_sound(const std::string& file, const job::Recording& r) {
    const auto sound = SoundFile::open(file);
    const auto& info = sound.info();
    for (const auto& [moment, option] : {std::pair(r.from, "--from"), std::pair(r.to, "--to")})
        if (moment && info.duration && *moment > *info.duration)
            throw Error("the file is " + seconds_text(*info.duration) + " long", option, "",
                        Error::Kind::wrong_call);
    if (r.pickup_channel && info.channels < 2)
        throw Error("the file has one channel only, so none holds a pickup", "--pickup", "leave it out",
                    Error::Kind::wrong_call);
    return info;
}

void print_sound(std::ostream& out, const SoundInfo& info) {
    std::string text = info.duration ? seconds_text(*info.duration) + ", " : "";
    text += short_number_text(info.rate.value() / 1000.0) + " kHz, " +
            (info.channels == 1 ? "one channel" : std::to_string(info.channels) + " channels") + ", " +
            info.container + (info.codec.empty() || info.codec == info.container ? "" : "/" + info.codec) +
            ".";
    print_line(out, text);
}

void print_added(std::ostream& out, const job::Added& added, const job::Job& job, const SoundInfo& info) {
    const auto& u = added.understood;
    const auto& state = job.states[u.place];
    print_line(out, "Added " + added.recording.file + " as " + added.recording.id + ".");
    print_line(out, std::string(u.new_state ? "New state" : "State") + " \"" + state.name + "\", number " +
                        std::to_string(u.place + 1) + " of " + std::to_string(job.states.size()) +
                        "; off: " + listed(u.off) + ".");
    if (!u.still.empty()) print_line(out, "Standing still by it: " + listed(u.still) + ".");
    if (!state.with.empty()) print_line(out, "With: " + listed(state.with) + ".");
    if (state.repaired)
        print_line(
            out, "Repaired: " + (state.repaired_what.empty() ? "not said what" : state.repaired_what) + ".");
    print_sound(out, info);
    if (const auto conditions = conditions_text(added.recording); !conditions.empty())
        print_line(out, "Understood: " + conditions + ".");
    for (const auto& remark : u.remarks) print_line(out, remark);
    if (!u.caution.empty()) print_line(out, "Caution: " + u.caution);
}

/// What the program makes of the sound: its speed, and what limits it. (The portrait is kept for later.)
void print_heard(std::ostream& out, const job::Folder& folder, const std::string& id) {
    const auto evidence = job::evidence_of(folder.path(), folder.job());
    for (const auto& r : evidence.recordings) {
        if (r.id != id) continue;
        const auto heard = job::listen(r, evidence.layout, job::Cache(folder.path() / "cache"));
        if (!heard.examined) {
            print_line(out, heard.trouble);
            return;
        }
        std::string speed;
        for (const auto& sentence : speed_sentences(heard.examined->summary.speed))
            speed += (speed.empty() ? "" : " ") + sentence;
        print_line(out, speed);
        const auto& quality = heard.examined->summary.quality;
        const bool unusable = std::any_of(quality.begin(), quality.end(), [](const QualityRemark& q) {
            return q.severity == Severity::unusable;
        });
        if (quality.empty()) print_line(out, "Nothing is wrong with the recording.");
        for (const auto& q : quality) print_line(out, q.text);
        if (unusable) print_line(out, "It cannot be used for comparing. Record it again.");
    }
}

void add_options(CLI::App& c, AddOptions& o) {
    c.add_option("JOB", o.job, "The job's folder")->required();
    c.add_option("FILE", o.file, "The sound file; it is copied in untouched")->required();
    c.add_option("--state", o.state, "The state's name; the first is \"as found\"")->required();
    add_many(c, "--off", o.off,
             "What is off in this state, all of it: a part, drive, cover or pull; repeats");
    add_many(c, "--with", o.with, "A check that applies: lock, ac-on, lamps-on, mist, ...; repeats");
    c.add_flag("--repaired", o.repaired,
               "Something was set right from this state on; --repaired=NAME says what");
    c.add_option("--rpm", o.rpm, "Crank speed: 820, or 820~2 with how sure; - is not known");
    c.add_option("--from", o.from, "Only from this second of the file");
    c.add_option("--to", o.to, "Only up to this second of the file");
    c.add_option("--placement", o.placement, "A name for how the phone lay; equal names: it was not touched");
    c.add_option("--near", o.near, "The part, drive or cover that the microphone was held near");
    c.add_option("--since-start", o.since_start, "Seconds that the engine had been running when it begins");
    c.add_option(
        "--pickup", o.pickup,
        std::string("The channel with an ignition pickup: right or left. WARNING: ") + two_channel_warning);
    c.add_option("--coolant", o.coolant, "cold, warm or °C");
    c.add_option("--at", o.at, "When it was recorded: 10:30, or 2026-03-01 10:30");
    add_many(c, "--load", o.loads, "A load that was on, in words; repeats");
    c.add_option("--weather", o.weather, "In words");
    c.add_option("--note", o.notes, "Anything else, in words");
}

}  // namespace

void add_add(CLI::App& app, Streams s) {
    auto* command =
        app.add_subcommand("add", "Add a recording to a job: which state it is of, and how it was made");
    auto o = std::make_shared<AddOptions>();
    add_options(*command, *o);
    command->callback([=] {
        const auto addition = addition_of(*o);
        auto folder = open_to_change(o->job, "cranknote add", s);
        const Layout layout = job::layout_of(folder.job());
        const auto info = checked_sound(o->file, addition.recording);
        ProgressLine progress(s, "copying");
        const auto added = job::add_file(folder, layout, o->file, addition, std::ref(progress));
        if (!added) return;
        print_added(s.out, *added, folder.job(), info);
        print_heard(s.out, folder, added->recording.id);
    });
}

}  // namespace cranknote::cli
