// What a phone makes of the sound at its microphone.
#pragma once

#include <cstdint>
#include <string>

#include "simulate/sounds.hpp"
#include "simulate/truth.hpp"

namespace cranknote::simulate {

struct Phone {
    std::uint64_t seed = 0;
    double rate = 48000.0;     ///< of the file it writes
    double low_cut = 0.0;      ///< Hz, -3 dB; 0: none
    int low_cut_pairs = 1;     ///< 12 dB an octave each
    double high_cut = 0.0;     ///< Hz; 0: none of its own
    double floor_db = -72.0;   ///< own noise, dB re full scale, flat
    double target_db = -26.0;  ///< rms that the first recording of a job gets, dB re full scale
    bool measuring = false;    ///< a measuring microphone: no response of its own
    bool gain_control = false;
    double gain_attack = 0.3, gain_release = 2.5;  ///< s
    bool suppresses_noise = false;
    std::string codec = "wav";  ///< wav | m4a | opus | mp3
    int kbit = 96;

    [[nodiscard]] std::string words() const;
    [[nodiscard]] double band_limit() const;  ///< Hz: what the file can hold
};

/// What may be asked of a drawn phone.
struct PhoneWish {
    double codec_chance = 0.0;  ///< a compressed file
    double poor_chance = 0.0;   ///< 8 or 16 kHz
    double gain_control_chance = 0.12;
    double suppression_chance = 0.03;
    double clipping_chance = 0.04;
    bool no_low_cut = false;
};
[[nodiscard]] Phone make_phone(std::uint64_t seed, const PhoneWish& wish);

/// The rate at which sound is made for a phone: its own, or 48 kHz where the file's is lower.
[[nodiscard]] double working_rate(const Phone& phone);

/// Sound pressure to samples of the file (before the codec). `gain` is fixed for a job (see gain_for).
[[nodiscard]] Wave through_phone(const Wave& pressure, const Phone& phone, double gain, Dice dice);
[[nodiscard]] double gain_for(const Wave& pressure, const Phone& phone);

/// Fills what the truth says of the phone: words, low cut, band limit, quality codes that are sure.
void fill_phone_truth(const Phone& phone, TakeTruth& truth);

}  // namespace cranknote::simulate
