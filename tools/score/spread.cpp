// measure_spread: how far the cells of unchanged pairs lie from no change, in units of the error that
// compare/spread.cpp gives them. Run it on `tune` only; its figures are where the constants there come from.
#include <CLI/CLI.hpp>
#include <cmath>
#include <iostream>
#include <map>
#include <memory>

#include <fmt/core.h>

#include "compare/cells.hpp"
#include "compare/range.hpp"
#include "compare/spread.hpp"
#include "job/examine_file.hpp"
#include "score/truth_of.hpp"
#include "signal/robust.hpp"

namespace {

using namespace cranknote;

const char* kind_of(const Cell& c) {
    switch (c.kind) {
        case CellKind::band: {
            const double octaves = std::log2(c.high / c.low);
            return octaves < 0.5 ? "third" : octaves < 1.5 ? "octave" : "two octaves";
        }
        case CellKind::bump:
            return "bump";
        case CellKind::tone_hz:
            return "tone, Hz";
        case CellKind::tone_ratio:
            return "tone, ratio";
        case CellKind::beat:
            return "beat";
    }
    return "";
}

const char* pitch_of(double hz) {
    return hz < 350    ? " under 350 Hz"
           : hz < 1400 ? "350 to 1400 Hz"
           : hz < 5600 ? "1.4 to 5.6 kHz"
                       : "over 5.6 kHz";
}

struct Heap {
    std::vector<double> change, error, z;
};

void add(std::map<std::string, Heap>& heaps, const std::string& key, const Cell& c, std::ostream* list) {
    auto& h = heaps[key];
    h.change.push_back(std::abs(c.change)), h.error.push_back(c.error);
    h.z.push_back(std::abs(c.change) / c.error);
    if (list != nullptr)
        *list << key << "\t" << c.low << "\t" << c.high << "\t" << c.place << "\t" << c.change << "\t"
              << c.error << "\t" << c.p << "\t" << c.a << "\t" << c.b << "\t" << c.prominence_a << "\t"
              << c.prominence_b << "\n";
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"Measures how far unchanged pairs differ"};
    std::vector<std::string> folders;
    bool list = false;
    app.add_option("FOLDERS", folders, "folders of unchanged pairs")->required();
    app.add_flag("--list", list, "list every cell");
    CLI11_PARSE(app, argc, argv);
    std::map<std::string, Heap> heaps;
    for (const auto& folder : folders) {
        const auto truth = score::read_truth(folder);
        std::vector<std::unique_ptr<Examined>> examined;
        std::vector<Take> a, b;
        for (const auto& t : truth.takes) {
            SpeedSettings s;
            s.cylinders = truth.cylinders;
            if (t.rpm) s.tag = SpeedTag{Rpm{*t.rpm}, Rpm{5}};
            examined.push_back(std::make_unique<Examined>(examine_file(t.path, {}, s)));
            (t.side == 'a' ? a : b).push_back({&examined.back()->portrait, examined.back()->summary});
        }
        Comparable unused;
        const auto range = common_range(a, b, unused);
        const auto al = align_takes(a, b, range, truth.same_placement);
        const auto cells =
            cells_of(a, b, range, al, truth.same_placement ? untouched_spread() : moved_spread(), 1.0);
        for (const auto& c : cells)
            add(heaps,
                std::string(truth.same_placement ? "untouched " : "moved ") + kind_of(c) + " " +
                    pitch_of(std::sqrt(c.low * c.high)),
                c, list ? &std::cout : nullptr);
    }
    if (list) return 0;
    fmt::print("{:44}{:>7}{:>9}{:>9}{:>8}{:>8}{:>8}\n", "", "cells", "rms dB", "error dB", "z 68 %", "z 95 %",
               "z 99.5");
    for (const auto& [key, h] : heaps) {
        double square = 0.0, error = 0.0;
        for (std::size_t i = 0; i < h.change.size(); ++i)
            square += h.change[i] * h.change[i], error += h.error[i] * h.error[i];
        const auto n = static_cast<double>(h.change.size());
        fmt::print("{:44}{:7}{:9.2f}{:9.2f}{:8.2f}{:8.2f}{:8.2f}\n", key, h.change.size(),
                   std::sqrt(square / n), std::sqrt(error / n), signal::sample_quantile(h.z, 0.683),
                   signal::sample_quantile(h.z, 0.954), signal::sample_quantile(h.z, 0.995));
    }
    return 0;
}
