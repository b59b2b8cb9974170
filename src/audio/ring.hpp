// A queue of samples between one thread that must not wait (the sound card's) and one that may.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <span>
#include <vector>

namespace cranknote {

/// One writer, one reader, no locks. Either side may be anywhere; nothing is ever overwritten.
class SampleRing {
  public:
    explicit SampleRing(std::size_t capacity) : data_(capacity + 1) {}

    /// Puts in all of `x` or, when there is no room for all of it, nothing: a block is whole or lost.
    bool write(std::span<const float> x) {
        const auto w = written_.load(std::memory_order_relaxed);
        const auto r = read_.load(std::memory_order_acquire);
        const auto used = (w + data_.size() - r) % data_.size();
        if (x.size() > data_.size() - 1 - used) return false;
        const auto first = std::min(x.size(), data_.size() - w);
        std::copy_n(x.begin(), first, data_.begin() + static_cast<std::ptrdiff_t>(w));
        std::copy(x.begin() + static_cast<std::ptrdiff_t>(first), x.end(), data_.begin());
        written_.store((w + x.size()) % data_.size(), std::memory_order_release);
        return true;
    }

    /// Takes out all there is, appended to `out`; says how many.
    std::size_t read_all(std::vector<float>& out) {
        const auto r = read_.load(std::memory_order_relaxed);
        const auto w = written_.load(std::memory_order_acquire);
        const auto at = [this](std::size_t i) { return data_.begin() + static_cast<std::ptrdiff_t>(i); };
        if (r <= w) {
            out.insert(out.end(), at(r), at(w));
        } else {
            out.insert(out.end(), at(r), data_.end());
            out.insert(out.end(), data_.begin(), at(w));
        }
        read_.store(w, std::memory_order_release);
        return (w + data_.size() - r) % data_.size();
    }

  private:
    std::vector<float> data_;  // one more than fits, so that full differs from empty
    std::atomic<std::size_t> written_{0}, read_{0};
};

}  // namespace cranknote
