#include "simulate/fourier.hpp"

#include <kissfft/kiss_fftr.h>

#include <algorithm>
#include <stdexcept>

namespace cranknote::simulate {

namespace {

std::shared_ptr<void> plan(std::size_t size, bool inverse) {
    void* cfg = kiss_fftr_alloc(static_cast<int>(size), inverse ? 1 : 0, nullptr, nullptr);
    if (!cfg) throw std::invalid_argument("a transform's size must be even and fit into memory");
    return {cfg, [](void* p) { kiss_fftr_free(p); }};
}

/// One response cut out for block convolution.
struct Filter {
    const std::vector<float>* wave;
    std::vector<Complex> lines;
};

std::vector<Filter> filters_of(const std::vector<Way>& ways, const Fourier& fourier) {
    std::vector<Filter> filters;
    std::vector<float> padded(fourier.size());
    for (const auto& w : ways) {
        if (!w.wave || w.wave->empty() || !w.response) continue;
        std::fill(padded.begin(), padded.end(), 0.0F);
        std::copy(w.response->begin(), w.response->end(), padded.begin());
        filters.push_back({w.wave, std::vector<Complex>(fourier.size() / 2 + 1)});
        fourier.forward(padded, filters.back().lines);
    }
    return filters;
}

void add_product(std::vector<Complex>& sum, const std::vector<Complex>& a, const std::vector<Complex>& b) {
    for (std::size_t k = 0; k < sum.size(); ++k)  // written out: the operator guards against NaN, slowly
        sum[k] += Complex(a[k].real() * b[k].real() - a[k].imag() * b[k].imag(),
                          a[k].real() * b[k].imag() + a[k].imag() * b[k].real());
}

}  // namespace

Fourier::Fourier(std::size_t size) : size_(size), forward_(plan(size, false)), inverse_(plan(size, true)) {}

void Fourier::forward(std::span<const float> in, std::span<Complex> out) const {
    // std::complex<float> and kiss_fft_cpx are both two floats, real first (C++ standard, [complex.numbers]).
    kiss_fftr(static_cast<kiss_fftr_cfg>(forward_.get()), in.data(),
              reinterpret_cast<kiss_fft_cpx*>(out.data()));
}

void Fourier::inverse(std::span<const Complex> in, std::span<float> out) const {
    kiss_fftri(static_cast<kiss_fftr_cfg>(inverse_.get()), reinterpret_cast<const kiss_fft_cpx*>(in.data()),
               out.data());
}

std::vector<float> sum_through(const std::vector<Way>& ways) {
    std::size_t length = 0, response = 1;
    for (const auto& w : ways)
        if (w.wave && w.response) {
            length = std::max(length, w.wave->size());
            response = std::max(response, w.response->size());
        }
    std::size_t size = 4096;
    while (size < 2 * response) size *= 2;
    const Fourier fourier(size);
    const auto filters = filters_of(ways, fourier);
    const std::size_t hop = size - response + 1;

    std::vector<float> out(length), in(size), back(size);  // the end of `in` stays zero
    std::vector<Complex> lines(size / 2 + 1), sum(size / 2 + 1);
    for (std::size_t at = 0; at < length; at += hop) {
        std::fill(sum.begin(), sum.end(), Complex{});
        for (const auto& f : filters) {
            const auto here = at < f.wave->size() ? std::min(hop, f.wave->size() - at) : 0;
            if (here > 0) std::copy_n(f.wave->begin() + static_cast<std::ptrdiff_t>(at), here, in.begin());
            std::fill(in.begin() + static_cast<std::ptrdiff_t>(here),
                      in.begin() + static_cast<std::ptrdiff_t>(hop), 0.0F);
            fourier.forward(in, lines);
            add_product(sum, lines, f.lines);
        }
        fourier.inverse(sum, back);
        const auto end = std::min(size, length - at);
        const float scale = 1.0F / static_cast<float>(size);
        for (std::size_t i = 0; i < end; ++i) out[at + i] += scale * back[i];
    }
    return out;
}

}  // namespace cranknote::simulate
