// The simulator: engines that never were, recorded by phones that never were, with the truth beside the
// sound. Table of contents of this folder, in the order of the data:
//
//   dice.hpp        numbers by seed; the same on every run
//   engine.hpp      what truly turns on an engine, and how fast (a turning model of its own, not layout/'s)
//   mechanic.hpp    the layout that a mechanic would write of it: a tape's errors, a wrong count, things
//   unknown course.hpp      what the crank does through time: idle, hunting, run-up, start, stall sounds.hpp
//   pulses, tones on a shaft, gated noise, filters voice.hpp       how one engine sounds when it is healthy
//   fault.hpp       what can be wrong, and how that sounds
//   room.hpp        from each place on the engine to the microphone
//   level.hpp       how loud a fault is against the healthy engine
//   phone.hpp       response, low cut, gain control, noise suppression, clipping, noise, sampling rate
//   background.hpp  speech, wind, clanks, a compressor, mains hum
//   codec.hpp       there and back through a phone's file format
//   truth.hpp       what is true of a recording and of a case; JSON
//   take.hpp        one recording, from all of the above
//   story.hpp       a job of one engine as a person writes it
//   sets.hpp        the fixed sets of cases, by purpose and number
//
// Nothing here includes layout/, so that an error in its kinematics cannot cancel itself out.
#pragma once

#include "simulate/sets.hpp"
#include "simulate/take.hpp"
#include "simulate/truth.hpp"
