// The panels by pointer and keys: what a press asks for, what it changes of the view, and that texts have
// room.
#include <GLFW/glfw3.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "desk/bench.hpp"

using namespace cranknote;
using namespace cranknote::test;
namespace ask = cranknote::desk::ask;

TEST_CASE("a press on a state compares it and shows it in the drawing") {
    Bench b;
    b.view.b = 0;
    const auto asked = b.click("state fan belt off");
    const auto* compare = only<ask::Compare>(asked);
    REQUIRE(compare);
    CHECK(compare->a == 0);
    CHECK(compare->b == 1);
    CHECK(b.view.shown == 1);
}

TEST_CASE("a press on a belt in the drawing takes it off in the next state, another puts it back on") {
    Bench b;
    b.view.shown = 1;
    b.settle();
    b.click("part fan belt");
    CHECK(b.view.next.off == std::set<std::string>{"fan belt"});
    CHECK_FALSE(b.view.shown);
    b.click("part fan belt");
    CHECK(b.view.next.off.empty());
}

TEST_CASE("what the engine must never run without is not taken off, and it is said why") {
    Bench b;
    b.click("part timing belt");
    CHECK(b.view.next.off.empty());
    CHECK(b.view.over == desk::Over::caution);
    CHECK_FALSE(b.view.caution.empty());
    b.settle(6);
    b.click("yes");
    CHECK(b.view.over == desk::Over::nothing);
}

TEST_CASE("pointing at a finding lights the parts that explain it") {
    Bench b;
    std::string id, part;
    for (const auto& f : b.scene.compared->comparison.findings)
        if (id.empty() && f.flagged && !f.explained_by.empty()) id = f.id, part = f.explained_by.front().part;
    REQUIRE_FALSE(id.empty());
    b.point("finding " + id);
    CHECK(b.view.lit_finding == id);
    CHECK(desk::lit_of(b.scene, b.view).parts.contains(part));
}

TEST_CASE("marking the noise is asked for with the finding's id, by pointer and by key") {
    Bench b;
    const auto id = b.scene.compared->comparison.findings.front().id;
    b.click("finding " + id);
    REQUIRE(b.view.finding == id);
    const auto by_pointer = b.click("mark " + id);
    REQUIRE(only<ask::Mark>(by_pointer));
    CHECK(only<ask::Mark>(by_pointer)->finding == id);
    const auto by_key = b.type('m');
    REQUIRE(only<ask::Mark>(by_key));
}

TEST_CASE("a drag over the figure looks closer, a double click shows all again") {
    Bench b;
    const auto box = b.box("figure");
    auto& io = ImGui::GetIO();
    const auto at = [&](double share) {
        io.MousePos = {static_cast<float>(box.x0 + share * box.width()), static_cast<float>(box.centre().y)};
    };
    at(0.3);
    b.settle(2);
    io.MouseDown[0] = true;
    b.settle(1);
    at(0.6);
    b.settle(2);
    io.MouseDown[0] = false;
    b.settle(2);
    REQUIRE(b.view.range);
    CHECK(b.view.range->first < b.view.range->second);
    for (int i = 0; i < 2; ++i) {
        io.MouseDown[0] = true;
        b.settle(1);
        io.MouseDown[0] = false;
        b.settle(1);
    }
    CHECK_FALSE(b.view.range);
}

TEST_CASE("keys do what the list says") {
    Bench b;
    b.type('u');
    CHECK(b.view.over_hz);
    b.type('s');
    CHECK(b.view.tab == desk::SoundTab::swelling);
    CHECK(only<ask::Undo>(b.key(GLFW_KEY_Z, true)));
    CHECK(only<ask::Redo>(b.key(GLFW_KEY_Z, true, true)));
    const auto up = b.key(GLFW_KEY_UP);
    REQUIRE(only<ask::Compare>(up));
    CHECK(only<ask::Compare>(up)->b == 0);
    const auto a = b.type('a');
    REQUIRE(only<ask::Play>(a));
    CHECK_FALSE(only<ask::Play>(a)->b);
    b.type('1');
    CHECK_FALSE(b.view.suspect.empty());
    b.key(GLFW_KEY_TAB);
    CHECK_FALSE(b.view.lit_part.empty());
    b.type('?');
    CHECK(b.view.over == desk::Over::help);
    b.settle(6);
    b.key(GLFW_KEY_ESCAPE);
    CHECK(b.view.over == desk::Over::nothing);
}

