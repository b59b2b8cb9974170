// One side of against_scipy: runs every step once a round, when told to, and says how long each took.
//
//     bench_rounds SOUND.wav TRACK.txt
// Commands on standard input: "round" prints a JSON line {step: [processor seconds, wall seconds], ...};
// "results FOLDER" writes each step's last result as raw float32; end of input ends it. TRACK: "seconds rpm"
// a line.
#include <chrono>
#include <complex>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>

#include "portrait/portrait.hpp"
#include "signal/fft.hpp"
#include "speed/from_sound.hpp"
#include "steps.hpp"
#if CRANKNOTE_HAVE_FFTW
#include <fftw3.h>
#endif

namespace {

using namespace cranknote;
using namespace cranknote::bench;
using nlohmann::json;

double processor_seconds() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

template <class Step>
auto timed(json& times, const char* name, Step step) {
    const auto wall = std::chrono::steady_clock::now();
    const double processor = processor_seconds();
    auto result = step();
    times[name] = {processor_seconds() - processor,
                   std::chrono::duration<double>(std::chrono::steady_clock::now() - wall).count()};
    return result;
}

SpeedTrack read_track(const char* path) {
    std::ifstream file(path);
    SpeedTrack track;
    for (double t = 0, n = 0; file >> t >> n;) {
        track.at.emplace_back(t);
        track.rpm.emplace_back(n);
    }
    return track;
}

/// The bare transforms, on data that stays in the cache.
float bare_transforms(std::size_t samples) {
    float sum = 0.0F;
    for (const auto& [size, count] : transforms_needed(samples)) {
        signal::RealFft fft(size);
        std::vector<float> in(size, 0.5F);
        std::vector<std::complex<float>> out(size / 2 + 1);
        for (std::size_t i = 0; i < count; ++i) {
            in[i % size] = static_cast<float>(i % 7);
            fft.forward(in, out);
            sum += out[1].real();
        }
    }
    return sum;
}

#if CRANKNOTE_HAVE_FFTW
/// Plans are made before the clock starts: FFTW measures for long, a program would keep what it learned.
class Fftw {
  public:
    explicit Fftw(std::size_t samples) : needed_(transforms_needed(samples)) {
        for (const auto& t : needed_) {
            float* in = fftwf_alloc_real(t.size);
            auto* out = fftwf_alloc_complex(t.size / 2 + 1);
            plans_.push_back(
                {in, out, fftwf_plan_dft_r2c_1d(static_cast<int>(t.size), in, out, FFTW_MEASURE)});
            std::fill_n(in, t.size, 0.5F);
        }
    }
    ~Fftw() {
        for (auto& p : plans_) fftwf_destroy_plan(p.plan), fftwf_free(p.in), fftwf_free(p.out);
    }
    Fftw(const Fftw&) = delete;
    Fftw& operator=(const Fftw&) = delete;
    float run() {
        float sum = 0.0F;
        for (std::size_t k = 0; k < plans_.size(); ++k) {
            for (std::size_t i = 0; i < needed_[k].count; ++i) {
                plans_[k].in[i % needed_[k].size] = static_cast<float>(i % 7);
                fftwf_execute(plans_[k].plan);
                sum += plans_[k].out[1][0];
            }
        }
        return sum;
    }

  private:
    struct Plan {
        float* in;
        fftwf_complex* out;
        fftwf_plan plan;
    };
    std::vector<Transforms> needed_;
    std::vector<Plan> plans_;
};
#endif

struct Results {
    std::map<std::string, std::vector<float>> values;
};

json round_of(const std::string& sound, const SpeedTrack& track, Results& results) {
    json times;
    auto& v = results.values;
    const auto x = timed(times, "decode", [&] { return decode(sound); });
    v["hz spectrum"] = timed(times, "hz spectrum", [&] { return hz_spectrum(x); }).density;
    const auto low = timed(times, "lower rate", [&] { return lowered(x); });
    v["tone spectrum"] = timed(times, "tone spectrum", [&] { return tone_spectrum(low); }).density;
    const auto course = timed(times, "speed comb", [&] { return comb(x); });
    const auto angle = timed(times, "against angle", [&] { return turned(low, track); });
    v["ratio spectrum"] = timed(times, "ratio spectrum", [&] { return ratio_spectrum(angle); }).density;
    const auto bands = timed(times, "eight envelopes", [&] { return envelopes(x); });
    const auto beats = timed(times, "eight beat spectra", [&] { return beat_spectra(bands, track); });
    // What the program does with a recording, by its own settings.
    SpeedSettings settings;
    settings.cylinders = 4;
    const auto speed =
        timed(times, "speed from sound", [&] { return speed_from_sound(x, SampleRate{rate}, settings); });
    v["portrait"] =
        timed(times, "portrait", [&] { return portrait_of(x, SampleRate{rate}, speed); }).hz.density;
    v["decode"] = x, v["lower rate"] = low, v["against angle"] = angle;
    for (auto* name : {"speed comb", "eight envelopes", "eight beat spectra"}) v[name].clear();
    for (const Hertz c : course.cycle) v["speed comb"].push_back(static_cast<float>(c.value()));
    for (const auto& b : bands.band)
        v["eight envelopes"].insert(v["eight envelopes"].end(), b.begin(), b.end());
    for (const auto& b : beats) {
        v["eight beat spectra"].insert(v["eight beat spectra"].end(), b.density.begin(), b.density.end());
    }
    return times;
}

void write_results(const Results& results, const std::filesystem::path& folder) {
    for (const auto& [name, values] : results.values) {
        std::ofstream file(folder / (name + ".f32"), std::ios::binary);
        file.write(reinterpret_cast<const char*>(values.data()),
                   static_cast<std::streamsize>(values.size() * sizeof(float)));
    }
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        std::cerr << "bench_rounds SOUND.wav TRACK.txt\n";
        return 2;
    }
    const auto track = read_track(argv[2]);
    const std::size_t samples = decode(argv[1]).size();
    float kept = 0.0F;  // keeps the bare transforms from being optimised away
#if CRANKNOTE_HAVE_FFTW
    Fftw fftw(samples);
#endif
    Results results;
    for (std::string command; std::cin >> command;) {
        if (command == "round") {
            json times = round_of(argv[1], track, results);
            kept += timed(times, "bare transforms", [&] { return bare_transforms(samples); });
#if CRANKNOTE_HAVE_FFTW
            kept += timed(times, "bare transforms by FFTW", [&] { return fftw.run(); });
#endif
            std::cout << times << std::endl;
        } else if (command == "results") {
            std::string folder;
            std::cin >> folder;
            write_results(results, folder);
            std::cout << json{{"sum", kept}} << std::endl;
        }
    }
    return 0;
}
