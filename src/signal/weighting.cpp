#include "signal/weighting.hpp"

#include <array>
#include <cmath>

namespace cranknote::signal {
namespace {

// Pole frequencies in Hz, IEC 61672-1 annex E.
constexpr double pole1 = 20.598997, pole2 = 107.65265, pole3 = 737.86223, pole4 = 12194.217;

double square(double x) { return x * x; }

double c_response(double f) {
    return square(pole4 * f) / ((square(f) + square(pole1)) * (square(f) + square(pole4)));
}

double a_response(double f) {
    return c_response(f) * square(f) / std::sqrt((square(f) + square(pole2)) * (square(f) + square(pole3)));
}

double middle_of(int fraction, int place) {
    const double steps = fraction % 2 != 0 ? place : place + 0.5;
    return 1000.0 * std::pow(10.0, 0.3 * steps / fraction);
}

}  // namespace

Decibel a_weighting(Hertz f) { return decibel_of_amplitude(a_response(f.value()) / a_response(1000.0)); }

Decibel c_weighting(Hertz f) { return decibel_of_amplitude(c_response(f.value()) / c_response(1000.0)); }

Band band_of(int fraction, int place) {
    const double middle = middle_of(fraction, place), half = std::pow(10.0, 0.15 / fraction);
    return {Hertz{middle / half}, Hertz{middle}, Hertz{middle * half}};
}

std::vector<Band> fractional_octave_bands(int fraction, Hertz from, Hertz to) {
    std::vector<Band> bands;
    if (!(from.value() > 0.0)) return bands;
    const double steps = std::log10(from.value() / 1000.0) / 0.3 * fraction;
    for (int place = static_cast<int>(std::floor(steps)) - 1; middle_of(fraction, place) <= to.value();
         ++place) {
        if (middle_of(fraction, place) >= from.value()) bands.push_back(band_of(fraction, place));
    }
    return bands;
}

Hertz nominal_middle(Hertz middle) {
    static constexpr std::array series{1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0};
    const int tenths = static_cast<int>(std::lround(10.0 * std::log10(middle.value())));
    const int decade = static_cast<int>(std::floor(tenths / 10.0));
    return Hertz{series[static_cast<std::size_t>(tenths - 10 * decade)] * std::pow(10.0, decade)};
}

}  // namespace cranknote::signal
