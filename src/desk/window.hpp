// The window itself: GLFW, OpenGL, the frame loop, and pictures of it without a person.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "desk/key_queue.hpp"
#include "desk/look.hpp"
#include "desk/ui.hpp"
#include "figure/geometry.hpp"

struct GLFWwindow;

namespace cranknote::desk {

struct WindowWish {
    int width = 1600, height = 1000;
    double scale = 1.0;  ///< the type is drawn at while the window opens; another can be used later
    bool hidden = false;
    std::string title = "Cranknote";
};

/// An open window with a GL context and the library's context. One at a time.
class Window {
  public:
    /// Throws Error where there is no display or no OpenGL 3.2.
    explicit Window(const WindowWish& wish);
    ~Window();
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;

    /// Rebuilds typefaces and colours if the look changed.
    void use(const Look& look);
    [[nodiscard]] const Look& look() const { return look_; }

    /// Begins a frame; end_frame() shows it.
    void begin_frame();
    void end_frame();  ///< finishes the picture, if that is not done, and shows it
    /// Draws a frame of a size into memory instead: 4 bytes a pixel, rows from the top.
    void begin_offscreen(int width, int height);
    [[nodiscard]] std::vector<unsigned char> end_offscreen(int width, int height);

    /// Waits for something to happen, at most `seconds` (absent: for ever).
    void wait(std::optional<double> seconds);
    [[nodiscard]] bool wants_to_close() const;
    void stay_open();
    void set_title(const std::string& title);
    /// Screen pixels to a point, as the desktop is set (1 to 3).
    [[nodiscard]] double desktop_scale() const;
    /// Files dropped since the last call.
    [[nodiscard]] std::vector<std::string> take_dropped();
    /// Makes a waiting wait() return; may be called from any thread.
    static void wake();

    /// Called by the system's own callbacks.
    void dropped(int count, const char** paths);
    void keyed(const KeyEvent& event) { keys_.put(event); }
    /// Keys wait for a frame of their own.
    [[nodiscard]] bool keys_wait() const { return !keys_.empty(); }
    /// How many presses, and typed characters, frames were given so far.
    [[nodiscard]] long keys_seen() const { return keys_seen_; }
    [[nodiscard]] long characters_seen() const { return characters_seen_; }

  private:
    GLFWwindow* window_ = nullptr;
    Look look_;
    std::vector<std::string> dropped_;
    std::unique_ptr<ImFontAtlas> atlas_;
    KeyQueue keys_;
    long keys_seen_ = 0, characters_seen_ = 0;
    unsigned frame_buffer_ = 0, texture_ = 0;
};

/// RGBA rows as a PNG file. Throws Error.
void write_png(const std::string& file, const std::vector<unsigned char>& rgba, int width, int height);

}  // namespace cranknote::desk
