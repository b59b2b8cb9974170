#include "job/moment.hpp"

#include <array>
#include <charconv>
#include <ctime>

namespace cranknote::job {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

/// Takes exactly `digits` digits off the front of `text`.
std::optional<int> take_number(std::string_view& text, std::size_t digits) {
    if (text.size() < digits) return std::nullopt;
    int value = 0;
    for (std::size_t i = 0; i < digits; ++i) {
        if (text[i] < '0' || text[i] > '9') return std::nullopt;
        value = value * 10 + (text[i] - '0');
    }
    text.remove_prefix(digits);
    return value;
}

bool take(std::string_view& text, char c) {
    if (text.empty() || text.front() != c) return false;
    text.remove_prefix(1);
    return true;
}

std::optional<std::chrono::year_month_day> take_date(std::string_view& text) {
    const auto y = take_number(text, 4);
    if (!y || !take(text, '-')) return std::nullopt;
    const auto m = take_number(text, 2);
    if (!m || !take(text, '-')) return std::nullopt;
    const auto d = take_number(text, 2);
    if (!d) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year{*y},
                                           std::chrono::month{static_cast<unsigned>(*m)},
                                           std::chrono::day{static_cast<unsigned>(*d)}};
    // Years that a calendar on a workshop's wall may show; a phone's dead clock says 1970.
    if (!date.ok() || *y < 1970 || *y > 9998) return std::nullopt;
    return date;
}

std::optional<seconds> take_time(std::string_view& text) {
    const auto h = take_number(text, 2);
    if (!h || *h > 23 || !take(text, ':')) return std::nullopt;
    const auto m = take_number(text, 2);
    if (!m || *m > 59) return std::nullopt;
    int s = 0;
    if (take(text, ':')) {
        const auto typed = take_number(text, 2);
        if (!typed || *typed > 59) return std::nullopt;
        s = *typed;
        if (take(text, '.'))  // fractions of a second are dropped
            while (!text.empty() && text.front() >= '0' && text.front() <= '9') text.remove_prefix(1);
    }
    return hours{*h} + minutes{*m} + seconds{s};
}

/// "Z" or "+02:00"; absent if what is left is something else.
std::optional<seconds> take_offset(std::string_view& text) {
    if (take(text, 'Z')) return seconds{0};
    const int sign = take(text, '+') ? 1 : take(text, '-') ? -1 : 0;
    if (sign == 0) return std::nullopt;
    const auto h = take_number(text, 2);
    if (!h || *h > 14) return std::nullopt;
    take(text, ':');
    const auto m = take_number(text, 2);
    if (!m || *m > 59) return std::nullopt;
    return sign * (hours{*h} + minutes{*m});
}

std::optional<Moment> from_local_time(std::chrono::year_month_day date, seconds time) {
    std::tm parts{};
    parts.tm_year = static_cast<int>(date.year()) - 1900;
    parts.tm_mon = static_cast<int>(static_cast<unsigned>(date.month())) - 1;
    parts.tm_mday = static_cast<int>(static_cast<unsigned>(date.day()));
    parts.tm_sec = static_cast<int>(time.count() % 60);
    parts.tm_min = static_cast<int>(time.count() / 60 % 60);
    parts.tm_hour = static_cast<int>(time.count() / 3600);
    parts.tm_isdst = -1;  // let the machine's time zone say
    const std::time_t utc = std::mktime(&parts);
    if (utc == -1) return std::nullopt;
    return Moment{seconds{utc}};
}

/// "2026-03-01"
std::string date_text(std::chrono::year_month_day date) {
    return to_iso(Moment{std::chrono::sys_days{date}}).substr(0, 10);
}

}  // namespace

Moment now() { return std::chrono::floor<seconds>(std::chrono::system_clock::now()); }

std::string to_iso(Moment m) {
    const auto day = std::chrono::floor<days>(m);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss time{m - day};
    std::array<char, 64> text{};
    const int length =
        std::snprintf(text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02dZ",
                      static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                      static_cast<unsigned>(date.day()), static_cast<int>(time.hours().count()),
                      static_cast<int>(time.minutes().count()), static_cast<int>(time.seconds().count()));
    return {text.data(), static_cast<std::size_t>(length)};
}

std::optional<Moment> moment_from(std::string_view text) {
    const auto date = take_date(text);
    if (!date) return std::nullopt;
    if (text.empty()) return from_local_time(*date, seconds{0});
    if (!take(text, 'T') && !take(text, ' ')) return std::nullopt;
    const auto time = take_time(text);
    if (!time) return std::nullopt;
    if (text.empty()) return from_local_time(*date, *time);
    const auto offset = take_offset(text);
    if (!offset || !text.empty()) return std::nullopt;
    return std::chrono::sys_days{*date} + *time - *offset;
}

std::optional<When> when_from(std::string_view text) {
    const auto moment = moment_from(text);
    if (!moment) return std::nullopt;
    When when{*moment};
    std::string_view rest = text;
    const auto date = take_date(rest);
    if (rest.empty()) when.day = date;
    return when;
}

std::string to_iso(const When& when) { return when.day ? date_text(*when.day) : to_iso(when.at); }

std::string to_local(const When& when) { return when.day ? date_text(*when.day) : to_local(when.at); }

bool surely_before(const When& a, const When& b) {
    if (!a.day && !b.day) return a.at < b.at;
    constexpr std::size_t date_length = 10;  // "2026-03-01" sorts as the days do
    return to_local(a).substr(0, date_length) < to_local(b).substr(0, date_length);
}

std::string to_local(Moment m) {
    const std::time_t utc = m.time_since_epoch().count();
    std::tm parts{};
    if (localtime_r(&utc, &parts) == nullptr) return to_iso(m);
    std::array<char, 64> text{};
    const auto length = std::strftime(text.data(), text.size(), "%Y-%m-%d %H:%M", &parts);
    return {text.data(), length};
}

}  // namespace cranknote::job
