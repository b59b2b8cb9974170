#include "desk/arrange.hpp"

#include <catch2/catch.hpp>
#include <vector>

using namespace cranknote;

TEST_CASE("the parts of the window lie inside of it and not on each other") {
    for (const double width : {640.0, 800.0, 1024.0, 1366.0, 1600.0, 2560.0, 3840.0})
        for (const double height : {480.0, 700.0, 768.0, 1000.0, 2160.0})
            for (const double scale : {1.0, 1.5, 2.0, 3.0}) {
                INFO(width << " x " << height << " at " << scale);
                const auto a = desk::arrange({width, height}, scale, {});
                std::vector<figure::Box> seen;
                for (const auto& box : {a.head, a.day, a.engine, a.sound, a.answers, a.foot})
                    if (box.width() > 0.0) seen.push_back(box);
                for (std::size_t i = 0; i < seen.size(); ++i) {
                    CHECK(seen[i].x0 >= 0.0);
                    CHECK(seen[i].x1 <= width);
                    CHECK(seen[i].y1 <= height);
                    for (std::size_t k = 0; k < i; ++k) CHECK_FALSE(overlap(seen[i], seen[k]));
                }
                CHECK(seen.size() >= 3);
            }
}

TEST_CASE("a large window shows everything at once, a small one what was chosen") {
    desk::ViewState view;
    CHECK(desk::arrange({1600, 1000}, 1.0, view).kind == desk::Arrangement::Kind::whole);
    const auto shared = desk::arrange({1024, 700}, 1.0, view);
    CHECK(shared.kind == desk::Arrangement::Kind::shared);
    CHECK(shared.engine.width() > 0.0);
    CHECK(shared.sound.width() == 0.0);
    CHECK(shared.answers.width() > 0.0);
    view.page = desk::Page::sound;
    const auto single = desk::arrange({1600, 1000}, 2.0, view);
    CHECK(single.kind == desk::Arrangement::Kind::single);
    CHECK(single.sound.width() == 1600.0);
    CHECK(single.answers.width() == 0.0);
}
