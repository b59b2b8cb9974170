// What the window does: the open job, its results as they come, microphone and loudspeaker. The only part of
// the window that touches disk and sound card.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "desk/commands.hpp"
#include "desk/frame.hpp"
#include "desk/hear.hpp"
#include "desk/sound_room.hpp"
#include "desk/worker.hpp"
#include "job/folder.hpp"

namespace cranknote::desk {

class Session {
  public:
    /// `wake` makes the window draw again; called from other threads.
    explicit Session(std::function<void()> wake);

    /// Opens a job at once, its recordings are heard behind. Throws Error.
    void open(const std::string& path, ViewState& view);
    /// Does what was asked for; troubles are said in the view.
    void act(const Command& command, ViewState& view);
    /// Takes over what was finished behind. True if there is something new to draw.
    bool collect(ViewState& view);
    /// Waits until nothing runs any more: for pictures without a person.
    void settle(ViewState& view);

    [[nodiscard]] const Scene& scene() const { return *scene_; }
    [[nodiscard]] const Texts& texts() const { return texts_; }
    [[nodiscard]] Busy busy() const { return worker_.busy(); }
    [[nodiscard]] Live live() { return sound_.live(); }
    [[nodiscard]] bool left() const { return left_; }
    /// Set when a job was opened or made: its path, for the list of recent ones.
    [[nodiscard]] std::optional<std::string> newly_opened();

  private:
    void done(const ask::Open& c, ViewState& view);
    void done(const ask::MakeJob& c, ViewState& view);
    void done(const ask::CloseJob& c, ViewState& view);
    void done(const ask::Compare& c, ViewState& view);
    void done(const ask::AddFiles& c, ViewState& view);
    void done(const ask::Mark& c, ViewState& view);
    void done(const ask::Unmark& c, ViewState& view);
    void done(const ask::Saw& c, ViewState& view);
    void done(const ask::SetSpeed& c, ViewState& view);
    void done(const ask::Undo& c, ViewState& view);
    void done(const ask::Redo& c, ViewState& view);
    void done(const ask::StopWork& c, ViewState& view);
    void done(const ask::Record& c, ViewState& view);
    void done(const ask::StopRecording& c, ViewState& view);
    void done(const ask::Play& c, ViewState& view);
    void done(const ask::StopPlaying& c, ViewState& view);
    void done(const ask::KeepLayout& c, ViewState& view);
    void done(const ask::EnterReading& c, ViewState& view);
    void done(const ask::ShowThroughTime& c, ViewState& view);
    void done(const ask::WriteNote& c, ViewState& view);
    void done(const ask::Leave& c, ViewState& view);

    /// The job as it now is becomes the scene; what is not yet heard is heard behind.
    void refresh(ViewState& view);
    void hear_what_is_new();
    void heard(const std::string& key, const Heard& result);
    void weigh_the_job();
    void weighed(const Weighed& result);
    void ask_for_pair(std::size_t a, std::size_t b);
    void check_originals();
    void listen_for_speed();
    /// Runs `then` on the frame's thread when all work asked for before is done and shown.
    void in_turn(std::string what, std::function<void()> then);
    void let_go();  ///< of the open job
    void show(Scene scene);
    void add_one(const ask::AddFiles& c, const std::string& file, ViewState& view);
    void save(job::Job next, const std::string& change, ViewState& view);
    [[nodiscard]] job::Folder& folder();

    std::shared_ptr<const Scene> scene_ = std::make_shared<Scene>();
    Texts texts_;
    std::optional<job::Folder> folder_;
    std::map<std::string, Heard> heard_;  ///< by hearing_key
    int serial_ = 0;
    int opened_ = 0;                                           ///< which opening a result belongs to
    std::optional<std::pair<std::size_t, std::size_t>> pair_;  ///< of states, last asked for
    bool left_ = false;
    std::optional<std::string> newly_opened_;
    NextState recording_of_;
    std::string recording_file_;
    std::string told_;     ///< of work behind, to be said
    std::string trouble_;  ///< of work behind, to be said
    SoundRoom sound_;
    // Last: their threads end before what they use.
    Worker worker_;
    Worker checker_;  ///< beside it, since reading every file takes long and nobody waits for it
    Worker stage_;    ///< makes ready what is played, however much is still to be heard
};

}  // namespace cranknote::desk
