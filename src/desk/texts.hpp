// Everything that the panels say, worded once a scene: sentences first, numbers beside them. Pure.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "desk/scene.hpp"

namespace cranknote::desk {

struct RecordingText {
    std::string id;
    std::string line;    ///< "812 rpm, 12 s"
    std::string near;    ///< "near the water pump"; empty: nowhere in particular
    std::string remark;  ///< the worst thing to know about it; empty: usable
    bool unusable = false, warned = false, pending = false;
    std::string question;      ///< where the crank speed is not sure; empty: it is
    std::vector<Rpm> choices;  ///< what it may be, the most probable first
};

struct StateText {
    std::string name, facts;
    std::vector<RecordingText> recordings;
    std::vector<std::string> readings;  ///< what was measured beside them
};

struct SuspectText {
    std::string cause, percent, part;
    double share = 0.0;
    std::vector<std::string> speaks_for, speaks_against;
    std::string tie;  ///< "These data cannot tell it from ..."; empty: no tie
};

struct StepText {
    std::string title, effort;
    std::vector<std::string> cautions;
    bool recordable = false;  ///< a state to record follows from it
};

struct FindingText {
    std::string id, title;
    std::vector<std::string> sentences;
    bool flagged = false, expected = false, complaint = false;
};

struct Texts {
    std::string title, engine;
    std::string headline;  ///< how the job stands, one sentence
    std::string advice;    ///< what to do now, one sentence
    std::vector<StateText> day;
    std::vector<SuspectText> suspects;
    std::vector<StepText> steps;
    std::vector<FindingText> findings;  ///< of the pair shown
    std::string pair, pair_trouble;     ///< "as found against fan belt off"
    std::vector<std::string> pair_remarks;
    std::vector<std::string> repair;          ///< whether the repair holds; empty: none recorded
    std::map<std::string, double> suspicion;  ///< of parts, drives and covers
    std::vector<std::string> readings;        ///< of the whole job
    std::vector<std::string> near_names;      ///< what the microphone can be held near
};

[[nodiscard]] Texts texts_of(const Scene& scene);

}  // namespace cranknote::desk
