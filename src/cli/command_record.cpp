// cranknote inputs, cranknote record: from a microphone into a file.
#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "audio/devices.hpp"
#include "audio/record.hpp"
#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

struct RecordCall {
    std::string path, input;
    double seconds = 0;
    int channels = 1, rate = 48000;
    bool until_engine_stops = false, json = false;
};

std::string db_text(const std::optional<Decibel>& level) {
    return level ? fmt::format("{:6.1f} dB", level->value()) : std::string("  silent ");
}

/// Twenty steps of 3 dB.
std::string bar(const std::optional<Decibel>& level) {
    const int steps = level ? std::clamp(static_cast<int>((level->value() + 60) / 3), 0, 20) : 0;
    return std::string(static_cast<std::size_t>(steps), '=') +
           std::string(static_cast<std::size_t>(20 - steps), ' ');
}

std::string meter_line(const RecordState& s) {
    if (s.recorded.value() <= 0) return "waiting for the first sound";
    std::string text = fmt::format("{:7.1f} s ", s.recorded.value());
    for (const auto& l : s.levels)
        text += fmt::format(" |{}| peak {} held {}{}", bar(l.rms), db_text(l.peak), db_text(l.peak_hold),
                            l.clipped > 0 ? "  CLIPPED" : "");
    if (const auto advice = s.levels.empty() ? std::nullopt : advice_on(s.levels.front());
        advice && s.recorded.value() > 1)
        text += "  " + *advice;
    return text;
}

const char* end_name(RecordEnd end) {
    switch (end) {
        case RecordEnd::running:
        case RecordEnd::asked:
            return "asked";
        case RecordEnd::length_reached:
            return "length reached";
        case RecordEnd::engine_stopped:
            return "engine stopped";
        case RecordEnd::device_lost:
            return "device lost";
        case RecordEnd::no_room:
            return "no room";
    }
    return "asked";
}

std::size_t clipped(const RecordState& s) {
    std::size_t n = 0;
    for (const auto& l : s.levels) n += l.clipped;
    return n;
}

void print_text(const RecordCall& call, const std::string& device, const RecordState& s, std::ostream& out) {
    out << fmt::format("{}: {:.1f} s from {}\n", call.path, s.recorded.value(), device);
    if (s.end == RecordEnd::engine_stopped) out << "The engine was shut off, so the recording was ended.\n";
    if (clipped(s) > 0)
        out << fmt::format(
            "{} samples are clipped: move the microphone away or turn its gain down, and record again.\n",
            clipped(s));
    if (s.overruns > 0)
        out << fmt::format(
            "Sound was lost {} times because the machine was too slow: close other programs and record "
            "again.\n",
            s.overruns);
}

void print_json(const RecordCall& call, const std::string& device, const RecordState& s, std::ostream& out) {
    out << nlohmann::ordered_json{{"schema", 1},
                                  {"file", call.path},
                                  {"duration_s", s.recorded.value()},
                                  {"input", device},
                                  {"channels", call.channels},
                                  {"sample_rate_hz", call.rate},
                                  {"end", end_name(s.end)},
                                  {"clipped", clipped(s)},
                                  {"overruns", s.overruns}}
               .dump()
        << "\n";
}

void record(const RecordCall& call, Streams s) {
    RecordSettings settings{
        call.input, call.channels, SampleRate{static_cast<double>(call.rate)}, {}, call.until_engine_stops};
    if (call.seconds > 0) settings.stop_after = Seconds{call.seconds};
    if (call.channels == 2) s.err << "cranknote: " << two_channel_warning << "\n";
    const Interrupt interrupt;
    Recorder recorder(call.path, settings);
    {
        StatusLine line(s.err);
        Keys keys;
        while (!interrupt.wished() && recorder.state().end == RecordEnd::running) {
            if (const auto key = keys.next(100); key == 'q') break;
            line.show(meter_line(recorder.state()) + "   q: stop");
        }
    }
    const auto device = recorder.device();
    const auto state = recorder.stop();
    if (state.trouble)
        throw Error(*state.trouble, call.path,
                    fmt::format("{:.1f} s are in the file", state.recorded.value()));
    if (call.json)
        print_json(call, device, state, s.out);
    else
        print_text(call, device, state, s.out);
}

}  // namespace

void add_record(CLI::App& app, Streams s) {
    auto* sub = app.add_subcommand("record", "Record from a microphone into a WAV file");
    auto call = std::make_shared<RecordCall>();
    sub->add_option("OUT", call->path, "The file to make; it must not be there yet")->required();
    sub->add_option("--seconds", call->seconds, "Stop at this length (else at Ctrl-C or q)")
        ->check(CLI::Range(0.1, 21600.0));
    sub->add_option("--input", call->input, "The input's name or a part of it (see cranknote inputs)");
    sub->add_option("--channels", call->channels,
                    std::string("1, or 2 with a pickup on the second. WARNING: ") + two_channel_warning)
        ->check(CLI::IsMember({1, 2}));
    sub->add_option("--rate", call->rate, "Samples per second, 44100 or 48000")
        ->check(CLI::IsMember({44100, 48000}));
    sub->add_flag("--until-engine-stops", call->until_engine_stops, "Stop when the engine is shut off");
    sub->add_flag("--json", call->json, "Print the result as JSON");
    sub->callback([call, s] { record(*call, s); });
}

void add_inputs(CLI::App& app, Streams s) {
    auto* sub = app.add_subcommand("inputs", "List the microphones and other inputs of this machine");
    auto json = std::make_shared<bool>(false);
    sub->add_flag("--json", *json, "As JSON");
    sub->callback([json, s] {
        const SoundSystem system;
        const auto all = inputs(system);
        if (*json) {
            auto list = nlohmann::ordered_json::array();
            for (const auto& d : all)
                list.push_back({{"name", d.name},
                                {"channels", d.channels},
                                {"rate_hz", d.usual_rate.value()},
                                {"usual", d.usual}});
            s.out << nlohmann::ordered_json{{"schema", 1}, {"inputs", list}}.dump() << "\n";
            return;
        }
        if (all.empty())
            s.out << "This machine has no sound input. Plug in a microphone, or record with a phone.\n";
        for (const auto& d : all)
            s.out << fmt::format("{} {} ({} channel{})\n", d.usual ? "*" : " ", d.name, d.channels,
                                 d.channels == 1 ? "" : "s");
    });
}

}  // namespace cranknote::cli
