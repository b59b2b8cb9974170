#include "desk/reading_draft.hpp"

#include <catch2/catch.hpp>

using namespace cranknote;

TEST_CASE("a reading is typed with its target, in either way of writing numbers") {
    desk::ReadingDraft d{4, "6,5", "5", "0.5", "r2"};
    const auto typed = desk::reading_from(d);
    REQUIRE(typed.reading);
    CHECK(typed.trouble.empty());
    CHECK(typed.reading->what == "belt deflection");
    CHECK(typed.reading->unit == "mm");
    CHECK(typed.reading->value == 6.5);
    CHECK(typed.reading->recording == "r2");
    CHECK(desk::reading_sentence(*typed.reading) == "belt deflection 6.5\u00a0mm, off target (5 \u00b1 0.5)");
}

TEST_CASE("what is no reading yet says why, and nothing typed says nothing") {
    CHECK_FALSE(desk::reading_from({}).reading);
    CHECK(desk::reading_from({}).trouble.empty());
    for (const auto& d :
         {desk::ReadingDraft{0, "fast", "", "", ""}, desk::ReadingDraft{0, "820", "", "10", ""},
          desk::ReadingDraft{0, "820", "800", "-1", ""}, desk::ReadingDraft{0, "nan", "", "", ""}}) {
        CHECK_FALSE(desk::reading_from(d).reading);
        CHECK_FALSE(desk::reading_from(d).trouble.empty());
    }
}
