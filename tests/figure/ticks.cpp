#include "figure/ticks.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "within.hpp"

using namespace cranknote;
using namespace cranknote::figure;
using cranknote::test::within;

namespace {

std::vector<std::string> texts(const std::vector<Tick>& ticks) {
    std::vector<std::string> out;
    for (const auto& t : ticks)
        if (!t.text.empty()) out.push_back(t.text);
    return out;
}

}  // namespace

TEST_CASE("ticks: linear steps are 1, 2 or 5", "[figure][ticks]") {
    CHECK(texts(ticks_for(Scale::linear, 0, 10, 5)) ==
          std::vector<std::string>{"0", "2", "4", "6", "8", "10"});
    CHECK(texts(ticks_for(Scale::linear, -65, -20, 5)) ==
          std::vector<std::string>{"\u221260", "\u221250", "\u221240", "\u221230", "\u221220"});
    CHECK(texts(ticks_for(Scale::linear, 0.1, 0.32, 4)) == std::vector<std::string>{"0.1", "0.2", "0.3"});
    CHECK(tick_step(45.0, 5) == 10.0);
    CHECK_THAT(tick_step(0.22, 4), within(0.1, 1e-12, "double rounding of a power of ten"));
}

TEST_CASE("ticks: logarithmic ones are 1, 2, 5 and decades when there are many", "[figure][ticks]") {
    CHECK(texts(ticks_for(Scale::log, 0.5, 1000, 14)) ==
          std::vector<std::string>{"0.5", "1", "2", "5", "10", "20", "50", "100", "200", "500", "1000"});
    CHECK(texts(ticks_for(Scale::log, 0.5, 1000, 4)) == std::vector<std::string>{"1", "10", "100", "1000"});
    CHECK(texts(ticks_for(Scale::log, 20, 24, 5)) == std::vector<std::string>{"20", "21", "22", "23", "24"});
}

TEST_CASE("ticks: all lie inside and rise, whatever the range", "[figure][ticks]") {
    for (const double from : {0.003, 0.7, 4.4, 60.0, 1234.5})
        for (const double factor : {1.0001, 1.3, 2.5, 17.0, 4000.0})
            for (const auto scale : {Scale::linear, Scale::log})
                for (const int most : {2, 5, 12}) {
                    const double to = from * factor;
                    const auto ticks = ticks_for(scale, from, to, most);
                    CAPTURE(from, to, most);
                    CHECK(texts(ticks).size() <= static_cast<std::size_t>(most) + 1);
                    for (std::size_t i = 0; i < ticks.size(); ++i) {
                        CHECK(ticks[i].at >= from * (1 - 1e-6));
                        CHECK(ticks[i].at <= to * (1 + 1e-6));
                        if (i > 0) CHECK(ticks[i].at > ticks[i - 1].at);
                    }
                }
}

TEST_CASE("ticks: nothing for an empty or broken range", "[figure][ticks]") {
    CHECK(ticks_for(Scale::linear, 1, 1, 5).empty());
    CHECK(ticks_for(Scale::linear, 0, std::nan(""), 5).empty());
    CHECK(ticks_for(Scale::log, 0, 10, 5).empty());
}

TEST_CASE("ticks: units stand at each number or at the last", "[figure][ticks]") {
    auto hertz = ticks_for(Scale::log, 100, 10000, 4);
    name_ticks(hertz, Unit::hertz);
    CHECK(texts(hertz) == std::vector<std::string>{"100\u00a0Hz", "1\u00a0kHz", "10\u00a0kHz"});
    auto change = ticks_for(Scale::linear, -10, 10, 2);
    name_ticks(change, Unit::change_decibel);
    CHECK(texts(change) == std::vector<std::string>{"\u221210", "0", "+10\u00a0dB"});
    auto ratio = ticks_for(Scale::log, 0.5, 2, 4);
    name_ticks(ratio, Unit::ratio);
    CHECK(texts(ratio) == std::vector<std::string>{"0.5×", "1×", "2×"});
}
