#include "desk/layout_draft.hpp"

#include <catch2/catch.hpp>

#include "job/small_layout.hpp"
#include "layout/kinematics.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

TEST_CASE("typing counted turns changes the ratio at once") {
    auto layout = parse_layout(small_layout, "small");
    auto fields = desk::fields_of(*layout.part("water pump"));
    CHECK(fields.diameter == "120");
    fields.crank_turns = "10";
    fields.part_turns = "14";
    CHECK(desk::enter_fields(layout, "water pump", fields).empty());
    CHECK_THAT(turns_of(layout, "water pump")->value.value(),
               within(1.4, 1e-9, "14 of 10 turns, rounding only"));
    CHECK(desk::ratio_word(layout, "water pump") == "1.40×");
    CHECK(desk::ratio_sentence(layout, "water pump").find("1.40×") != std::string::npos);
}

TEST_CASE("what is typed is kept by the layout's own file") {
    auto layout = parse_layout(small_layout, "small");
    desk::PartFields fields;
    fields.teeth = "44";
    CHECK(desk::enter_fields(layout, "cam wheel", fields).empty());
    CHECK(desk::trouble_of(layout).empty() == (layout.engine.cam_ratio == 20.0 / 44.0));
    const auto sound = parse_layout(small_layout, "small");
    CHECK(desk::trouble_of(sound).empty());
    CHECK(parse_layout(to_toml(sound), "again").part("cam wheel")->teeth == 40);
}

TEST_CASE("what is no number is said, and changes nothing") {
    auto layout = parse_layout(small_layout, "small");
    auto fields = desk::fields_of(*layout.part("water pump"));
    for (const char* typed : {"abc", "-3", "1e9", "12x"}) {
        fields.diameter = typed;
        CHECK_FALSE(desk::enter_fields(layout, "water pump", fields).empty());
        CHECK(std::get<Millimetres>(layout.part("water pump")->diameter) == Millimetres{120.0});
    }
    fields.diameter = "121,5";  // a comma is a point in half of the world
    CHECK(desk::enter_fields(layout, "water pump", fields).empty());
    CHECK(std::get<Millimetres>(layout.part("water pump")->diameter) == Millimetres{121.5});
    fields.diameter = "";
    CHECK(desk::enter_fields(layout, "water pump", fields).empty());
    CHECK(std::holds_alternative<std::monostate>(layout.part("water pump")->diameter));
}
