#include "job/moment.hpp"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <ctime>

namespace cranknote::job {
using namespace std::chrono_literals;

TEST_CASE("moments are read and written as ISO 8601") {
    const auto m = moment_from("2026-03-01T09:30:05Z");
    REQUIRE(m);
    CHECK(to_iso(*m) == "2026-03-01T09:30:05Z");
    // 2026-03-01 is day 20513 from 1970-01-01: 56 years of 365 days, 14 leap days, 31 + 28 days of the year.
    CHECK(m->time_since_epoch() == std::chrono::days{56 * 365 + 14 + 59} + 9h + 30min + 5s);
    CHECK(moment_from("2026-03-01 11:30:05+02:00") == m);
    CHECK(moment_from("2026-03-01T04:00:05-0530") == m);
    CHECK(moment_from("2026-03-01T09:30:05.999Z") == m);
}

TEST_CASE("without an offset a moment is this machine's time") {
    setenv("TZ", "UTC-3", 1);  // POSIX: three hours ahead of UTC
    tzset();
    CHECK(moment_from("2026-03-01T12:30") == moment_from("2026-03-01T09:30Z"));
    CHECK(moment_from("2026-03-01") == moment_from("2026-02-28T21:00Z"));
    CHECK(to_local(*moment_from("2026-03-01T09:30Z")) == "2026-03-01 12:30");
    unsetenv("TZ");
    tzset();
}

TEST_CASE("a day alone stays a day in every time zone") {
    const auto day = when_from("2026-03-01");
    REQUIRE(day);
    CHECK(day->day.has_value());
    const auto noon = when_from("2026-03-01 12:00");
    CHECK_FALSE(noon->day.has_value());
    for (const char* zone : {"UTC-3", "UTC+11", "UTC"}) {
        setenv("TZ", zone, 1);
        tzset();
        CHECK(to_iso(*day) == "2026-03-01");
        CHECK(to_local(*day) == "2026-03-01");
        CHECK(when_from(to_iso(*day))->day == day->day);
        CHECK(to_local(*when_from("2026-03-01 12:00")) == "2026-03-01 12:00");
    }
    unsetenv("TZ");
    tzset();
    CHECK_FALSE(surely_before(*day, *noon));
    CHECK_FALSE(surely_before(*noon, *day));
    CHECK(surely_before(*when_from("2026-02-28 23:59"), *day));
    CHECK(surely_before(*day, *when_from("2026-03-02 00:00")));
    CHECK(surely_before(*when_from("2026-03-01 11:59"), *noon));
    CHECK_FALSE(when_from("2026-02-30").has_value());
}

TEST_CASE("what is no moment is none") {
    for (const char* text : {"", "yesterday", "10:30", "2026-13-01", "2026-02-30T10:00Z", "2026-03-01T24:00Z",
                             "2026-03-01T10:60Z", "2026-03-01T10:00Zulu", "2026-03-01T10", "2026-3-1",
                             "2026-03-01T10:00+99:00", "0000-01-01"}) {
        INFO(text);
        CHECK_FALSE(moment_from(text).has_value());
    }
}

}  // namespace cranknote::job
