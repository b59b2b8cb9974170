// Answers questions about the signal room's numbers, so that another library can be asked the same.
// Reads a JSON list of tasks on standard input, writes the list of answers on standard output. See
// compare.py.
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

#include "signal/distribution.hpp"
#include "signal/envelope.hpp"
#include "signal/impulsiveness.hpp"
#include "signal/robust.hpp"
#include "signal/spectrum.hpp"
#include "signal/window.hpp"

namespace {

using nlohmann::json;
using namespace cranknote::signal;
using Sounds = std::map<std::string, std::vector<float>>;

const std::vector<float>& sound(const json& task, const Sounds& sounds) {
    return sounds.at(task.at("sound").get<std::string>());
}

/// One of the five functions that every distribution has.
template <class Distribution>
json ask(const json& task, Distribution d) {
    const std::string what = task.at("what");
    json answers = json::array();
    for (const double x : task.at("at")) {
        answers.push_back(what == "cdf"              ? cdf(d, x)
                          : what == "survival"       ? survival(d, x)
                          : what == "log_survival"   ? log_survival(d, x)
                          : what == "quantile"       ? quantile(d, x)
                          : what == "quantile_above" ? quantile_above(d, x)
                                                     : throw std::invalid_argument(what));
    }
    return answers;
}

json distribution(const json& task, const Sounds&) {
    const std::string name = task.at("distribution");
    const std::vector<double> dof = task.at("dof");
    if (name == "normal") return ask(task, Normal{});
    if (name == "chi2") return ask(task, ChiSquare{dof.at(0)});
    if (name == "f") return ask(task, FisherF{dof.at(0), dof.at(1)});
    if (name == "t") return ask(task, StudentT{dof.at(0)});
    throw std::invalid_argument(name);
}

json special(const json& task, const Sounds&) {
    const std::string name = task.at("function");
    json answers = json::array();
    for (const double x : task.at("at")) {
        answers.push_back(name == "digamma"      ? digamma(x)
                          : name == "trigamma"   ? trigamma(x)
                          : name == "tetragamma" ? tetragamma(x)
                          : name == "log_gamma"  ? log_gamma(x)
                                                 : throw std::invalid_argument(name));
    }
    return answers;
}

json window(const json& task, const Sounds&) {
    static const std::map<std::string, WindowShape> shapes = {
        {"boxcar", WindowShape::rectangle},  {"bartlett", WindowShape::triangle},
        {"hann", WindowShape::hann},         {"hamming", WindowShape::hamming},
        {"blackman", WindowShape::blackman}, {"blackmanharris", WindowShape::blackman_harris},
        {"kaiser", WindowShape::kaiser},     {"flattop", WindowShape::flat_top}};
    return window_values(shapes.at(task.at("shape")), task.at("n"), task.value("alpha", 0.0));
}

json averaged(const json& task, const Sounds& sounds) {
    const auto& x = sound(task, sounds);
    const Spectrum s = averaged_spectrum(x, task.at("rate"), task.at("length"), task.at("hop"));
    return {{"step", s.step}, {"density", s.density}, {"segments", s.segments}};
}

json envelope(const json& task, const Sounds& sounds) { return hilbert_envelope(sound(task, sounds)); }

json bands(const json& task, const Sounds& sounds) {
    const auto& x = sound(task, sounds);
    const BandPowers b = band_powers(x, task.at("rate"), task.at("edges"), task.at("length"), task.at("hop"));
    return {{"rate", b.rate}, {"first", b.first}, {"band", b.band}};
}

json spectral(const json& task, const Sounds& sounds) {
    const auto& x = sound(task, sounds);
    const Spectrogram s = spectrogram(x, task.at("rate"), task.at("length"), task.at("hop"));
    return spectral_kurtosis(s.density, s.rows, s.lines);
}

json statistics(const json& task, const Sounds& sounds) {
    const auto x = std::span(sound(task, sounds)).first(task.at("first"));
    const std::vector<double> wide(x.begin(), x.end());
    std::vector<double> place(x.size());
    for (std::size_t i = 0; i < place.size(); ++i) place[i] = static_cast<double>(i);
    const Line line = theil_sen(place, wide);
    return {{"kurtosis", kurtosis(x)},
            {"median", median(wide)},
            {"median_deviation", median_deviation(wide)},
            {"slope", line.slope},
            {"intercept", line.intercept},
            {"running_median", running_median(x, task.at("width"))}};
}

}  // namespace

int main() {
    const std::map<std::string, json (*)(const json&, const Sounds&)> tasks = {
        {"distribution", distribution},  {"special", special},           {"window", window},
        {"averaged_spectrum", averaged}, {"hilbert_envelope", envelope}, {"band_powers", bands},
        {"spectral_kurtosis", spectral}, {"statistics", statistics}};
    try {
        const json asked = json::parse(std::cin);
        const auto sounds = asked.at("sounds").get<Sounds>();
        json answers = json::array();
        for (const json& task : asked.at("tasks")) answers.push_back(tasks.at(task.at("task"))(task, sounds));
        std::cout << answers << '\n';
        return 0;
    } catch (const std::exception& e) {
        std::cerr << "oracle: " << e.what() << '\n';
        return 1;
    }
}
