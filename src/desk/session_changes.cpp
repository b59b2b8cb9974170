// What changes the job on the disk.
#include <algorithm>
#include <filesystem>

#include "desk/addition.hpp"
#include "desk/next_state.hpp"
#include "desk/said.hpp"
#include "desk/session.hpp"
#include "job/add.hpp"
#include "job/edit.hpp"
#include "job/evidence.hpp"

namespace cranknote::desk {

namespace fs = std::filesystem;

void Session::save(job::Job next, const std::string& change, ViewState& view) {
    folder().save(std::move(next), change);
    say(view, change + " Ctrl+Z takes it back.");
    refresh(view);
}

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

void Session::add_one(const ask::AddFiles& c, const std::string& file, ViewState& view) {
    const bool known = c.state && *c.state < scene_->job.states.size();
    auto addition = known ? addition_to(scene_->job.states[*c.state]) : addition_of(c.next, *scene_);
    const auto added = job::add_file(folder(), scene_->layout, file, std::move(addition));
    if (!added) return;
    say(view, "Added to " + added->recording.state + ". Ctrl+Z takes it back.");
    for (const auto& remark : added->understood.remarks) say(view, remark);
    view.b = added->understood.place;
    view.shown = view.b;
}

void Session::done(const ask::AddFiles& c, ViewState& view) {
    std::string trouble;  // one bad file does not keep the others out
    for (const auto& file : c.files) try {
            add_one(c, file, view);
        } catch (const Error& e) {
            trouble = sentence_of(e);
        }
    if (!folder_) throw Error("no job is open", "", "open one or begin a new one", Error::Kind::wrong_call);
    refresh(view);
    view.next = next_after(*scene_);
    if (!trouble.empty()) say(view, trouble, true);
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

void Session::done(const ask::EnterReading& c, ViewState& view) {
    auto next = folder().job();
    auto reading = c.reading;
    reading.at = job::now();
    job::enter_reading(next, std::move(reading));
    save(std::move(next), "Wrote down a reading.", view);
}

void Session::done(const ask::KeepLayout& c, ViewState& view) {
    auto next = folder().job();
    (void)parse_layout(c.toml, "layout");
    next.layout = c.toml;
    next.cylinders.reset();
    save(std::move(next), "Changed the layout.", view);
}

}  // namespace cranknote::desk
