// What the window shows: one job and what is known of it so far. Never changed once it is shared; every new
// result makes a new scene.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "compare/examine.hpp"
#include "diagnose/job.hpp"
#include "diagnose/pair.hpp"
#include "figure/figures.hpp"
#include "job/analysis.hpp"
#include "job/job.hpp"
#include "layout/layout.hpp"

namespace cranknote::desk {

/// What one recording gave.
struct Heard {
    std::shared_ptr<const Examined> examined;  ///< nullptr: not yet, or `trouble` says why not
    std::string trouble;
};

/// Two states compared. Indices into Scene::states.
struct Compared {
    std::size_t a = 0, b = 0;
    Comparison comparison;  ///< its findings are explained
    std::vector<Suspect> suspects;
    Conclusion conclusion = Conclusion::open;
    std::string trouble;  ///< why there is none
};

/// One recording through time.
struct ThroughTime {
    std::string recording;  ///< its id
    figure::TimeRatioMap map;
    std::string trouble;  ///< why there is none
};

struct Scene {
    int serial = 0;     ///< no two scenes of a run have the same
    bool open = false;  ///< false: no job; nothing below means anything
    std::filesystem::path path;
    job::Job job;
    Layout layout;
    std::string read_only;                            ///< why the job cannot be changed; empty: it can
    std::vector<std::string> remarks;                 ///< what a person should know about the opening
    std::vector<State> states;                        ///< as the job's, with what stands still
    std::vector<Heard> heard;                         ///< one a recording of the job
    std::shared_ptr<const Compared> compared;         ///< the pair last asked for
    std::shared_ptr<const job::Analysis> analysis;    ///< of the whole job; nullptr: not yet
    std::string analysis_trouble;                     ///< why there is none
    std::shared_ptr<const ThroughTime> through_time;  ///< of the recording last asked for
    std::string originals;  ///< whether the sound files are what was added; empty: not known yet
    bool originals_trouble = false;

    /// What the whole job comes to; nullptr: not known yet.
    [[nodiscard]] const JobVerdict* verdict() const { return analysis ? &analysis->verdict : nullptr; }
};

/// Work behind the window, as the frame sees it.
struct Busy {
    bool running = false;
    std::string what;    ///< "reading as found.wav"
    double share = 0.0;  ///< 0 to 1
};

}  // namespace cranknote::desk
