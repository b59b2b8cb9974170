#include "signal/recording.hpp"

#include <catch2/catch.hpp>

using namespace cranknote;

TEST_CASE("the loudest channel is the one that is not dead, and the first of equals") {
    const Recording r{
        SampleRate{8000}, {{0.0F, 0.0F}, {0.5F, -0.5F}, {0.1F, 0.1F}, {-0.5F, 0.5F}}, Seconds{0}};
    CHECK(&loudest_channel(r) == &r.channels[1]);
}
