// Fast Fourier transforms, behind one header so that the library can be changed in one place (KissFFT,
// BSD-3-Clause).
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <span>

namespace cranknote::signal {

/// A plan for real transforms of one even length. Holds scratch space: one plan per thread.
class RealFft {
  public:
    /// `size` must be even and at least 2; throws std::invalid_argument otherwise (KissFFT returns NULL for
    /// it).
    explicit RealFft(std::size_t size);
    ~RealFft();
    RealFft(RealFft&&) noexcept;
    RealFft& operator=(RealFft&&) noexcept;

    [[nodiscard]] std::size_t size() const { return size_; }
    /// X[k] = sum x[n] exp(-2 pi i k n / size), k = 0 .. size/2. in: size samples, out: size/2 + 1 lines.
    void forward(std::span<const float> in, std::span<std::complex<float>> out);
    /// The inverse, scaled so that inverse(forward(x)) = x.
    void inverse(std::span<const std::complex<float>> in, std::span<float> out);

  private:
    struct Plan;
    std::unique_ptr<Plan> plan_;
    std::size_t size_;
};

/// The smallest even length >= `size` that has only factors 2, 3 and 5.
[[nodiscard]] std::size_t fast_size(std::size_t size);

}  // namespace cranknote::signal
