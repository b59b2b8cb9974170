// Real transforms of one size, and convolution by them. KissFFT behind a wrapper that checks and frees.
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace cranknote::simulate {

using Complex = std::complex<float>;

class Fourier {
  public:
    explicit Fourier(std::size_t size);                                     ///< even
    void forward(std::span<const float> in, std::span<Complex> out) const;  ///< size -> size/2 + 1
    void inverse(std::span<const Complex> in,
                 std::span<float> out) const;  ///< not scaled: returns size × the wave
    [[nodiscard]] std::size_t size() const { return size_; }

  private:
    std::size_t size_;
    std::shared_ptr<void> forward_, inverse_;
};

/// Filters several waves, each by its own response, and adds them up; as long as the longest wave.
/// Blocks of 2^k with overlap; a null or empty wave is skipped.
struct Way {
    const std::vector<float>* wave = nullptr;
    const std::vector<float>* response = nullptr;
};
[[nodiscard]] std::vector<float> sum_through(const std::vector<Way>& ways);

}  // namespace cranknote::simulate
