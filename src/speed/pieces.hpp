// A stream cut against angle into overlapping pieces of a whole number of cycles, and the lines of each.
#pragma once

#include <complex>
#include <vector>

#include "speed/coarse.hpp"
#include "speed/evidence.hpp"

namespace cranknote::speed_detail {

/// How pieces lie on a course: each `cycles` long (even), half of it apart.
struct Cut {
    int cycles = 4;
    std::size_t count = 0;
    [[nodiscard]] double hop() const { return 0.5 * cycles; }
    /// Cycles since second 0.
    [[nodiscard]] double middle(std::size_t i) const { return hop() * (1.0 + static_cast<double>(i)); }
};

/// Pieces of about `seconds`, at least `fewest_cycles` (even), on this course, as many as lie within
/// `duration`; count 0 if not even one does.
[[nodiscard]] Cut cut_of(const Course& course, Seconds duration, Seconds seconds, int fewest_cycles = 4);

/// Lines at whole multiples of the course's cycle in every piece.
struct PieceLines {
    std::size_t lines = 0;                 ///< multiples 1 .. lines
    std::vector<std::complex<float>> row;  ///< count rows of `lines`; phases refer to the course's own
    std::vector<float> noise;              ///< power of what lies between the multiples, one value a multiple
    [[nodiscard]] std::complex<float> at(std::size_t piece, std::size_t k) const {
        return row[piece * lines + k - 1];
    }
};
/// One for each of the streams, which must be of one rate.
[[nodiscard]] std::vector<PieceLines> piece_lines(std::span<const Stream> streams, const Course& course,
                                                  const Cut& cut, Hertz top);

/// How far the comb stands out in each piece when the course is corrected by reach * g / half, g = -half ..
/// half: rows of 2 * half + 1 scores, added to `scores`.
void add_comb_scores(std::span<const Stream> streams, const Course& course, const Cut& cut, Hertz top,
                     double reach, int half, double weight, std::vector<float>& scores);

}  // namespace cranknote::speed_detail
