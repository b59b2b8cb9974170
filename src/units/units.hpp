// Strong types for the quantities that this program's classic bug mixes up.
//
// A quantity is made explicitly (Hertz{50.0}), read explicitly (f.value()), and changed into another
// quantity only by a named function below. `Hertz + Rpm` does not compile (tests/units/must_not_compile).
#pragma once

#include <cmath>
#include <compare>
#include <numbers>

namespace cranknote {

template <class Tag>
class Quantity {
  public:
    constexpr Quantity() = default;
    constexpr explicit Quantity(double value) : value_(value) {}
    [[nodiscard]] constexpr double value() const { return value_; }

    constexpr auto operator<=>(const Quantity&) const = default;
    constexpr Quantity operator-() const { return Quantity{-value_}; }
    constexpr Quantity& operator+=(Quantity o) {
        value_ += o.value_;
        return *this;
    }
    constexpr Quantity& operator-=(Quantity o) {
        value_ -= o.value_;
        return *this;
    }
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity{a.value_ + b.value_}; }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity{a.value_ - b.value_}; }
    friend constexpr Quantity operator*(Quantity a, double s) { return Quantity{a.value_ * s}; }
    friend constexpr Quantity operator*(double s, Quantity a) { return Quantity{a.value_ * s}; }
    friend constexpr Quantity operator/(Quantity a, double s) { return Quantity{a.value_ / s}; }
    /// The quotient of two like quantities is a plain number.
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }

  private:
    double value_ = 0.0;
};

using Hertz = Quantity<struct HertzTag>;              // cycles per second
using Rpm = Quantity<struct RpmTag>;                  // crank turns per minute
using Ratio = Quantity<struct RatioTag>;              // per crank turn; written 2.84×
using Decibel = Quantity<struct DecibelTag>;          // level or level difference
using Seconds = Quantity<struct SecondsTag>;          // time or duration
using Degrees = Quantity<struct DegreesTag>;          // crank angle, 720 to a four-stroke cycle
using Millimetres = Quantity<struct MillimetresTag>;  // lengths and diameters
using SampleRate = Quantity<struct SampleRateTag>;    // samples per second; not a Hertz, on purpose

/// Crank turns per second at a crank speed.
[[nodiscard]] constexpr Hertz turns_per_second(Rpm n) { return Hertz{n.value() / 60.0}; }
/// The crank speed at which the crank turns `f` times a second.
[[nodiscard]] constexpr Rpm rpm_of_turns(Hertz f) { return Rpm{f.value() * 60.0}; }
/// How often per crank turn something at `f` happens when the crank turns at `n`. n must not be 0.
[[nodiscard]] constexpr Ratio ratio_of(Hertz f, Rpm n) { return Ratio{f.value() * 60.0 / n.value()}; }
/// The frequency of what happens `k` times per crank turn at `n`.
[[nodiscard]] constexpr Hertz frequency_of(Ratio k, Rpm n) { return Hertz{k.value() * n.value() / 60.0}; }
/// The crank speed at which something `k` times per crank turn is heard at `f`. k must not be 0.
[[nodiscard]] constexpr Rpm rpm_of(Hertz f, Ratio k) { return Rpm{f.value() * 60.0 / k.value()}; }
/// Half the sampling rate: no frequency above it exists in the samples.
[[nodiscard]] constexpr Hertz nyquist(SampleRate r) { return Hertz{r.value() / 2.0}; }
/// The sampling interval.
[[nodiscard]] constexpr Seconds sample_interval(SampleRate r) { return Seconds{1.0 / r.value()}; }
/// 10 lg of a power ratio; -infinity for 0.
[[nodiscard]] inline Decibel decibel_of_power(double power) { return Decibel{10.0 * std::log10(power)}; }
/// 20 lg of an amplitude ratio; -infinity for 0.
[[nodiscard]] inline Decibel decibel_of_amplitude(double amplitude) {
    return Decibel{20.0 * std::log10(amplitude)};
}
/// The power ratio of a level difference.
[[nodiscard]] inline double power_of(Decibel level) { return std::pow(10.0, level.value() / 10.0); }

}  // namespace cranknote