TEST_CASE("a recording asks for the state that is next, with cautions said first") {
    Bench b;
    b.view.next.off = {"fan belt"};
    b.click("record");
    REQUIRE(b.view.over == desk::Over::record);
    b.settle(6);
    CHECK_FALSE(b.view.cautioned);
    const auto asked = b.click("yes");
    REQUIRE(only<ask::Record>(asked));
    CHECK(only<ask::Record>(asked)->next.off == std::set<std::string>{"fan belt"});
    CHECK(b.view.cautioned);
}

TEST_CASE("a job that can only be looked at offers no changes") {
    Bench b;
    b.scene.read_only = "another program has it open";
    ++b.scene.serial;
    b.settle();
    b.click("record");
    CHECK(b.view.over == desk::Over::nothing);
    CHECK(b.type('m').empty());
}

TEST_CASE("a picture through time is asked for once, when it is first looked at") {
    Bench b;
    b.scene.through_time = nullptr;
    ++b.scene.serial;
    b.view.tab = desk::SoundTab::time;
    const auto asked = b.settle(6);
    REQUIRE(std::ranges::count_if(
                asked, [](const auto& c) { return std::holds_alternative<ask::ShowThroughTime>(c); }) == 1);
    CHECK(only<ask::ShowThroughTime>(asked)->recording == "r2");
    const auto other = b.key(GLFW_KEY_LEFT);  // the recording before
    REQUIRE(only<ask::ShowThroughTime>(other));
    CHECK(only<ask::ShowThroughTime>(other)->recording == "r1");
}

TEST_CASE("a reading is written down for the state that is looked at") {
    Bench b;
    b.view.shown = 1;
    b.type('e');
    REQUIRE(b.view.over == desk::Over::reading);
    b.settle(6);
    CHECK_FALSE(only<ask::EnterReading>(b.click("yes")));  // nothing is typed yet
    b.view.reading.value = "790";
    b.settle(2);
    const auto asked = b.click("yes");
    REQUIRE(only<ask::EnterReading>(asked));
    CHECK(only<ask::EnterReading>(asked)->reading.value == 790.0);
    CHECK(only<ask::EnterReading>(asked)->reading.recording == "r2");
}

TEST_CASE("where the microphone is held is chosen by name") {
    Bench b;
    b.type('p');
    REQUIRE(b.view.over == desk::Over::near);
    b.settle(6);
    b.click("near water pump");
    CHECK(b.view.next.near == "water pump");
    b.click("near nothing");
    CHECK_FALSE(b.view.next.near);
}

TEST_CASE("a job of 200 recordings shows them all, and one frame of it takes a few milliseconds") {
    Bench b;
    for (int i = 3; i <= 200; ++i) {
        auto r = b.scene.job.recordings.front();
        r.id = "r" + std::to_string(i);
        b.scene.job.recordings.push_back(r);
        b.scene.heard.push_back(b.scene.heard.front());
    }
    ++b.scene.serial;
    b.view.shown = 0;
    b.settle();
    CHECK(b.has("recording r200"));
    const auto texts = desk::texts_of(b.scene);
    double best = 1e9;  // the least of some, so that other programs on the machine do not count
    for (int i = 0; i < 20; ++i) best = std::min(best, b.frame_seconds(texts));
    // 4 ms is what is promised of the program's own part of a frame; tests run beside others, so thrice that.
    CHECK(best < 0.012);
}
