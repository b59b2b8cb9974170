#include "desk/next_state.hpp"

#include <catch2/catch.hpp>

#include "desk/bench.hpp"

using namespace cranknote;
using namespace cranknote::test;

TEST_CASE("the next state's name says what is off, by the pull's name where it says it all") {
    const auto scene = example_scene();
    desk::NextState next;
    CHECK(name_of(next, scene) == "as found");
    next.off = {"fan", "fan belt"};
    CHECK(name_of(next, scene) == "fan belt off");
    next.off = {"upper cover"};
    CHECK(name_of(next, scene) == "upper cover off");
    next.with = {"mist"};
    CHECK(name_of(next, scene) == "upper cover off, mist");
    next = {};
    next.repaired = true;
    CHECK(name_of(next, scene) == "repaired");
    next.name = "after lunch";
    CHECK(name_of(next, scene) == "after lunch");
    CHECK(name_of(next, desk::Scene{}) == "after lunch");
    CHECK(name_of({}, desk::Scene{}) == "as found");
}

TEST_CASE("a thing that came off with a pull goes back on with the whole pull") {
    const auto scene = example_scene();
    desk::NextState next;
    next.off = {"fan belt off"};
    CHECK_FALSE(take_off_or_refit(next, scene.layout, "fan"));
    CHECK(next.off.empty());
}

TEST_CASE("the timing belt is never taken off") {
    const auto scene = example_scene();
    desk::NextState next;
    const auto refused = take_off_or_refit(next, scene.layout, "timing belt");
    REQUIRE(refused);
    CHECK_FALSE(refused->empty());
    CHECK(next.off.empty());
}

TEST_CASE("a run without the water pump carries its caution") {
    const auto scene = example_scene();
    desk::NextState next;
    CHECK(cautions_of(next, scene.layout).empty());
    next.off = {"fan belt"};
    CHECK_FALSE(cautions_of(next, scene.layout).empty());
}

TEST_CASE("the next state starts from where the engine stands") {
    CHECK(desk::next_after(example_scene()).off == std::set<std::string>{"fan belt off"});
    CHECK(desk::next_after({}) == desk::NextState{});
}
