#include "speed_result.hpp"

#include <fmt/core.h>

#include <chrono>
#include <cmath>
#include <fstream>
#include <iostream>
#include <memory>

#include "speed_modes.hpp"

namespace cranknote::score {

namespace {

double track_error(const SpeedTrack& read, const SpeedTrack& truth, std::pair<Seconds, Seconds> used) {
    double sum = 0.0;
    int count = 0;
    for (std::size_t i = 0; i < truth.at.size(); ++i) {
        const Seconds t = truth.at[i];
        if (t < used.first + Seconds{0.2} || t > used.second - Seconds{0.2}) continue;
        if (truth.rpm[i].value() <= 0.0) continue;
        sum += std::pow(read.speed_at(t) / truth.rpm[i] - 1.0, 2);
        ++count;
    }
    return count > 0 ? std::sqrt(sum / count) : 0.0;
}

struct Options {
    std::string set = "tune", purpose = "speed", keep, folder, csv;
    int from = 0, count = 480;
    bool cylinders_unknown = false;
};

void progress(int done, int all) {
    if (done % 10 == 0 || done == all) fmt::print(stderr, "\r{} of {} ", done, all);
    if (done == all) fmt::print(stderr, "\n");
}

std::vector<SpeedResult> results_of(const Options& o) {
    std::vector<SpeedResult> results;
    if (!o.folder.empty()) {
        for (const auto& f : wav_files_in(o.folder))
            results.push_back(result_of(read_speed_take(f), !o.cylinders_unknown));
        return results;
    }
    const auto set = o.set == "tune" ? simulate::Set::tune : simulate::Set::score;
    const auto purpose = simulate::purpose_named(o.purpose);
    const int to = std::min(o.from + o.count, simulate::cases_in(purpose));
    for (int i = o.from; i < to; ++i) {
        results.push_back(result_of(make_speed_take(set, purpose, i, o.keep), !o.cylinders_unknown));
        progress(i + 1 - o.from, to - o.from);
    }
    return results;
}

void run(const Options& o) {
    const auto results = results_of(o);
    if (!o.csv.empty()) {
        std::ofstream csv(o.csv);
        write_csv(csv, results);
    }
    report(std::cout, results);
}

}  // namespace

SpeedResult result_of(const SpeedTake& take, bool cylinders_known) {
    SpeedSettings s;
    if (cylinders_known) s.cylinders = take.cylinders, s.stroke = take.stroke;
    const auto begin = std::chrono::steady_clock::now();
    const auto reading = speed_from_sound(take.sound, take.rate, s);
    const auto end = std::chrono::steady_clock::now();
    SpeedResult r;
    r.id = take.id, r.codec = take.codec, r.phone = take.truth.phone, r.course = take.truth.course;
    r.cylinders = take.cylinders;
    r.milliseconds = std::chrono::duration<double, std::milli>(end - begin).count();
    r.seconds = static_cast<double>(take.sound.size()) / take.rate.value();
    r.wander = take.truth.wander;
    r.confidence = reading.confidence;
    r.alternatives = reading.alternatives;
    const auto [from, to] = take.truth.running;
    r.runs = (to - from).value() >= 2.0;
    r.truth = take.truth.mean.value();
    if (!reading.mean) return r;
    // The truth of the stretch that was used, as far as the engine runs in it.
    const auto used =
        std::pair{std::max(reading.running.used.first, from), std::min(reading.running.used.second, to)};
    if (take.truth.track.at.size() > 2 && used.second > used.first)
        r.truth = simulate::mean_speed(take.truth, used.first, used.second).value();
    r.read = reading.mean->value();
    r.low = reading.interval.first.value(), r.high = reading.interval.second.value();
    r.track_rms = track_error(reading.track, take.truth.track, used);
    return r;
}

void add_speed(CLI::App& app) {
    auto* mode = app.add_subcommand("measure", "How well crank speed is read from sound alone");
    auto o = std::make_shared<Options>();
    mode->add_option("--set", o->set, "tune or score")->check(CLI::IsMember({"tune", "score"}));
    mode->add_option("--purpose", o->purpose, "speed, trouble, ...");
    mode->add_option("--first", o->from, "first case");
    mode->add_option("--cases", o->count, "how many cases");
    mode->add_option("--keep", o->keep, "a folder that keeps the recordings made, for the next run");
    mode->add_option("--folder", o->folder, "instead of a set: NNN.wav beside NNN.json (other_origin.py)");
    mode->add_option("--csv", o->csv, "write one line a recording there");
    mode->add_flag("--cylinders-unknown", o->cylinders_unknown, "do not say how many cylinders there are");
    mode->callback([o] { run(*o); });
}

}  // namespace cranknote::score
