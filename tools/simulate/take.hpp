// One simulated recording with its truth.
#pragma once

#include <string>
#include <vector>

#include "signal/recording.hpp"
#include "simulate/truth.hpp"

namespace cranknote::simulate {

/// One recording of a case. `sound` is what a program reads: after the phone and, where there is one, the
/// codec.
struct Take {
    std::string name;     ///< file name without extension: "a1", "b1", "03 belt off"
    char side = 'a';      ///< of a pair; 'a' for a single recording; jobs: 'a' for all
    int placement = 0;    ///< takes with equal numbers share the phone untouched
    std::string codec;    ///< wav | m4a | opus | mp3
    std::string encoded;  ///< the bytes of the phone's file, where codec is not wav
    Recording sound;
    TrueState state;
    TakeTruth truth;
};

}  // namespace cranknote::simulate
