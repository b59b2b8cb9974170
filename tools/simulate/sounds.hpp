// The grains that engines' sounds are made of: filters, ringing pulses, tones on a shaft, noise through a
// gate.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "simulate/dice.hpp"

namespace cranknote::simulate {

using Wave = std::vector<float>;

/// A second-order filter section (Bristow-Johnson's cookbook forms). `q` 0.7071 is a Butterworth pair.
struct Biquad {
    double b0 = 1.0, b1 = 0.0, b2 = 0.0, a1 = 0.0, a2 = 0.0;

    static Biquad low_pass(double hz, double q, double rate);
    static Biquad high_pass(double hz, double q, double rate);
    static Biquad band_pass(double hz, double q, double rate);  ///< gain 1 at hz
    static Biquad peak(double hz, double q, double db, double rate);
    static Biquad high_shelf(double hz, double db, double rate);
};
void filter(Wave& wave, const Biquad& section);
void filter(Wave& wave, const std::vector<Biquad>& sections);

/// One ringing of a structure.
struct Mode {
    double hz = 1000.0, decay = 0.005;  ///< s to 1/e
    double gain = 1.0, phase = 0.0;
};
/// The response to one blow that takes `attack` s to build up; as long as 5 decays.
[[nodiscard]] Wave ring(const std::vector<Mode>& modes, double attack, double rate);
/// One burst of band-limited noise with a given rise and decay.
[[nodiscard]] Wave burst(double low_hz, double high_hz, double attack, double decay, double rate, Dice dice);
/// One smooth pressure pulse (half a Hann) of this width.
[[nodiscard]] Wave bump(double width, double rate);
[[nodiscard]] double energy(std::span<const float> wave);
void scale(Wave& wave, double gain);
/// Scales a pulse so that `per_second` of them in a second have mean power `power`.
void set_train_power(Wave& pulse, double per_second, double power, double rate);

/// Adds a pulse that begins at sample `at` (fractions by linear interpolation); what is outside is dropped.
void add_at(Wave& out, double at, float gain, const Wave& pulse);
void add(Wave& out, const Wave& other, double gain = 1.0);

/// One turn of a shaft as a table; read with linear interpolation.
class TurnTable {
  public:
    struct Harmonic {
        double per_turn = 1.0, amplitude = 1.0, phase = 0.0;
    };
    /// per_turn must be whole numbers. The table resolves the highest with 24 points a period.
    explicit TurnTable(const std::vector<Harmonic>& harmonics);
    /// Any function of the turn, 0 to 1.
    TurnTable(const std::function<double(double)>& of_turn, std::size_t points);
    [[nodiscard]] float at(double turns) const {
        const double x = (turns - std::floor(turns)) * static_cast<double>(table_.size() - 1);
        const auto i = static_cast<std::size_t>(x);
        const float w = static_cast<float>(x - static_cast<double>(i));
        return table_[i] + (table_[i + 1] - table_[i]) * w;
    }

  private:
    Wave table_;  // first value repeated at the end
};
void add_tone(Wave& out, std::span<const double> turns, const TurnTable& table, double gain);

/// A gain that changes slowly: values at 100 Hz, linear between.
struct SlowGain {
    std::vector<float> values;
    [[nodiscard]] float at(std::size_t sample, double rate) const;
};
void multiply(Wave& wave, const SlowGain& gain, double rate);

[[nodiscard]] Wave white(std::size_t samples, Dice dice);
/// White noise through filters, scaled to unit mean power.
[[nodiscard]] Wave coloured(std::size_t samples, const std::vector<Biquad>& sections, Dice dice);
[[nodiscard]] double mean_power(std::span<const float> wave);

}  // namespace cranknote::simulate
