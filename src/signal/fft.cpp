#include "signal/fft.hpp"

#include <kiss_fftr.h>

#include <new>
#include <stdexcept>
#include <vector>

namespace cranknote::signal {

struct RealFft::Plan {
    struct Free {
        void operator()(kiss_fftr_cfg p) const { kiss_fftr_free(p); }
    };
    using Cfg = std::unique_ptr<std::remove_pointer_t<kiss_fftr_cfg>, Free>;

    static Cfg make(std::size_t size, int inverse) {
        Cfg c{kiss_fftr_alloc(static_cast<int>(size), inverse, nullptr, nullptr)};
        if (!c) throw std::bad_alloc();
        return c;
    }

    Cfg forward, inverse;
};

RealFft::RealFft(std::size_t size) : size_(size) {
    if (size < 2 || size % 2 != 0 || size > (std::size_t{1} << 28))
        throw std::invalid_argument("FFT length must be even and from 2 to 2^28");
    plan_ = std::make_unique<Plan>(Plan{Plan::make(size, 0), nullptr});
}

RealFft::~RealFft() = default;
RealFft::RealFft(RealFft&&) noexcept = default;
RealFft& RealFft::operator=(RealFft&&) noexcept = default;

void RealFft::forward(std::span<const float> in, std::span<std::complex<float>> out) {
    if (in.size() != size_ || out.size() != size_ / 2 + 1)
        throw std::invalid_argument("FFT: wrong span length");
    // std::complex<float> and kiss_fft_cpx are both two adjacent floats ([complex.numbers]/4).
    kiss_fftr(plan_->forward.get(), in.data(), reinterpret_cast<kiss_fft_cpx*>(out.data()));
}

void RealFft::inverse(std::span<const std::complex<float>> in, std::span<float> out) {
    if (out.size() != size_ || in.size() != size_ / 2 + 1)
        throw std::invalid_argument("FFT: wrong span length");
    if (!plan_->inverse) plan_->inverse = Plan::make(size_, 1);
    kiss_fftri(plan_->inverse.get(), reinterpret_cast<const kiss_fft_cpx*>(in.data()), out.data());
    const float scale = 1.0F / static_cast<float>(size_);
    for (auto& v : out) v *= scale;
}

std::size_t fast_size(std::size_t size) {
    for (std::size_t n = size < 2 ? 2 : size + size % 2;; n += 2) {
        std::size_t r = n;
        for (const std::size_t p : {2U, 3U, 5U})
            while (r % p == 0) r /= p;
        if (r == 1) return n;
    }
}

}  // namespace cranknote::signal
