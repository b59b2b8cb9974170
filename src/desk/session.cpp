// The session itself: which job is open, what of it is shown, and who does what is asked for.
#include "desk/session.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <thread>
#include <utility>

#include "desk/hear.hpp"
#include "desk/next_state.hpp"
#include "desk/said.hpp"
#include "job/evidence.hpp"
#include "job/verify.hpp"

namespace cranknote::desk {

namespace fs = std::filesystem;

namespace {

/// What a person chose in the job before means nothing in this one.
void stand_anew(ViewState& view, std::size_t states) {
    view.a = 0;
    view.b = states == 0 ? 0 : states - 1;
    view.shown.reset();
    view.finding.clear();
    view.suspect.clear();
    view.recording.clear();
    view.drawn_through_time.clear();
    view.range.reset();
    view.cautioned = false;
    view.over = Over::nothing;
    say(view, "");
}

/// Results of the scene before that still say something about the job as it is now: nothing blinks while a
/// changed word is weighed anew.
void keep_results(Scene& next, const Scene& before) {
    const auto same = [](const job::Recording& a, const job::Recording& b) {
        return a.id == b.id && a.state == b.state && a.sha256 == b.sha256 && a.from == b.from && a.to == b.to;
    };
    next.originals = before.originals;
    next.originals_trouble = before.originals_trouble;
    if (next.job.layout != before.job.layout) return;
    if (!std::ranges::equal(next.job.recordings, before.job.recordings, same)) return;
    if (!std::ranges::equal(next.states, before.states, {}, &State::name, &State::name)) return;
    next.compared = before.compared;
    next.analysis = before.analysis;
    next.through_time = before.through_time;
}

}  // namespace

Session::Session(std::function<void()> wake) : worker_(wake), checker_(wake), stage_(wake) {}

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

void Session::let_go() {
    worker_.stop();
    checker_.stop();
    stage_.stop();
    sound_.stop_playing();
    folder_.reset();
    heard_.clear();
    pair_.reset();
    ++opened_;
    show({});
}

void Session::open(const std::string& path, ViewState& view) {
    let_go();
    folder_ = job::Folder::open(path, {job::Access::change_if_possible, "cranknote-desk", 0.0});
    newly_opened_ = fs::absolute(path).lexically_normal().string();
    stand_anew(view, folder_->job().states.size());
    refresh(view);
    view.next = next_after(*scene_);
    for (const auto& t : job::glance(scene_->path, scene_->job)) say(view, t.text, true);
    std::error_code ignored;
    for (const auto& left : fs::directory_iterator(scene_->path / "unfinished", ignored))
        say(view, "A recording was cut off and is kept: drop " + left.path().string() +
                      " on the window to add it.");
    check_originals();
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
    keep_results(scene, *scene_);
    const auto count = scene.states.size();
    view.a = std::min(view.a, count > 0 ? count - 1 : 0);
    view.b = std::min(view.b, count > 0 ? count - 1 : 0);
    if (view.shown && *view.shown >= count) view.shown.reset();
    show(std::move(scene));
    hear_what_is_new();
    if (!scene_->job.recordings.empty()) weigh_the_job();
    if (count > 0) ask_for_pair(view.a, view.b);
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
    listen_for_speed();
    const bool beside = static_cast<int>(checker_.collect()) + static_cast<int>(stage_.collect()) > 0;
    return worker_.collect() || beside;
}

void Session::settle(ViewState& view) {
    do {
        collect(view);
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    } while (worker_.busy().running || checker_.busy().running || stage_.busy().running);
    collect(view);
}

void Session::done(const ask::Open& c, ViewState& view) { open(c.path, view); }

void Session::done(const ask::CloseJob&, ViewState& view) {
    let_go();
    view.over = Over::nothing;
}

void Session::done(const ask::Compare& c, ViewState& view) {
    view.finding.clear();
    ask_for_pair(c.a, c.b);
}

void Session::done(const ask::StopWork&, ViewState& view) {
    worker_.stop();
    say(view, "Stopped. What is not heard yet is heard when the job is opened again.");
}

void Session::done(const ask::Leave&, ViewState&) { left_ = true; }

}  // namespace cranknote::desk
