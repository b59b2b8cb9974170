// A tolerance never stands alone: its reason is part of the call.
#pragma once

#include <catch2/catch.hpp>
#include <sstream>
#include <string>

namespace cranknote::test {

/// Matches a double within ±tolerance of expected; the reason is printed when it does not.
class Within : public Catch::MatcherBase<double> {
  public:
    Within(double expected, double tolerance, std::string reason)
        : expected_(expected), tolerance_(tolerance), reason_(std::move(reason)) {}
    bool match(const double& got) const override { return std::abs(got - expected_) <= tolerance_; }
    std::string describe() const override {
        std::ostringstream s;
        s.precision(10);
        s << "is within " << tolerance_ << " of " << expected_ << " (" << reason_ << ")";
        return s.str();
    }

  private:
    double expected_, tolerance_;
    std::string reason_;
};

inline Within within(double expected, double tolerance, std::string reason) {
    return Within(expected, tolerance, std::move(reason));
}

}  // namespace cranknote::test
