// Google Benchmark of each step. Sound is made here: what it is does not change how long the steps take, but
// for the comb's course.
#include <benchmark/benchmark.h>

extern "C" {
#include <libavutil/mem.h>
#include <libavutil/tx.h>
}

#include <cmath>
#include <complex>
#include <numbers>
#include <random>

#include "portrait/portrait.hpp"
#include "signal/fft.hpp"
#include "signal/robust.hpp"
#include "speed/from_sound.hpp"
#include "steps.hpp"
#if CRANKNOTE_HAVE_FFTW
#include <fftw3.h>
#endif

namespace {

using namespace cranknote;
using namespace cranknote::bench;

/// An invented engine: half orders of 800 rpm and noise.
std::vector<float> sound(double seconds) {
    std::mt19937 random(9);
    std::normal_distribution<float> gauss(0.0F, 0.05F);
    std::vector<float> x(static_cast<std::size_t>(seconds * rate));
    const double cycle = 2.0 * std::numbers::pi * 800.0 / 120.0 / rate;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double phase = cycle * static_cast<double>(i);
        const double engine =
            0.1 * std::sin(4 * phase) + 0.05 * std::sin(8 * phase) + 0.01 * std::sin(3 * phase);
        x[i] = gauss(random) + static_cast<float>(engine);
    }
    return x;
}

SpeedTrack steady(double seconds) { return {{Seconds{0}, Seconds{seconds}}, {Rpm{800}, Rpm{800}}}; }

double seconds_of(const benchmark::State& state) { return static_cast<double>(state.range(0)); }

void hz(benchmark::State& state) {
    const auto x = sound(seconds_of(state));
    for (auto _ : state) benchmark::DoNotOptimize(hz_spectrum(x));
    state.SetComplexityN(state.range(0));
}
// Ten seconds to an hour: linear in length, in memory that does not grow.
BENCHMARK(hz)
    ->Arg(10)
    ->Arg(60)
    ->Arg(600)
    ->Arg(3600)
    ->Unit(benchmark::kMillisecond)
    ->Complexity(benchmark::oN);

template <class Step>
void minute(benchmark::State& state, Step step) {
    const auto x = sound(60);
    for (auto _ : state) benchmark::DoNotOptimize(step(x));
}
BENCHMARK_CAPTURE(minute, lower_rate, [](const auto& x) { return lowered(x); })
    -> Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(minute, envelopes, [](const auto& x) { return envelopes(x); })
    -> Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(minute, comb, [](const auto& x) { return comb(x); }) -> Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(minute, speed, [](const auto& x) {
    SpeedSettings settings;
    settings.cylinders = 4;
    return speed_from_sound(x, SampleRate{rate}, settings);
}) -> Unit(benchmark::kMillisecond);

BENCHMARK_CAPTURE(minute, speed_and_portrait, [](const auto& x) {
    SpeedSettings settings;
    settings.cylinders = 4;
    return portrait_of(x, SampleRate{rate}, speed_from_sound(x, SampleRate{rate}, settings));
}) -> Unit(benchmark::kMillisecond);

void angle(benchmark::State& state) {
    const auto low = lowered(sound(60));
    const auto track = steady(60);
    for (auto _ : state) benchmark::DoNotOptimize(turned(low, track));
}
BENCHMARK(angle)->Unit(benchmark::kMillisecond);

void ratios(benchmark::State& state) {
    const auto against = turned(lowered(sound(60)), steady(60));
    for (auto _ : state) benchmark::DoNotOptimize(ratio_spectrum(against));
}
BENCHMARK(ratios)->Unit(benchmark::kMillisecond);

void beats(benchmark::State& state) {
    const auto bands = envelopes(sound(60));
    const auto track = steady(60);
    for (auto _ : state) benchmark::DoNotOptimize(beat_spectra(bands, track));
}
BENCHMARK(beats)->Unit(benchmark::kMillisecond);

void running_medians(benchmark::State& state) {
    const auto x = sound(1);
    for (auto _ : state) {
        benchmark::DoNotOptimize(signal::running_median(x, static_cast<std::size_t>(state.range(0))));
    }
}
BENCHMARK(running_medians)->Arg(11)->Arg(101)->Arg(1001)->Arg(10001)->Unit(benchmark::kMillisecond);

void transform(benchmark::State& state) {
    const auto n = static_cast<std::size_t>(state.range(0));
    signal::RealFft fft(n);
    std::vector<float> in(n, 0.5F);
    std::vector<std::complex<float>> out(n / 2 + 1);
    for (auto _ : state) {
        fft.forward(in, out);
        benchmark::DoNotOptimize(out.data());
    }
}
BENCHMARK(transform)->Arg(144)->Arg(6912)->Arg(8192)->Arg(12000)->Arg(34560)->Unit(benchmark::kMicrosecond);

/// libavutil's (LGPL, here with the FFmpeg libraries already): quick for 2^n times 1, 3, 5, 7, 9 or 15 only.
void transform_by_libavutil(benchmark::State& state) {
    const auto n = static_cast<int>(state.range(0));
    AVTXContext* context = nullptr;
    av_tx_fn run = nullptr;
    const float scale = 1.0F;
    if (av_tx_init(&context, &run, AV_TX_FLOAT_RDFT, 0, n, &scale, 0) < 0) {
        state.SkipWithError("not this size");
        return;
    }
    auto* in = static_cast<float*>(av_mallocz(sizeof(float) * (static_cast<std::size_t>(n) + 16)));
    auto* out = static_cast<float*>(av_mallocz(sizeof(float) * (static_cast<std::size_t>(n) + 16)));
    for (auto _ : state) {
        run(context, out, in, sizeof(float));
        benchmark::DoNotOptimize(out);
    }
    av_tx_uninit(&context);
    av_free(in);
    av_free(out);
}
BENCHMARK(transform_by_libavutil)->Arg(144)->Arg(8192)->Arg(12288)->Arg(30720)->Unit(benchmark::kMicrosecond);

#if CRANKNOTE_HAVE_FFTW
void transform_by_fftw(benchmark::State& state) {
    const auto n = static_cast<int>(state.range(0));
    float* in = fftwf_alloc_real(static_cast<std::size_t>(n));
    auto* out = fftwf_alloc_complex(static_cast<std::size_t>(n / 2 + 1));
    const auto plan = fftwf_plan_dft_r2c_1d(n, in, out, FFTW_MEASURE);
    for (auto _ : state) {
        fftwf_execute(plan);
        benchmark::DoNotOptimize(out);
    }
    fftwf_destroy_plan(plan);
    fftwf_free(in);
    fftwf_free(out);
}
BENCHMARK(transform_by_fftw)
    ->Arg(144)
    ->Arg(6912)
    ->Arg(8192)
    ->Arg(12000)
    ->Arg(34560)
    ->Unit(benchmark::kMicrosecond);
#endif

}  // namespace

BENCHMARK_MAIN();
