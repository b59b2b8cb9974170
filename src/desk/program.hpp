// The program: one window, one session, and the loop that draws what happened.
#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "desk/draw.hpp"
#include "desk/options.hpp"
#include "desk/pace.hpp"
#include "desk/places_file.hpp"
#include "desk/session.hpp"
#include "desk/settings.hpp"
#include "desk/window.hpp"

namespace cranknote::desk {

class Program {
  public:
    /// Opens the window and the job. Throws Error.
    explicit Program(Options options);

    /// Until the window is closed.
    void run();
    /// Draws the window into a picture, without a person.
    void shoot();
    /// Says how long the start takes, and a frame: with everything kept, and with the figure laid out anew
    /// each time, as while zooming.
    void measure();

  private:
    [[nodiscard]] WindowWish wish() const;
    void stand_lit();
    Commands draw_frame(Places* places);
    [[nodiscard]] double frame_ms(bool zooming);
    void frame();
    bool heed();  ///< true: mouse or keyboard did something
    void drop();
    void note_opening();

    Options o_;
    Settings settings_;
    Window window_;
    ViewState view_;
    Session session_;
    Pictures pictures_;
    std::vector<Preset> presets_;
    bool presets_found_ = false;
    Pace pace_;
    int due_ = 3;  ///< frames still to be drawn because of what happened
    Heed heed_;
    long drawn_ = 0;                               ///< frames
    double window_ready_ = 0.0, job_ready_ = 0.0;  ///< seconds after the program began
};

/// Seconds since the process began, by the system's own account (in hundredths).
[[nodiscard]] double seconds_since_start();

}  // namespace cranknote::desk
