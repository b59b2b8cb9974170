// No key is lost, and the press that opens something does not close it again.
#include <GLFW/glfw3.h>

#include <catch2/catch.hpp>

#include "desk/bench.hpp"
#include "desk/key_queue.hpp"

using namespace cranknote;
using namespace cranknote::test;
using desk::KeyEvent;
using Kind = desk::KeyEvent::Kind;

namespace {

KeyEvent press(int key) { return {Kind::press, key, 0, 0}; }
KeyEvent release(int key) { return {Kind::release, key, 0, 0}; }

}  // namespace

TEST_CASE("a key pressed and let go between two frames is down in one of them") {
    desk::KeyQueue keys;
    for (const auto& e : {press(1), press(2), release(2), release(1)}) keys.put(e);
    CHECK(keys.for_a_frame() == std::vector{press(1), press(2)});
    CHECK_FALSE(keys.empty());
    CHECK(keys.for_a_frame() == std::vector{release(2), release(1)});
    CHECK(keys.empty());
    CHECK(keys.for_a_frame().empty());
}

TEST_CASE("the same key twice between two frames is two presses") {
    desk::KeyQueue keys;
    for (const auto& e : {press(1), release(1), press(1), release(1)}) keys.put(e);
    CHECK(keys.for_a_frame() == std::vector{press(1)});
    CHECK(keys.for_a_frame() == std::vector{release(1)});
    CHECK(keys.for_a_frame() == std::vector{press(1)});
    CHECK(keys.for_a_frame() == std::vector{release(1)});
}

TEST_CASE("what is typed before Enter comes before it") {
    desk::KeyQueue keys;
    const KeyEvent letter{Kind::character, 0, 0, 'x'};
    for (const auto& e : {press(88), letter, release(88), press(GLFW_KEY_ENTER)}) keys.put(e);
    CHECK(keys.for_a_frame() == std::vector{press(88), letter});
    CHECK(keys.for_a_frame() == std::vector{release(88), press(GLFW_KEY_ENTER)});
}

TEST_CASE("the press of Enter that is refused leaves the reason on the screen") {
    Bench b;
    b.view.lit_part = "timing belt";
    b.key(GLFW_KEY_ENTER);
    CHECK(b.view.over == desk::Over::caution);
    b.settle(6);
    b.key(GLFW_KEY_ENTER);
    CHECK(b.view.over == desk::Over::nothing);
}
