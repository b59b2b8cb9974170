#include "signal/octaves.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "signal/special.hpp"

namespace cranknote::signal {

namespace {

constexpr std::size_t pairs = 6;  // taps at odd distances 1, 3 ... 11 on either side; at even ones they are 0
constexpr double half_band_beta = 5.65;  // 60 dB (Kaiser 1974)
constexpr std::size_t block = 8192;      // small enough to stay in the cache

std::array<float, pairs> half_band_taps() {
    std::array<double, pairs> h{};
    double sum = 0.0;
    for (std::size_t i = 0; i < pairs; ++i) {
        const auto t = static_cast<double>(2 * i + 1);
        const double u = t / (2.0 * pairs);
        const double window = bessel_i0(half_band_beta * std::sqrt(1.0 - u * u)) / bessel_i0(half_band_beta);
        h[i] = std::sin(std::numbers::pi * t / 2.0) / (std::numbers::pi * t) * window;
        sum += 2.0 * h[i];
    }
    std::array<float, pairs> taps{};
    for (std::size_t i = 0; i < pairs; ++i) taps[i] = static_cast<float>(0.5 * h[i] / sum);
    return taps;
}

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define CRANKNOTE_VECTORS __attribute__((target_clones("avx2", "default"), optimize("O3")))
#else
#define CRANKNOTE_VECTORS
#endif

/// even[n] and odd[n] are samples 2n and 2n + 1; odd has pairs further values on either side.
CRANKNOTE_VECTORS void filter(const float* even, const float* odd, const float* h, float* low, float* high,
                              std::size_t n) {
    const float* before = odd - pairs;  // an index below zero would wrap
    for (std::size_t i = 0; i < n; ++i) {
        float sides = 0.0F;
        for (std::size_t k = 0; k < pairs; ++k) sides += h[k] * (before[i + pairs - k - 1] + odd[i + k]);
        low[i] = 0.5F * even[i] + sides;
        high[i] = 0.5F * even[i] - sides;
    }
}

/// One halving of a signal that arrives in blocks.
class Stage {
  public:
    Stage() : odd_(pairs, 0.0F) {}
    /// Takes samples; `last` closes the signal. Then low and high hold what has become certain.
    void take(std::span<const float> x, bool last) {
        if (odd_next_ && !x.empty()) {
            odd_.push_back(x.front());
            odd_next_ = false;
            x = x.subspan(1);
        }
        const std::size_t both = x.size() / 2, e = even_.size(), o = odd_.size();
        even_.resize(e + both), odd_.resize(o + both);
        for (std::size_t i = 0; i < both; ++i) even_[e + i] = x[2 * i], odd_[o + i] = x[2 * i + 1];
        if (x.size() % 2 != 0) {
            even_.push_back(x.back());
            odd_next_ = true;
        }
        if (last) odd_.resize(even_.size() + 2 * pairs, 0.0F);
        const std::size_t known = odd_.size() > 2 * pairs ? odd_.size() - 2 * pairs : 0;
        const std::size_t n = std::min(even_.size(), known);
        low.resize(n), high.resize(n);
        filter(even_.data(), odd_.data() + pairs, taps_.data(), low.data(), high.data(), n);
        even_.erase(even_.begin(), even_.begin() + static_cast<std::ptrdiff_t>(n));
        odd_.erase(odd_.begin(), odd_.begin() + static_cast<std::ptrdiff_t>(n));
    }
    std::vector<float> low, high;

  private:
    std::array<float, pairs> taps_ = half_band_taps();
    std::vector<float> even_, odd_;
    bool odd_next_ = false;
};

/// Mean squares with a triangle: each square counts 1 - j/hop for the step before it and j/hop for the next.
class TriangleMean {
  public:
    TriangleMean(std::size_t hop, std::vector<float>& out) : hop_(hop), out_(out) {}
    void take(std::span<const float> x) {
        const float slope = 1.0F / static_cast<float>(hop_);
        while (!x.empty()) {
            const auto part = x.first(std::min(hop_ - place_, x.size()));
            float all = 0.0F, rising = 0.0F, weight = slope * static_cast<float>(place_);
            for (const float v : part) {
                all += v * v, rising += v * v * weight;
                weight += slope;
            }
            all_ += all, rising_ += rising;
            place_ += part.size();
            x = x.subspan(part.size());
            if (place_ == hop_) finish();
        }
    }
    void finish() {
        if (place_ == 0) return;
        const float scale = 1.0F / static_cast<float>(hop_);
        const bool first = out_.empty();
        out_.push_back((before_ + all_ - rising_) * scale * (first ? 2.0F : 1.0F));
        before_ = rising_;
        all_ = rising_ = 0.0F, place_ = 0;
    }

  private:
    std::size_t hop_, place_ = 0;
    std::vector<float>& out_;
    float all_ = 0.0F, rising_ = 0.0F, before_ = 0.0F;
};

}  // namespace

Octaves octaves(std::span<const float> x, int halvings, int keep) {
    Octaves out;
    if (halvings == 0) out.low.assign(x.begin(), x.end());
    if (keep == 0) out.kept.assign(x.begin(), x.end());
    if (halvings == 0) return out;
    const auto n = static_cast<std::size_t>(halvings);
    out.low.reserve((x.size() >> n) + 1);
    out.mean_squares.resize(n - 1);
    std::vector<Stage> stages(n);
    std::vector<TriangleMean> means;
    for (std::size_t i = 0; i + 1 < n; ++i) {
        out.mean_squares[i].reserve((x.size() >> n) + 1);
        means.emplace_back(std::size_t{1} << (n - i - 1), out.mean_squares[i]);
    }
    for (std::size_t start = 0; start < std::max<std::size_t>(1, x.size()); start += block) {
        const bool last = start + block >= x.size();
        auto in = x.subspan(start, std::min(block, x.size() - start));
        for (std::size_t i = 0; i < n; ++i) {
            stages[i].take(in, last);
            in = stages[i].low;
            if (i + 1 < n) means[i].take(stages[i].high);
            if (i + 1 == static_cast<std::size_t>(keep))
                out.kept.insert(out.kept.end(), in.begin(), in.end());
        }
        out.low.insert(out.low.end(), in.begin(), in.end());
    }
    for (auto& m : means) m.finish();
    return out;
}

}  // namespace cranknote::signal
