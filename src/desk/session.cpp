#include "desk/session.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <thread>
#include <utility>

#include "audio/decode.hpp"
#include "desk/hear.hpp"
#include "desk/next_state.hpp"
#include "desk/write_note.hpp"
#include "job/add.hpp"
#include "job/edit.hpp"
#include "job/evidence.hpp"
#include "job/examine_file.hpp"
#include "job/verify.hpp"
#include "layout/kinematics.hpp"
#include "note/sentences.hpp"
#include "units/error.hpp"

namespace cranknote::desk {

namespace fs = std::filesystem;

namespace {

void say(ViewState& view, std::string text, bool trouble = false) {
    view.said = std::move(text);
    view.said_is_trouble = trouble;
}

std::string sentence_of(const Error& e) {
    std::string text = e.where.empty() ? e.trouble : e.trouble + " (" + e.where + ")";
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text + (e.advice.empty() ? "." : ": " + e.advice + ".");
}

job::Addition addition_of(const NextState& next, const Scene& scene) {
    job::Addition a;
    a.state = name_of(next, scene);
    a.off = {next.off.begin(), next.off.end()};
    a.with = {next.with.begin(), next.with.end()};
    a.repaired = next.repaired;
    a.repaired_what = next.repaired_what;
    a.recording.near = next.near;
    if (next.warmth != 0) a.recording.coolant = next.warmth == 1 ? job::Warmth::cold : job::Warmth::warm;
    a.recording.rpm = speed_tag_from(next.rpm);
    if (next.same_placement && !scene.job.recordings.empty())
        a.recording.placement = scene.job.recordings.back().placement;
    if (!a.recording.placement)
        a.recording.placement = "placement " + std::to_string(scene.job.recordings.size() + 1);
    return a;
}

/// Files dropped on a state that is there are more of the same.
job::Addition addition_to(const job::State& state) {
    job::Addition a;
    a.state = state.name;
    a.off = state.off;
    a.with = state.with;
    a.repaired = state.repaired;
    a.repaired_what = state.repaired_what;
    return a;
}

}  // namespace

Session::Session(std::function<void()> wake) : worker_(std::move(wake)) {}

job::Folder& Session::folder() {
    if (!folder_) throw Error("no job is open", "", "open one or begin a new one", Error::Kind::wrong_call);
    return *folder_;
}

std::optional<std::string> Session::newly_opened() { return std::exchange(newly_opened_, std::nullopt); }

void Session::show(Scene scene) {
    scene.serial = ++serial_;
    scene_ = std::make_shared<const Scene>(std::move(scene));
    texts_ = texts_of(*scene_);
}

void Session::open(const std::string& path, ViewState& view) {
    worker_.stop();
    sound_.stop_playing();
    folder_.reset();
    folder_ = job::Folder::open(path, {job::Access::change_if_possible, "cranknote-desk", 0.0});
    ++opened_;
    heard_.clear();
    newly_opened_ = fs::absolute(path).lexically_normal().string();
    view.a = 0;
    view.b = folder_->job().states.empty() ? 0 : folder_->job().states.size() - 1;
    view.shown.reset();
    view.finding.clear();
    view.suspect.clear();
    view.recording.clear();
    view.range.reset();
    view.cautioned = false;
    view.over = Over::nothing;
    say(view, "");
    show({});
    refresh(view);
    view.next = next_after(*scene_);
    for (const auto& t : job::glance(scene_->path, scene_->job)) say(view, t.text, true);
    std::error_code ignored;
    for (const auto& left : fs::directory_iterator(scene_->path / "unfinished", ignored))
        say(view, "A recording was cut off and is kept: drop " + left.path().string() +
                      " on the window to add it.");
}

void Session::refresh(ViewState& view) {
    Scene scene;
    scene.open = true;
    scene.path = folder().path();
    scene.job = folder().job();
    scene.read_only = folder().read_only();
    scene.remarks = folder().remarks();
    auto evidence = job::evidence_of(scene.path, scene.job);
    scene.layout = std::move(evidence.layout);
    scene.states = std::move(evidence.states);
    for (const auto& r : evidence.recordings) {
        const auto found = heard_.find(hearing_key(r, scene.layout));
        scene.heard.push_back(found == heard_.end() ? Heard{} : found->second);
    }
    const auto count = scene.states.size();
    view.a = std::min(view.a, count > 0 ? count - 1 : 0);
    view.b = std::min(view.b, count > 0 ? count - 1 : 0);
    if (view.shown && *view.shown >= count) view.shown.reset();
    show(std::move(scene));
    hear_what_is_new(view);
    if (!scene_->job.recordings.empty()) weigh_the_job();
    if (count > 0) ask_for_pair(view.a, view.b, view);
}

void Session::weigh_the_job() {
    worker_.start("Weighing what speaks for which part",
                  [this, folder = scene_->path, job = scene_->job, opening = opened_](std::stop_token stop,
                                                                                      const auto& report) {
                      auto weighed = weigh(
                          folder, job, [&](double share, const std::string&) { report(share); }, stop);
                      return Worker::Apply([this, weighed, opening, revision = job.revision] {
                          if (opening != opened_ || revision != scene_->job.revision) return;
                          Scene next = *scene_;
                          next.analysis = weighed.analysis;
                          next.analysis_trouble = weighed.trouble;
                          if (weighed.analysis && weighed.analysis->recordings.size() == next.heard.size())
                              for (std::size_t i = 0; i < next.heard.size(); ++i)
                                  next.heard[i] = {weighed.analysis->recordings[i].examined,
                                                   weighed.analysis->recordings[i].trouble};
                          show(std::move(next));
                      });
                  });
}

void Session::hear_what_is_new(ViewState& view) {
    (void)view;
    const auto evidence = job::evidence_of(scene_->path, scene_->job);
    for (std::size_t i = 0; i < evidence.recordings.size(); ++i) {
        const auto& r = evidence.recordings[i];
        const auto key = hearing_key(r, scene_->layout);
        if (heard_.contains(key)) continue;
        heard_[key] = {};
        worker_.start("Hearing " + r.file.filename().string(),
                      [this, r, key, layout = scene_->layout, folder = scene_->path, opening = opened_](
                          std::stop_token stop, const auto&) {
                          auto heard = hear(r, layout, folder, stop);
                          return Worker::Apply([this, heard, key, opening] {
                              if (opening != opened_) return;
                              if (!heard.examined && heard.trouble.empty()) {
                                  heard_.erase(key);
                                  return;
                              }
                              heard_[key] = heard;
                              Scene next = *scene_;
                              const auto now = job::evidence_of(next.path, next.job);
                              for (std::size_t k = 0; k < now.recordings.size(); ++k)
                                  if (hearing_key(now.recordings[k], next.layout) == key)
                                      next.heard[k] = heard;
                              show(std::move(next));
                          });
                      });
    }
}

void Session::ask_for_pair(std::size_t a, std::size_t b, ViewState& view) {
    (void)view;
    worker_.start("Comparing", [this, a, b, opening = opened_](std::stop_token stop, const auto&) {
        // The scene is taken when the task's turn comes, so that all hearings before it are in it.
        (void)stop;
        return Worker::Apply([this, a, b, opening] {
            if (opening != opened_ || a >= scene_->states.size() || b >= scene_->states.size()) return;
            worker_.start("Comparing", [this, a, b, opening, scene = scene_](std::stop_token, const auto&) {
                auto compared = compare_states(*scene, a, b);
                return Worker::Apply([this, compared, opening] {
                    if (opening != opened_) return;
                    Scene next = *scene_;
                    next.compared = compared;
                    show(std::move(next));
                });
            });
        });
    });
}

void Session::act(const Command& command, ViewState& view) {
    try {
        std::visit([&](const auto& c) { done(c, view); }, command);
    } catch (const Error& e) {
        say(view, sentence_of(e), true);
    }
}

bool Session::collect(ViewState& view) {
    if (!told_.empty()) say(view, std::exchange(told_, ""));
    if (!trouble_.empty()) say(view, std::exchange(trouble_, ""), true);
    const auto x = sound_.stretch_for_speed();
    if (!x.empty()) {
        SpeedSettings settings;
        settings.cylinders = scene_->layout.engine.cylinders;
        settings.stroke = scene_->layout.engine.stroke;
        worker_.start("Listening", [this, x, settings](std::stop_token, const auto&) {
            const auto speed = speed_from_sound(x, SampleRate{48000.0}, settings);
            return Worker::Apply([this, speed] {
                sound_.set_rpm(speed.mean && speed.confidence > 0.8 ? speed.mean : std::nullopt);
            });
        });
    }
    return worker_.collect();
}

void Session::settle(ViewState& view) {
    do {
        collect(view);
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    } while (worker_.busy().running || worker_.collect());
}

void Session::save(job::Job next, const std::string& change, ViewState& view) {
    folder().save(std::move(next), change);
    say(view, change + " Ctrl+Z takes it back.");
    refresh(view);
}

// What was asked for ---------------------------------------------------------------------------------------

void Session::done(const ask::Open& c, ViewState& view) { open(c.path, view); }

void Session::done(const ask::MakeJob& c, ViewState& view) {
    try {
        job::Job job;
        if (!c.answers.title.empty()) job.title = c.answers.title;
        job.when = job::now();
        if (c.answers.preset < 0 || c.answers.toml.empty())
            job.cylinders = c.answers.cylinders;
        else
            job.layout = c.answers.toml;
        const auto layout = job::layout_of(job);
        job::enter_worked_on(job, layout, {c.answers.worked_on.begin(), c.answers.worked_on.end()});
        std::error_code ignored;
        if (!c.answers.folder_typed)
            fs::create_directories(fs::path(c.answers.folder).parent_path(), ignored);
        (void)job::Folder::create(c.answers.folder, job, "cranknote-desk");
        open(c.answers.folder, view);
    } catch (const Error& e) {
        view.new_job.trouble = sentence_of(e);
        return;
    }
    NewJob fresh;
    fresh.place = view.new_job.place;
    fresh.date = view.new_job.date;
    view.new_job = fresh;
}

void Session::done(const ask::CloseJob&, ViewState& view) {
    worker_.stop();
    folder_.reset();
    ++opened_;
    show({});
    view.over = Over::nothing;
}

void Session::done(const ask::Compare& c, ViewState& view) {
    view.finding.clear();
    ask_for_pair(c.a, c.b, view);
}

void Session::done(const ask::AddFiles& c, ViewState& view) {
    for (const auto& file : c.files) {
        const bool known = c.state && *c.state < scene_->job.states.size();
        auto addition = known ? addition_to(scene_->job.states[*c.state]) : addition_of(c.next, *scene_);
        const auto added = job::add_file(folder(), scene_->layout, file, std::move(addition));
        if (!added) continue;
        say(view, "Added to " + added->recording.state + ". Ctrl+Z takes it back.");
        for (const auto& remark : added->understood.remarks) say(view, remark);
        view.b = added->understood.place;
        view.shown = view.b;
    }
    refresh(view);
    view.next = next_after(*scene_);
}

void Session::done(const ask::Mark& c, ViewState& view) {
    if (!scene_->compared) return;
    for (const auto& f : scene_->compared->comparison.findings) {
        if (f.id != c.finding) continue;
        job::Complaint complaint;
        if (f.ratio && f.axis == Axis::ratio)
            complaint.ratio = f.ratio;
        else
            complaint.hz = std::pair{f.low, f.high};
        complaint.beat_ratio = f.beat_ratio;
        complaint.at = job::now();
        auto next = folder().job();
        job::mark(next, complaint);
        save(std::move(next), "Marked the noise.", view);
        return;
    }
}

void Session::done(const ask::Unmark& c, ViewState& view) {
    auto next = folder().job();
    std::erase_if(next.complaints, [&](const auto& x) { return x.id == c.complaint; });
    save(std::move(next), "Took a mark off.", view);
}

void Session::done(const ask::Saw& c, ViewState& view) {
    auto next = folder().job();
    job::enter_saw(next, scene_->layout, {c.text, c.on, c.speaks_for, job::now(), ""});
    save(std::move(next), "Wrote down what was seen.", view);
}

void Session::done(const ask::SetSpeed& c, ViewState& view) {
    auto next = folder().job();
    for (auto& r : next.recordings)
        if (r.id == c.recording) r.rpm = SpeedTag{c.rpm, 0.02 * c.rpm};  // enough to tell its multiples apart
    save(std::move(next), "Wrote down the crank speed.", view);
}

void Session::done(const ask::Undo&, ViewState& view) {
    const auto what = folder().undo();
    say(view, what ? "Taken back: " + *what : "There is nothing to take back.");
    refresh(view);
}

void Session::done(const ask::Redo&, ViewState& view) {
    const auto what = folder().redo();
    say(view, what ? "Done again: " + *what : "There is nothing to do again.");
    refresh(view);
}

void Session::done(const ask::StopWork&, ViewState& view) {
    worker_.stop();
    say(view, "Stopped. What is not heard yet is heard when the job is opened again.");
}

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
    worker_.start("Making it ready to hear",
                  [this, file, stretch, gain, how, c, player = sound_.player()](
                      std::stop_token stop, const auto&) -> Worker::Apply {
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

void Session::done(const ask::KeepLayout& c, ViewState& view) {
    auto next = folder().job();
    (void)parse_layout(c.toml, "layout");
    next.layout = c.toml;
    next.cylinders.reset();
    save(std::move(next), "Changed the layout.", view);
}

void Session::done(const ask::WriteNote&, ViewState& view) {
    if (!scene_->analysis) {
        say(view, "The note waits until the recordings are heard: try again in a moment.", true);
        return;
    }
    worker_.start("Writing the note",
                  [this, folder = scene_->path, job = scene_->job, analysis = scene_->analysis](
                      std::stop_token, const auto&) -> Worker::Apply {
                      try {
                          const auto files = write_note(folder, job, *analysis);
                          return [this, name = fs::path(files.front()).filename().string()] {
                              told_ = "Written: notes/" + name + ", and the same as PDF and text.";
                          };
                      } catch (const Error& e) {
                          return [this, text = sentence_of(e)] { trouble_ = text; };
                      }
                  });
}

void Session::done(const ask::Leave&, ViewState&) { left_ = true; }

}  // namespace cranknote::desk
