#include <catch2/catch.hpp>
#include <cmath>

#include "figure/number_text.hpp"
#include "figure/utf8.hpp"

using namespace cranknote;

TEST_CASE("numbers: signs, units and decimals as people read them", "[figure][numbers]") {
    CHECK(number_text(-3.14, 1) == "\u22123.1");
    CHECK(number_text(-0.04, 1) == "0.0");
    CHECK(signed_text(3.0, 1) == "+3.0");
    CHECK(signed_text(0.01, 1) == "0.0");
    CHECK(number_text(std::nan(""), 1) == not_known);
    CHECK(short_number_text(0.5) == "0.5");
    CHECK(short_number_text(1000.0) == "1000");
    CHECK(short_number_text(0.0) == "0");
    CHECK(short_number_text(-2.5) == "\u22122.5");
    CHECK(ratio_text(Ratio{2.84}) == "2.84×");
    CHECK(ratio_text(Ratio{20.0}) == "20.0×");
    CHECK(ratio_text(Ratio{9.996}) == "10.0×");
    CHECK(ratio_text(Ratio{240.3}) == "240×");
    CHECK(hertz_text(Hertz{312.4}) == "312\u00a0Hz");
    CHECK(hertz_text(Hertz{999.7}) == "1.00\u00a0kHz");
    CHECK(hertz_text(std::pair{Hertz{900.0}, Hertz{2100.0}}) == "0.90–2.10\u00a0kHz");
    CHECK(rpm_text(Rpm{811.6}) == "812\u00a0rpm");
    CHECK(change_text(Decibel{-11.08}) == "\u221211.1\u00a0dB");
    CHECK(probability_text(0.714) == "71\u00a0%");
    CHECK(probability_text(0.0) == "under\u00a01\u00a0%");
    CHECK(seconds_text(Seconds{125.0}) == "2\u00a0min\u00a005\u00a0s");
}

TEST_CASE("utf8: broken bytes become the replacement character", "[figure][utf8]") {
    CHECK(code_points("a\xff\xc0\x80z") == std::u32string{U'a', 0xFFFD, 0xFFFD, 0xFFFD, U'z'});
    CHECK(code_points("\xe2\x82") == std::u32string{0xFFFD, 0xFFFD});  // truncated
    CHECK(code_points("\xed\xa0\x80").front() == 0xFFFD);              // a surrogate
    CHECK(utf8_of(code_points("héllo × 漢 🔧")) == "héllo × 漢 🔧");
}

TEST_CASE("utf8: one clean line", "[figure][utf8]") {
    CHECK(clean_line("  a\tb\n\x1b[31mc\xc2\x85 ") == "a b [31mc");
    CHECK(clean_line("\xe2\x80\xaeok\xe2\x81\xa9") == "ok");
    CHECK(clean_line("שלום") == "שלום");
    CHECK(clean_text("a\n\n\n\nb\r\n") == "a\n\nb");
}

TEST_CASE("utf8: columns and wrapping", "[figure][utf8]") {
    CHECK(columns_of("漢字") == 4);
    CHECK(columns_of("e\u0301") == 1);
    CHECK(shortened("alternator", 6) == "alter\u2026");
    CHECK(wrapped("aa bb cc", 5) == "aa bb\ncc");
    CHECK(wrapped("aa bb cc", 6, "1. ", "   ") == "1. aa\n   bb\n   cc");
    CHECK(wrapped("3.0\u00a0dB x", 6) == "3.0\u00a0dB\nx");
    CHECK(wrapped("abcdefgh", 3) == "abc\ndef\ngh");
    CHECK(wrapped("漢字漢字", 5) == "漢字\n漢字");
}
