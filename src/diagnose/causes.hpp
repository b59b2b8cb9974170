// What can be wrong on this engine, and what each cause predicts. Facts here are physics (computed from the
// layout) or the trade's experience; how much each counts is decided in evidence.hpp.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "diagnose/diagnose.hpp"
#include "layout/kinematics.hpp"

namespace cranknote {

/// A ratio at which a cause may be heard, as a tone or as a beat.
struct HeardAt {
    std::string line;   ///< "tooth mesh": its name
    std::string says;   ///< "the timing belt's teeth mesh": goes before "at 20.00×"
    UncertainRatio at;  ///< of the fundamental
    /// Share of cases in which this line is the one reported, by harmonic from the 1st; sums to 1 or less
    /// over all lines of a cause, the rest is "elsewhere".
    std::vector<double> harmonics;
    double count_doubt = 0.0;                ///< probability that the count behind it is wrong
    std::optional<UnknownCount> count = {};  ///< where a count is not known: the whole numbers it may be
};

/// How a sound answers when a check is done; the four sum to 1.
struct Answer {
    double stronger = 0.0, weaker = 0.0, gone = 0.0, unchanged = 1.0;
};

/// The checks that need no tools (product's words), and two conditions that act like one.
inline constexpr std::array<std::string_view, 11> checks{
    "ac-on",       "lock",    "lamps-on",     "mist",     "run-up", "held-speed",
    "clutch-down", "in-gear", "cylinder-cut", "shut-off", "warm"};

struct Cause {
    std::string text;  ///< "alternator belt slips"
    CauseKind kind = CauseKind::other;
    std::optional<std::string> part;
    std::vector<std::string> also;
    double weight = 1.0;  ///< how common it is beside others of the list (relative)

    std::vector<HeardAt> tones, beats;
    double beating = 0.5;                                 ///< probability that its sound swells or knocks
    std::array<double, 4> character{.25, .25, .25, .25};  ///< tone, scrape, tick, hiss
    std::array<double, 3> follows{.4, .3, .3};            ///< its pitch goes with: crank, fixed, free
    std::array<double, 3> beat_follows{.8, .1, .1};       ///< its swelling goes with the same three
    Hertz band{1500.0};            ///< where it is usually heard: median of a log-normal,
    double band_octaves = 1.5;     ///< and its standard deviation
    double comes_and_goes = 0.15;  ///< probability that it is not there all the time

    std::vector<std::string> must_turn;   ///< parts and drives that must all turn
    std::vector<std::string> must_be_on;  ///< covers that must be on
    std::string must_have;                ///< a check without which it is silent ("ac-on"); empty: none
    std::map<std::string, Answer, std::less<>> answers;  ///< to a check; absent: unchanged

    std::optional<double> fix_minutes;
    std::string source;  ///< where its description comes from, or "common practice"
};

/// Every cause that this layout allows, in the order: drives, parts, covers, engine, outside. Texts are
/// unique. The layout must be valid (as parse_layout or typical_layout gave it).
[[nodiscard]] std::vector<Cause> causes_of(const Layout& layout);

}  // namespace cranknote
