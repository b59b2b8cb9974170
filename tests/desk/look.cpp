#include "desk/look.hpp"

#include <catch2/catch.hpp>

using namespace cranknote;
using desk::Tone;

TEST_CASE("every text stands out from its ground by 4.5 to 1 (WCAG 2.2, 1.4.3)") {
    constexpr double least = 4.5;
    for (const auto mode : {figure::Mode::light, figure::Mode::dark}) {
        const auto look = desk::make_look(mode, 1.0);
        const auto check = [&](Tone text, Tone ground) {
            INFO("mode " << static_cast<int>(mode) << ", tone " << static_cast<int>(text) << " on "
                         << static_cast<int>(ground));
            CHECK(figure::contrast(look.colour(text), look.colour(ground)) >= least);
        };
        for (const auto ground : {Tone::paper, Tone::tint, Tone::hover, Tone::chosen})
            for (const auto text : {Tone::text, Tone::faint, Tone::warn_text, Tone::good_text})
                check(text, ground);
        check(Tone::on_act, Tone::act);
        check(Tone::on_warn, Tone::warn);
    }
}

TEST_CASE("the scale stays within what can be used") {
    CHECK(desk::make_look(figure::Mode::light, 9.0).scale == 3.0);
    CHECK(desk::make_look(figure::Mode::light, 2.0).px(desk::touch) == 88.0f);
}
