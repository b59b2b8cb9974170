// Work behind the window: in order, one at a time, and never idle between two that belong together.
#include "desk/worker.hpp"

#include <atomic>
#include <catch2/catch.hpp>
#include <chrono>
#include <thread>

using namespace cranknote;

namespace {

void collect_until_idle(desk::Worker& w) {
    while (w.busy().running) {
        w.collect();
        std::this_thread::yield();
    }
}

}  // namespace

TEST_CASE("a task that starts the next leaves no moment in which nothing runs") {
    for (int i = 0; i < 200; ++i) {
        bool second = false;
        desk::Worker w([] {});
        w.start("first", [&](std::stop_token, const auto&) {
            return desk::Worker::Apply([&] {
                w.start("second", [&](std::stop_token, const auto&) {
                    return desk::Worker::Apply([&] { second = true; });
                });
            });
        });
        collect_until_idle(w);
        REQUIRE(second);
    }
}

TEST_CASE("results come in the order in which they were asked for, on the caller's thread") {
    std::vector<int> order;
    const auto here = std::this_thread::get_id();
    desk::Worker w([] {});
    for (int i = 0; i < 50; ++i)
        w.start("one", [&, i](std::stop_token, const auto&) {
            return desk::Worker::Apply([&, i] {
                CHECK(std::this_thread::get_id() == here);
                order.push_back(i);
            });
        });
    collect_until_idle(w);
    REQUIRE(order.size() == 50);
    CHECK(std::ranges::is_sorted(order));
}

TEST_CASE("stopping forgets what waits and tells the one that runs") {
    std::atomic<int> began{0};
    std::atomic<bool> stopped{false};
    desk::Worker w([] {});
    for (int i = 0; i < 3; ++i)
        w.start("long", [&](std::stop_token stop, const auto&) -> desk::Worker::Apply {
            ++began;
            while (!stop.stop_requested()) std::this_thread::yield();
            stopped = true;
            return {};
        });
    while (began == 0) std::this_thread::yield();
    w.stop();
    collect_until_idle(w);
    CHECK(began == 1);
    CHECK(stopped);
    CHECK_FALSE(w.busy().running);
}
