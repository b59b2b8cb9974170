// The one error style at the program's edges: what is wrong, where, and what to do about it.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace cranknote {

/// Thrown where the outside world is not as promised (a file, a layout, a sound card); caught once per
/// program. Computation does not throw for ordinary data.
struct Error : std::runtime_error {
    /// A `wrong_call` ends the command line program with exit code 2, `could_not` with 1.
    enum class Kind { could_not, wrong_call };

    Error(std::string trouble_, std::string where_, std::string advice_, Kind kind_ = Kind::could_not)
        : std::runtime_error(one_line(trouble_, where_, advice_)),
          trouble(std::move(trouble_)),
          where(std::move(where_)),
          advice(std::move(advice_)),
          kind(kind_) {}

    std::string trouble;  ///< what is wrong, in plain words
    std::string where;    ///< a file, or file:line:column, or an option; may be empty
    std::string advice;   ///< what to do; may be empty
    Kind kind;

  private:
    static std::string one_line(const std::string& t, const std::string& w, const std::string& a) {
        return (w.empty() ? t : w + ": " + t) + (a.empty() ? "" : " (" + a + ")");
    }
};

}  // namespace cranknote
