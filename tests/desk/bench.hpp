// A window without a window: frames of the real panels, pointed at by name.
#pragma once

#include <string>

#include "desk/draw.hpp"

namespace cranknote::test {

/// A job of an invented engine with two states, one recording each, a comparison and its suspects.
[[nodiscard]] desk::Scene example_scene();

class Bench {
  public:
    explicit Bench(double width = 1600, double height = 1000, double scale = 1.0);
    ~Bench();
    Bench(const Bench&) = delete;
    Bench& operator=(const Bench&) = delete;

    desk::Scene scene = example_scene();
    desk::ViewState view;
    desk::Live live;
    desk::Busy busy;
    desk::Places places;

    /// Draws frames until nothing moves, and gathers what is asked for.
    desk::Commands settle(int frames = 4);
    /// Presses and lets go in the middle of what has this name.
    desk::Commands click(const std::string& id);
    void point(const std::string& id);
    /// Presses and lets go at a place.
    desk::Commands click_at(figure::Point at);
    desk::Commands key(int code, bool ctrl = false, bool shift = false);
    desk::Commands type(char letter);
    /// How long one frame takes to be drawn, without a graphics card.
    double frame_seconds(const desk::Texts& texts);
    [[nodiscard]] bool has(const std::string& id) const;
    [[nodiscard]] figure::Box box(const std::string& id) const;

  private:
    desk::Commands frame();
    desk::Look look_;
    desk::Pictures pictures_;
};

/// The only command of that kind, or a failed test.
template <class T>
const T* only(const desk::Commands& commands) {
    const T* found = nullptr;
    for (const auto& c : commands)
        if (const auto* t = std::get_if<T>(&c)) found = t;
    return found;
}

}  // namespace cranknote::test
