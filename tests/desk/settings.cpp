#include "desk/settings.hpp"

#include <catch2/catch.hpp>

using namespace cranknote;

TEST_CASE("what the window remembers is read back as it was written") {
    desk::Settings s;
    s.mode = figure::Mode::dark;
    s.scale = 1.5;
    for (int i = 0; i < 12; ++i) desk::remember(s, "/jobs/with space " + std::to_string(i));
    desk::remember(s, "/jobs/with space 9");
    REQUIRE(s.recent.size() == 8);
    CHECK(s.recent.front() == "/jobs/with space 9");
    const auto again = desk::settings_from(desk::settings_text(s));
    CHECK(again.mode == s.mode);
    CHECK(again.scale == s.scale);
    CHECK(again.recent == s.recent);
}

TEST_CASE("settings that are none are passed over") {
    const auto s = desk::settings_from("percent nonsense\ncolours\n\nwhat is this\njob /a\n");
    CHECK(s.recent == std::vector<std::string>{"/a"});
    CHECK(s.scale == 0.8);  // the smallest that can be read
}
