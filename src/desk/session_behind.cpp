// What is worked out behind the window: hearing, weighing, comparing, checking, writing the note. Each task
// takes what it needs by value and hands back what is run on the frame's thread.
#include <algorithm>
#include <filesystem>

#include "audio/decode.hpp"
#include "desk/hear.hpp"
#include "desk/originals.hpp"
#include "desk/said.hpp"
#include "desk/session.hpp"
#include "desk/write_note.hpp"
#include "job/evidence.hpp"

namespace cranknote::desk {

namespace fs = std::filesystem;

void Session::heard(const std::string& key, const Heard& result) {
    if (!result.examined && result.trouble.empty()) {  // stopped
        heard_.erase(key);
        return;
    }
    heard_[key] = result;
    Scene next = *scene_;
    const auto now = job::evidence_of(next.path, next.job);
    for (std::size_t k = 0; k < now.recordings.size(); ++k)
        if (hearing_key(now.recordings[k], next.layout) == key) next.heard[k] = result;
    show(std::move(next));
}

void Session::hear_what_is_new() {
    const auto evidence = job::evidence_of(scene_->path, scene_->job);
    for (const auto& r : evidence.recordings) {
        const auto key = hearing_key(r, scene_->layout);
        if (!heard_.try_emplace(key).second) continue;
        worker_.start("Hearing " + r.file.filename().string(),
                      [this, r, key, layout = scene_->layout, folder = scene_->path, opening = opened_](
                          std::stop_token stop, const auto&) {
                          auto result = hear(r, layout, folder, stop);
                          return Worker::Apply([this, result, key, opening] {
                              if (opening == opened_) heard(key, result);
                          });
                      });
    }
}

void Session::weighed(const Weighed& result) {
    Scene next = *scene_;
    next.analysis = result.analysis;
    next.analysis_trouble = result.trouble;
    if (result.analysis && result.analysis->recordings.size() == next.heard.size())
        for (std::size_t i = 0; i < next.heard.size(); ++i) {
            next.heard[i] = {result.analysis->recordings[i].examined, result.analysis->recordings[i].trouble};
            // Kept once: a portrait is large.
            heard_[hearing_key(result.analysis->evidence.recordings[i], next.layout)] = next.heard[i];
        }
    show(std::move(next));
}

void Session::weigh_the_job() {
    worker_.start("Weighing what speaks for which part",
                  [this, folder = scene_->path, job = scene_->job, opening = opened_](std::stop_token stop,
                                                                                      const auto& report) {
                      auto result = weigh(
                          folder, job, [&](double share, const std::string&) { report(share); }, stop);
                      return Worker::Apply([this, result, opening, revision = job.revision] {
                          if (opening == opened_ && revision == scene_->job.revision) weighed(result);
                      });
                  });
}

void Session::in_turn(std::string what, std::function<void()> then) {
    worker_.start(std::move(what),
                  [this, then = std::move(then), opening = opened_](std::stop_token, const auto&) {
                      return Worker::Apply([this, then, opening] {
                          if (opening == opened_) then();
                      });
                  });
}

void Session::ask_for_pair(std::size_t a, std::size_t b) {
    pair_ = std::pair{a, b};
    in_turn("Comparing", [this, a, b] {
        if (pair_ != std::pair{a, b} || a >= scene_->states.size() || b >= scene_->states.size()) return;
        worker_.start("Comparing",
                      [this, scene = scene_, a, b, opening = opened_](std::stop_token, const auto&) {
                          auto compared = compare_states(*scene, a, b);
                          return Worker::Apply([this, compared, opening] {
                              if (opening != opened_ || pair_ != std::pair{compared->a, compared->b}) return;
                              Scene next = *scene_;
                              next.compared = compared;
                              show(std::move(next));
                          });
                      });
    });
}

void Session::check_originals() {
    checker_.start("Checking the recordings",
                   [this, folder = scene_->path, job = scene_->job, opening = opened_](
                       std::stop_token stop, const auto&) -> Worker::Apply {
                       const auto found = originals_of(folder, job, stop);
                       if (!found) return {};
                       return [this, found = *found, opening] {
                           if (opening != opened_) return;
                           Scene next = *scene_;
                           next.originals = found.sentence;
                           next.originals_trouble = !found.whole;
                           show(std::move(next));
                       };
                   });
}

void Session::listen_for_speed() {
    const auto x = sound_.stretch_for_speed();
    if (x.empty()) return;
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

void Session::done(const ask::ShowThroughTime& c, ViewState&) {
    in_turn("Drawing it through time", [this, id = c.recording] {
        for (std::size_t i = 0; i < scene_->job.recordings.size(); ++i) {
            const auto& r = scene_->job.recordings[i];
            if (r.id != id || !scene_->heard[i].examined) continue;
            worker_.start("Drawing it through time",
                          [this, r, file = scene_->path / r.file, e = scene_->heard[i].examined,
                           opening = opened_](std::stop_token stop, const auto&) -> Worker::Apply {
                              auto result = hear_through_time(r, file, *e, stop);
                              if (!result) return {};
                              return [this, result, opening] {
                                  if (opening != opened_) return;
                                  Scene next = *scene_;
                                  next.through_time = result;
                                  show(std::move(next));
                              };
                          });
        }
    });
}

void Session::done(const ask::WriteNote&, ViewState&) {
    // In its turn, so that it rests on what every recording says.
    in_turn("Writing the note", [this] {
        if (!scene_->analysis) {
            trouble_ = "There is no note without a recording that can be heard.";
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
    });
}

}  // namespace cranknote::desk
