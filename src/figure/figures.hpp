// The figures of this program: results in, Figure out. No file, no surface, no number computed but for
// ranges.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "compare/comparison.hpp"
#include "diagnose/diagnose.hpp"
#include "figure/captions.hpp"
#include "figure/figure.hpp"
#include "layout/layout.hpp"

namespace cranknote::figure {

/// A predicted line to be shown in a figure (of the part under the pointer).
struct Predicted {
    Ratio ratio;
    std::string text;
};

struct ComparisonView {
    bool over_hz = false;                              ///< else over ratio to the crank
    std::string a = "before", b = "after";             ///< what the sides are called
    std::optional<std::pair<double, double>> range{};  ///< of x to show (Hz or ratio); absent: all
    std::set<std::string> lit{};                       ///< ids of findings to light
    std::vector<Predicted> predicted{};
    std::string title{};
    Captions words{};
};

/// Both states' levels, and below the change with its interval; flagged findings shaded and named in both.
/// Ids of targets are those of findings. Stays readable without a crank speed (then over Hz only).
[[nodiscard]] Figure comparison_figure(const Comparison& comparison, const ComparisonView& view = {});

/// Crank speed through time, its mean with interval. A reading without a mean gives a figure that says so.
[[nodiscard]] Figure speed_figure(const SpeedReading& speed, const std::string& title = {},
                                  const Captions& words = {});

/// Suspects as bars, the most probable first, at most `most` of them. Ids are the causes.
[[nodiscard]] Figure suspects_figure(const std::vector<Suspect>& suspects, std::size_t most = 6,
                                     const Captions& words = {});

/// A complaint's level in one state.
struct StateLevel {
    std::string state;
    std::optional<Decibel> level;
    std::pair<std::optional<Decibel>, std::optional<Decibel>> interval{};
    Verdict verdict = Verdict::cannot_tell;
};
/// One row a state, in the order given. Ids are the states' names.
[[nodiscard]] Figure levels_figure(const std::vector<StateLevel>& levels, const std::string& title = {},
                                   const Captions& words = {});

/// How strongly a sound swells at each beat ratio, of one side or two (`b` empty: one). Same lengths.
struct BeatCurve {
    std::vector<double> ratio;  ///< rising, per crank turn
    std::vector<float> a, b;    ///< modulation depth, 0 to 1
};
/// The finding's beat and its family are marked; `predicted` lines are drawn.
[[nodiscard]] Figure beats_figure(const BeatCurve& beats, const Finding& finding, const std::string& a,
                                  const std::string& b, const std::vector<Predicted>& predicted = {},
                                  const Captions& words = {});

/// Level over time (columns) and ratio (rows, evenly spaced in the logarithm, the lowest first).
struct TimeRatioMap {
    std::pair<Seconds, Seconds> time;
    std::pair<Ratio, Ratio> ratio;
    int columns = 0, rows = 0;
    std::vector<float> level;  ///< dB, columns × rows, row by row; NaN: none
};
[[nodiscard]] Figure map_figure(const TimeRatioMap& map, const std::string& title = {},
                                const Captions& words = {});

/// How strongly each cylinder fires, in firing order; 1 is their mean.
struct CylinderRing {
    std::vector<int> cylinders;      ///< numbers in firing order; empty: which is which is not known
    std::vector<double> strength;    ///< one each
    std::optional<double> evenness;  ///< 0 to 1
    std::vector<std::pair<double, double>> interval{};  ///< of each strength; empty: none is drawn
};
[[nodiscard]] Figure ring_figure(const CylinderRing& ring, const std::string& title = {},
                                 const Captions& words = {});

/// Crank speed through time, and below it the ring of cylinders where a pickup told them apart.
[[nodiscard]] Figure running_figure(const SpeedReading& speed, const std::string& title = {},
                                    const Captions& words = {});

/// How the engine stands in the drawing.
struct EngineView {
    std::set<std::string> off{};                ///< parts, drives and covers that are off (pulls expanded)
    std::set<std::string> still{};              ///< parts and drives that stand still by it
    std::map<std::string, double> suspicion{};  ///< of parts, drives and covers, 0 to 1
    std::set<std::string> lit{};                ///< what the pointer is on, and what belongs to it
    double lift = 1.0;                          ///< how far what is off has lifted away, 0 to 1
    bool names = true;                          ///< callouts
    std::string title{};
    Captions words{};
};
/// The engine's front: pulleys and wheels to scale, belts round them, covers as outlines; each with its name
/// and turns per crank turn. Ids are the layout's names. Without `at_mm` parts stand where they usually do,
/// and the caption says so.
[[nodiscard]] Figure engine_figure(const Layout& layout, const EngineView& view = {});

}  // namespace cranknote::figure
