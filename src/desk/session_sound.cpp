// Microphone and loudspeaker, as asked for.
#include <filesystem>

#include "audio/decode.hpp"
#include "desk/said.hpp"
#include "desk/session.hpp"
#include "job/examine_file.hpp"

namespace cranknote::desk {

namespace fs = std::filesystem;

void Session::done(const ask::Record& c, ViewState& view) {
    const auto place = folder().path() / "unfinished";
    fs::create_directories(place);
    auto stamp = job::to_iso(job::now());
    std::erase(stamp, ':');
    recording_file_ = (place / (stamp + ".wav")).string();
    recording_of_ = c.next;
    sound_.stop_playing();
    sound_.record(recording_file_);
    say(view, "");
}

void Session::done(const ask::StopRecording& c, ViewState& view) {
    const auto state = sound_.stop_recording();
    if (!state) return;
    std::error_code ignored;
    if (!c.keep || state->recorded.value() <= 0.0) {
        fs::remove(recording_file_, ignored);
        say(view, c.keep ? "Nothing was recorded." : "Thrown away.");
        return;
    }
    done(ask::AddFiles{{recording_file_}, recording_of_, std::nullopt}, view);
    fs::remove(recording_file_, ignored);  // the job has its own copy now
    fs::remove(fs::path(recording_file_).parent_path(), ignored);
    if (state->trouble) say(view, *state->trouble, true);
}

void Session::done(const ask::Play& c, ViewState& view) {
    (void)view;
    const auto scene = scene_;
    std::string file;
    Stretch stretch;
    stretch.longest = longest_analysed;
    const std::size_t state = c.b ? view.b : view.a;
    for (const auto& r : scene->job.recordings) {
        const bool wanted = c.recording.empty()
                                ? state < scene->states.size() && r.state == scene->states[state].name
                                : r.id == c.recording;
        if (!wanted || !file.empty()) continue;
        file = folder().inside(r.file).string();
        stretch.from = r.from;
        stretch.to = r.to;
    }
    if (file.empty()) throw Error("there is no recording to play", "", "");
    // What did not change between the sides says how much louder one of them is; the louder is turned down.
    double offset = 0.0;
    if (c.recording.empty() && scene->compared) offset = scene->compared->comparison.level_offset.value();
    const Decibel gain{c.b ? std::min(0.0, -offset) : std::min(0.0, offset)};
    Treatment how;
    how.band = c.band;
    how.loop = c.loop;
    stage_.start("Making it ready to hear",
                 [this, file, stretch, gain, how, c, player = sound_.player()](std::stop_token stop,
                                                                               const auto&) -> Worker::Apply {
                     try {
                         const auto reading = read_stretch(file, stretch, {}, stop);
                         auto out = player && player->alive()
                                        ? player
                                        : std::make_shared<Player>("", SampleRate{48000.0});
                         auto sound = std::make_shared<const Playable>(take_of(
                             mono(reading.recording), reading.recording.rate, out->rate(), gain, how));
                         return [this, out, sound, c] { sound_.play(out, sound, c.b, c.recording); };
                     } catch (const Stopped&) {
                         return {};
                     } catch (const Error& e) {
                         return [this, text = sentence_of(e)] { trouble_ = text; };
                     }
                 });
}

void Session::done(const ask::StopPlaying&, ViewState&) { sound_.stop_playing(); }

}  // namespace cranknote::desk
