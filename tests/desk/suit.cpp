#include "desk/suit.hpp"

#include <catch2/catch.hpp>

using namespace cranknote;

namespace {

figure::Figure two_panels() {
    figure::Figure f;
    f.panels.resize(2);
    f.panels[0].y.label = "level";
    f.panels[1].y.label = "change";
    for (auto& p : f.panels) p.x.label = "per crank turn";
    f.panels[1].elements.push_back(
        figure::Flag{"f1", 1.0, 0.0, figure::Shape::down, {"gone", "82 Hz"}, figure::Ink::quieter, 1.0});
    return f;
}

}  // namespace

TEST_CASE("with less height a figure loses the axis' name, then the second line of flags, then a panel") {
    auto f = two_panels();
    desk::suit(f, {600, 500}, desk::Keep::last);
    CHECK(f.panels[1].x.label == "per crank turn");
    desk::suit(f, {600, 400}, desk::Keep::last);
    CHECK(f.panels[1].x.label.empty());
    CHECK(std::get<figure::Flag>(f.panels[1].elements[0]).lines.size() == 2);
    desk::suit(f, {600, 300}, desk::Keep::last);
    CHECK(std::get<figure::Flag>(f.panels[1].elements[0]).lines == std::vector<std::string>{"gone, 82 Hz"});
    CHECK(f.panels.size() == 2);
    auto narrow = two_panels();
    desk::suit(narrow, {400, 300}, desk::Keep::last);
    CHECK(std::get<figure::Flag>(narrow.panels[1].elements[0]).lines == std::vector<std::string>{"gone"});
    auto other = f;
    desk::suit(f, {600, 200}, desk::Keep::last);
    REQUIRE(f.panels.size() == 1);
    CHECK(f.panels[0].y.label == "change");
    desk::suit(other, {600, 200}, desk::Keep::first);
    REQUIRE(other.panels.size() == 1);
    CHECK(other.panels[0].y.label == "level");
}

TEST_CASE("in a list a name keeps its turns, or that it is off") {
    CHECK(desk::turns_in("6PK1565 \u00b7 0.33\u00d7") == "0.33\u00d7");
    CHECK(desk::turns_in("0.50\u00d7 \u00b7 44 teeth") == "0.50\u00d7");
    CHECK(desk::turns_in("44 teeth").empty());
    figure::Figure f;
    f.panels.resize(1);
    f.panels[0].elements = {
        figure::Callout{"cam", {}, {"cam", "0.50\u00d7 \u00b7 44 teeth"}, figure::Ink::text, 1.0},
        figure::Callout{"fan", {}, {"fan", "off \u00b7 1.20\u00d7"}, figure::Ink::ghost, 1.0}};
    desk::shorten_names(f);
    CHECK(std::get<figure::Callout>(f.panels[0].elements[0]).lines ==
          std::vector<std::string>{"cam", "0.50\u00d7"});
    CHECK(std::get<figure::Callout>(f.panels[0].elements[1]).lines == std::vector<std::string>{"fan", "off"});
}
