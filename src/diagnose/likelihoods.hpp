// Every number of judgement in one place, each with its reason. "judged" was set by hand before measuring,
// "tuned" (no_fault, something_else, found, floors, follows_right, tempers, healthy_stays,
// prominence_*, strength_*, unchanged, chance) towards what `calibrate` of tools/score found on 247 pairs of
// the simulator's `tune` set, rounded; the `score` set was never looked at. "Read" tables are what
// tools/score/figures.py prints of found faults of `tune` (400 telling, 324 changed pairs), smoothed by hand.
#pragma once

#include <array>

#include "diagnose/diagnose.hpp"

namespace cranknote {

/// How a sound comes out in another state, in the order of `course_of`: there, weaker, gone, stronger, new.
using Course = std::array<double, 5>;

struct Likelihoods {
    // --- before any evidence ---------------------------------------------------------------------------
    double no_fault = .5;           ///< a pair may hold no fault at all (judged)
    double no_fault_repaired = .2;  ///< the same where something was set right between the two: there was a
                                    ///< reason to (judged)
    double something_else = .10;    ///< a cause that is not on the list (judged)
    double other_floor = .02;       ///< what "something else" keeps, whatever the evidence
    double worked_on = 6.0;  ///< odds of what was worked on before the noise (judged: the strongest prior)
    double worked_on_near = 2.5;  ///< of what hangs on the same drive
    /// How common a kind is after front-end work, one cause beside another (judged; other = 0).
    std::array<double, cause_kinds> kind_weight{1.0,  // slip
                                                1.0,  // misalignment
                                                .8,   // mesh
                                                .6,   // edge
                                                .8,   // bearing
                                                .7,   // pump
                                                .6,   // blade
                                                .6,   // electrical
                                                .7,   // rub
                                                .8,   // rattle
                                                .9,   // valve
                                                .7,   // knock
                                                .7,   // slap
                                                .7,   // injector
                                                .9,   // exhaust
                                                .9,   // intake
                                                .8,   // firing
                                                .8,   // chain
                                                .7,   // gear
                                                .7,   // clutch
                                                .6,   // outside
                                                0.0};

    // --- is it found at all ----------------------------------------------------------------------------
    double found =
        .5;  ///< a fault that sounds in one of two states is among the findings (target 95 % at 0 dB)

    // --- ratios ----------------------------------------------------------------------------------------
    double ratio_floor = .0026;       ///< relative error that every ratio carries: the speed's own
    double beat_floor = .02;          ///< the same for a beat: a line of 10 s is some 1 % wide
    double wrong_count_spread = .09;  ///< relative spread where a count was wrong by one or two of some 15
    /// Chance finds: tones anywhere from 0.3× to 300×, even in the logarithm.
    double tone_low = .3, tone_high = 300.0;
    double beat_low = .1, beat_high = 30.0;
    /// Chance beats: combustion swells everything on half orders, so that a beat there proves little.
    double chance_beat_on_half_orders = .45;
    double changed_beat_on_half_orders = .06;  ///< the same where the beat itself changed, not only its band
    double beat_detected = .7;  ///< a sound that swells is reported with its beat (target 90 %)

    // --- character and follows -------------------------------------------------------------------------
    /// How a tone, scrape, tick or hiss (rows) is read as one of the same (columns): 411 found faults, read,
    /// with some hundredths for what was never seen.
    std::array<std::array<double, 4>, 4> character_seen{
        {{.76, .15, .03, .06}, {.03, .73, .20, .04}, {.07, .14, .76, .03}, {.08, .28, .04, .60}}};
    /// How a tone whose pitch goes with the crank, stays or wanders (rows) is read: the same, or unknown
    /// (columns). 56 found tones of `tune`, with some hundredths for what was never seen.
    std::array<std::array<double, 4>, 3> pitch_seen{
        {{.90, .02, .03, .05}, {.22, .35, .05, .38}, {.25, .15, .15, .45}}};
    double follows_right = .82;        ///< target 90 %
    double follows_known = .6;         ///< share in which a short recording can tell at all
    double band_temper = .45;          ///< where a sound is heard depends on the car: half its weight
    double band_temper_tied = .45;     ///< the ratio already says where a tied tone lies
    double more_findings_temper = .3;  ///< further findings of one complaint say the same thing again

    // --- how a sound comes out in another state: there, weaker, gone, stronger, new --------------------
    Course silenced{.05, .42, .48, .03, .02};     ///< its cause must be silent now, and was not before
    Course unchanged{.93, .025, .015, .02, .01};  ///< its cause runs in both
    Course started{.05, .01, .01, .30, .63};      ///< its cause runs only now
    Course chance{.90, .03, .02, .04, .01};       ///< a change that nothing explains
    double impossible = .02;        ///< factor for a cause that must have been silent where it was heard
    double cover_lets_out = .18;    ///< a cover off: what stays is louder
    double load_shift = .10;        ///< a drive off: load and idle change, what stays moves a little
    double chance_silence = .35;    ///< per share of absence: gone by chance while it comes and goes
    double cured_by_touch = .25;    ///< what was taken off and put back, and then was quiet
    double repaired_gone = .88;     ///< what was named as set right is quiet
    double repaired_unnamed = .55;  ///< something was set right, not said what
    double state_temper = .9;       ///< states share room, phone and ear

    // --- healthy sounds --------------------------------------------------------------------------------
    double healthy_went_silent = .80;  ///< a finding that went with what was stopped is its healthy sound
    double healthy_stays = .3;         ///< a finding that stays is the healthy engine
    double strength_slope = .8;        ///< log odds for a finding per factor e by which its q lies under 0.05
    double strength_limit = 6.0;     ///< and at most this much (Sellke, Bayarri & Berger 2001 bound it, too)
    double unflagged = -2.5;         ///< log odds where it was not flagged: it may well be the healthy engine
    double prominence_middle = 4.0;  ///< dB at which a sound is as likely a fault as not (judged)
    double prominence_slope = .2;    ///< log odds a dB
    double prominence_limit = 1.2;   ///< and at most this much
    /// The same for what changed, by how far the third octave around it did: what is worth a complaint is
    /// loud enough to move it, while sharp healthy tones stand far above their noise but move it little. On
    /// `tune` 19 healthy tones moved it by 5 dB (median), 55 faulty ones by 9; 13 healthy beats that went by
    /// 2, 142 faulty ones by 5.
    struct Loudness {
        double middle, slope, limit;  ///< dB, log odds a dB, and at most this much
    };
    Loudness band_steady{4.5, .45, 1.4}, band_swelling{3.0, .20, 1.0};

    // --- hands and eyes --------------------------------------------------------------------------------
    double saw_for = 8.0, saw_against = 5.0;  ///< odds of what eyes or hands found (judged)
    double probe_db = 4.0;  ///< spread of a complaint's level between places equally near, dB

    // --- stating it ------------------------------------------------------------------------------------
    double temperature = 1.0;  ///< of the logarithms of evidence: above 1 says less sure
    double highest = .99;      ///< no probability is shown above this
    double named = .6;         ///< a suspect this probable is named
    double tie_factor = 1.6;   ///< causes whose evidence differs by less are not told apart
};

}  // namespace cranknote
