// Two heaps that share one array and meet at the median: a max-heap of the values below it, a min-heap of
// those above it. The value that leaves the window is overwritten where it sits by the one that enters, which
// then moves to its place: no searching, no allocation.
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

#include "signal/robust.hpp"

namespace cranknote::signal {
namespace {

template <class T>
class MedianWindow {
  public:
    /// `half` slots on each side of the median, all holding `value` at first.
    MedianWindow(std::size_t half, T value)
        : half_(static_cast<std::ptrdiff_t>(half)),
          values_(2 * half + 1, value),
          slot_(2 * half + 1),
          heap_(2 * half + 1) {
        for (std::size_t i = 0; i < heap_.size(); ++i) {
            heap_[i] = i;
            slot_[i] = static_cast<std::ptrdiff_t>(i) - half_;
        }
    }

    /// Puts `value` in place of the oldest value.
    void replace(T value) {
        const T old = values_[oldest_];
        values_[oldest_] = value;
        const std::ptrdiff_t slot = slot_[oldest_];
        oldest_ = oldest_ + 1 == values_.size() ? 0 : oldest_ + 1;
        if (slot > 0) {
            value < old ? rise_upper(slot) : sink_upper(slot);
        } else if (slot < 0) {
            value < old ? sink_lower(slot) : rise_lower(slot);
        } else {
            settle();
        }
    }

    [[nodiscard]] T median() const { return at(0); }

  private:
    // Slots: 0 the median, 1..half the upper heap (children of s: 2s, 2s + 1), -1..-half the lower, mirrored.
    [[nodiscard]] std::size_t index(std::ptrdiff_t slot) const {
        return static_cast<std::size_t>(slot + half_);
    }
    [[nodiscard]] const T& at(std::ptrdiff_t slot) const { return values_[heap_[index(slot)]]; }
    [[nodiscard]] bool less(std::ptrdiff_t a, std::ptrdiff_t b) const { return at(a) < at(b); }

    void exchange(std::ptrdiff_t a, std::ptrdiff_t b) {
        std::swap(heap_[index(a)], heap_[index(b)]);
        slot_[heap_[index(a)]] = a;
        slot_[heap_[index(b)]] = b;
    }

    /// The parent of slot 1 (and of -1) is the median itself.
    void rise_upper(std::ptrdiff_t s) {
        for (; s > 0 && less(s, s / 2); s /= 2) exchange(s, s / 2);
        if (s == 0) settle();
    }
    void rise_lower(std::ptrdiff_t s) {
        for (; s < 0 && less(s / 2, s); s /= 2) exchange(s, s / 2);
        if (s == 0) settle();
    }
    void sink_upper(std::ptrdiff_t s) {
        for (std::ptrdiff_t child = 2 * s; child <= half_; s = child, child = 2 * s) {
            if (child < half_ && less(child + 1, child)) ++child;
            if (!less(child, s)) return;
            exchange(child, s);
        }
    }
    void sink_lower(std::ptrdiff_t s) {
        for (std::ptrdiff_t child = 2 * s; child >= -half_; s = child, child = 2 * s) {
            if (child > -half_ && less(child, child - 1)) --child;
            if (!less(s, child)) return;
            exchange(child, s);
        }
    }
    /// After the median changed: it trades places with a neighbour that is on the wrong side of it.
    void settle() {
        if (half_ == 0) return;
        if (less(1, 0)) {
            exchange(1, 0);
            sink_upper(1);
        }
        if (less(0, -1)) {
            exchange(-1, 0);
            sink_lower(-1);
        }
    }

    std::ptrdiff_t half_;
    std::vector<T> values_;             // ring, in order of arrival
    std::vector<std::ptrdiff_t> slot_;  // of each ring place
    std::vector<std::size_t> heap_;     // ring place in each slot, shifted by half_
    std::size_t oldest_ = 0;
};

/// The value at a place that may lie outside, mirrored at the ends as often as needed.
template <class T>
T mirrored(std::span<const T> values, std::ptrdiff_t place) {
    const auto n = static_cast<std::ptrdiff_t>(values.size());
    place %= 2 * n;
    if (place < 0) place += 2 * n;
    const T v = values[static_cast<std::size_t>(place < n ? place : 2 * n - 1 - place)];
    return std::isnan(v) ? -std::numeric_limits<T>::infinity() : v;
}

template <class T>
std::vector<T> running(std::span<const T> values, std::size_t width) {
    std::vector<T> out(values.size());
    if (values.empty()) return out;
    const auto half = static_cast<std::ptrdiff_t>(width / 2);
    MedianWindow<T> window(width / 2, mirrored(values, std::ptrdiff_t{0}));
    for (std::ptrdiff_t i = -half; i < half; ++i) window.replace(mirrored(values, i));
    for (std::size_t i = 0; i < values.size(); ++i) {
        window.replace(mirrored(values, static_cast<std::ptrdiff_t>(i) + half));
        out[i] = window.median();
    }
    return out;
}

}  // namespace

std::vector<float> running_median(std::span<const float> values, std::size_t width) {
    return running(values, width);
}
std::vector<double> running_median(std::span<const double> values, std::size_t width) {
    return running(values, width);
}

}  // namespace cranknote::signal
