// What the window asks for. The frame only asks; desk/session.hpp does it.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "desk/view_state.hpp"
#include "job/job.hpp"

namespace cranknote::desk {

namespace ask {

struct Open {
    std::string path;
};
struct MakeJob {
    NewJob answers;
};
struct CloseJob {};
struct Compare {
    std::size_t a = 0, b = 0;
};
/// Adds files to the state that `next` describes, or to one that is there.
struct AddFiles {
    std::vector<std::string> files;
    NextState next;
    std::optional<std::size_t> state;  ///< absent: the next one
};
struct Mark {
    std::string finding;  ///< of the comparison shown, or of the verdict
};
struct Unmark {
    int complaint = 0;
};
struct Saw {
    std::string text, on;
    bool speaks_for = true;
};
/// The crank speed of a recording, as a person says.
struct SetSpeed {
    std::string recording;
    Rpm rpm;
};
struct Undo {};
struct Redo {};
struct StopWork {};
struct Record {
    NextState next;
};
struct StopRecording {
    bool keep = true;
};
/// Plays a side of the comparison, or one recording.
struct Play {
    bool b = false;
    std::string recording;  ///< empty: the first of that side
    std::optional<std::pair<Hertz, Hertz>> band;
    bool loop = false;
};
struct StopPlaying {};
struct KeepLayout {
    std::string toml;
};
/// What was measured besides sound; its moment is now.
struct EnterReading {
    job::Reading reading;
};
/// One recording's level over time and ratio.
struct ShowThroughTime {
    std::string recording;
};
struct WriteNote {};
struct Leave {};

}  // namespace ask

using Command = std::variant<ask::Open, ask::MakeJob, ask::CloseJob, ask::Compare, ask::AddFiles, ask::Mark,
                             ask::Unmark, ask::Saw, ask::SetSpeed, ask::Undo, ask::Redo, ask::StopWork,
                             ask::Record, ask::StopRecording, ask::Play, ask::StopPlaying, ask::KeepLayout,
                             ask::EnterReading, ask::ShowThroughTime, ask::WriteNote, ask::Leave>;
using Commands = std::vector<Command>;

}  // namespace cranknote::desk
