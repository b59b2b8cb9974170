// What every panel gets to draw with.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "audio/record.hpp"
#include "desk/arrange.hpp"
#include "desk/commands.hpp"
#include "desk/pictures.hpp"
#include "desk/scene.hpp"
#include "desk/texts.hpp"
#include "desk/ui.hpp"
#include "desk/view_state.hpp"

namespace cranknote::desk {

/// What the microphone and the loudspeaker are doing.
struct Live {
    bool recording = false;
    std::string device;
    RecordState record;
    std::optional<std::string> advice;
    std::optional<Rpm> rpm;       ///< crank speed of the last seconds, where it is clear
    std::vector<float> spectrum;  ///< dB re full scale, 60 values from 30 Hz to 16 kHz, even in octaves
    bool playing = false;
    bool playing_b = false;
    std::string playing_recording;  ///< absent: a side
    Seconds position{0.0};
    std::vector<std::string> inputs;  ///< names of microphones
};

/// A layout to start from.
struct Preset {
    std::string name, toml;
};

struct Frame {
    const Scene& scene;
    const Busy& busy;
    const Texts& texts;
    const Live& live;
    const std::vector<Preset>& presets;
    const std::vector<std::string>& recent;  ///< jobs opened lately, the last first
    Pictures& pictures;
    ViewState& view;
    Ui& ui;
    Commands& out;
    Arrangement places{};
};

// One panel, one file. Each draws into the current window from the cursor on, or into its box.
void draw_head(Frame& f);
void draw_foot(Frame& f);
void draw_day(Frame& f);
void draw_engine(Frame& f);
void draw_sound(Frame& f);
void draw_answers(Frame& f);
void draw_start(Frame& f);    ///< no job is open
void draw_overlay(Frame& f);  ///< what lies over the sheet, if anything

// What may lie over the sheet. Each draws its content; `over_buttons` ends it.
void over_help(Frame& f);
void over_new_job(Frame& f);
void over_layout(Frame& f);
void over_record(Frame& f);
void over_add(Frame& f);
void over_saw(Frame& f);
void over_near(Frame& f);
void over_reading(Frame& f);
void over_note(Frame& f);
void over_caution(Frame& f);

/// The two words at the end of what lies over the sheet: one that does it (Enter), one that does not (Esc).
/// True: do it. Either closes unless `stays`.
bool over_buttons(Frame& f, const char* yes, const char* no = "Not now", bool can = true, bool stays = false);
/// A field to type in, with what it is for above it. True: it changed.
bool field(Frame& f, const char* id, const std::string& label, std::string& text, bool first = false,
           float width = -1.0f);
/// Chooses the part whose fields are shown in the layout editor.
void choose_part(LayoutDraft& draft, const std::string& name);

/// Opens a region with a scroll bar where it is needed; `inset` is the room left at its sides. Ends with the
/// object.
class Region {
  public:
    Region(const char* name, const figure::Box& box, const Ui& ui, double inset, Tone ground,
           bool scrolls = true);
    ~Region();
    Region(const Region&) = delete;
    Region& operator=(const Region&) = delete;
};

}  // namespace cranknote::desk
