#include "desk/keys.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>
#include <array>

#include "desk/next_state.hpp"
#include "figure/placement.hpp"

namespace cranknote::desk {

namespace {

constexpr std::array<KeyText, 24> texts{{{"R", "record"},
                                         {"O", "add a file (or drop it on the window)"},
                                         {"P", "where the microphone is held"},
                                         {"E", "enter a reading: idle speed, timing, ..."},
                                         {"Up, Down", "the state before, the state after"},
                                         {"Shift+Up, Down", "the first side of the comparison"},
                                         {", and .", "the finding before, the finding after"},
                                         {"A, B", "play the first or the second side; again: stop"},
                                         {"X", "play the chosen finding alone"},
                                         {"M", "this finding is the noise"},
                                         {"Tab", "the next part in the drawing"},
                                         {"Enter", "take it off, or put it back on"},
                                         {"1 to 7", "what speaks for and against a suspect"},
                                         {"W", "do the proposed step next"},
                                         {"U", "ratio to the crank, or Hz"},
                                         {"S", "change, swelling, in time"},
                                         {"T", "one recording through time"},
                                         {"Left, Right", "the recording before, the recording after"},
                                         {"G", "engine or sound, where they share a place"},
                                         {"L", "the layout"},
                                         {"N", "the repair note"},
                                         {"D", "light or dark"},
                                         {"Ctrl+Z, Ctrl+Shift+Z", "take back, do again"},
                                         {"Ctrl + and −", "larger, smaller"}}};

bool key(int code) { return ImGui::IsKeyPressed(code, false); }

void move_state(Frame& f, int by) {
    auto& v = f.view;
    const auto count = static_cast<int>(f.scene.states.size());
    if (count == 0) return;
    auto& side = ImGui::GetIO().KeyShift ? v.a : v.b;
    side = static_cast<std::size_t>(std::clamp(static_cast<int>(side) + by, 0, count - 1));
    if (!ImGui::GetIO().KeyShift) v.shown = v.b;
    f.out.push_back(ask::Compare{v.a, v.b});
}

void move_finding(Frame& f, int by) {
    const auto& all = f.texts.findings;
    if (all.empty()) return;
    int at = -1;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i].id == f.view.finding) at = static_cast<int>(i);
    at = std::clamp(at + by, 0, static_cast<int>(all.size()) - 1);
    f.view.finding = all[static_cast<std::size_t>(at)].id;
}

void move_recording(Frame& f, int by) {
    const auto& all = f.scene.job.recordings;
    if (all.empty()) return;
    const auto found = std::ranges::find(all, recording_shown(f.scene, f.view), &job::Recording::id);
    const auto last = static_cast<std::ptrdiff_t>(all.size()) - 1;
    const auto at = found == all.end() ? 0 : found - all.begin();
    f.view.recording = all[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(at + by, 0, last))].id;
}

void next_part(Frame& f, bool back) {
    std::vector<std::string> names;
    for (const auto& d : f.scene.layout.drives) names.push_back(d.name);
    for (const auto& p : f.scene.layout.parts) names.push_back(p.name);
    for (const auto& c : f.scene.layout.covers) names.push_back(c.name);
    if (names.empty()) return;
    const auto found = std::ranges::find(names, f.view.lit_part);
    const auto count = names.size();
    const auto at = static_cast<std::size_t>(found - names.begin());
    f.view.lit_part =
        names[found == names.end() ? (back ? count - 1 : 0) : (at + (back ? count - 1 : 1)) % count];
}

void play(Frame& f, bool b, std::optional<std::pair<Hertz, Hertz>> band) {
    if (f.live.playing && f.live.playing_b == b && !band)
        f.out.push_back(ask::StopPlaying{});
    else
        f.out.push_back(ask::Play{b, "", band, band.has_value()});
}

void play_alone(Frame& f) {
    if (!f.scene.compared) return;
    for (const auto& x : f.scene.compared->comparison.findings)
        if (x.id == f.view.finding) play(f, f.live.playing_b, std::pair{x.low, x.high});
}

void with_control(Frame& f) {
    const bool shift = ImGui::GetIO().KeyShift;
    if (key(GLFW_KEY_Z)) f.out.push_back(shift ? Command(ask::Redo{}) : Command(ask::Undo{}));
    if (key(GLFW_KEY_Y)) f.out.push_back(ask::Redo{});
    if (key(GLFW_KEY_EQUAL) || key(GLFW_KEY_KP_ADD)) f.view.scale = std::min(3.0, f.view.scale + 0.1);
    if (key(GLFW_KEY_MINUS) || key(GLFW_KEY_KP_SUBTRACT)) f.view.scale = std::max(0.8, f.view.scale - 0.1);
    if (key(GLFW_KEY_0)) f.view.scale = 1.0;
    if (key(GLFW_KEY_Q)) f.out.push_back(ask::Leave{});
}

void typed(Frame& f, unsigned c) {
    auto& v = f.view;
    const bool may_change = f.scene.read_only.empty();
    switch (c) {
        case '?':
            v.over = Over::help;
            break;
        case 'r':
            if (may_change) v.over = Over::record;
            break;
        case 'o':
            if (may_change) v.over = Over::add;
            break;
        case ',':
            move_finding(f, -1);
            break;
        case '.':
            move_finding(f, 1);
            break;
        case 'a':
        case 'b':
            play(f, c == 'b', std::nullopt);
            break;
        case 'x':
            play_alone(f);
            break;
        case 'm':
            if (may_change && !v.finding.empty()) f.out.push_back(ask::Mark{v.finding});
            break;
        case 'w':
            if (!f.texts.steps.empty() && f.texts.steps[0].recordable) {
                v.next = next_of_step(f.scene.verdict()->next_steps[0], v.next);
                v.shown.reset();
            }
            break;
        case 'u':
            v.over_hz = !v.over_hz;
            v.range.reset();
            break;
        case 't':
            v.tab = SoundTab::time;
            v.engine_in_middle = false;
            v.page = Page::sound;
            break;
        case 'p':
            if (may_change) v.over = Over::near;
            break;
        case 'e':
            if (may_change) v.over = Over::reading;
            break;
        case 's':
            v.tab = static_cast<SoundTab>((static_cast<int>(v.tab) + 1) % 3);
            break;
        case 'g':
            v.engine_in_middle = !v.engine_in_middle;
            v.page = static_cast<Page>((static_cast<int>(v.page) + 1) % 4);
            break;
        case 'l':
            v.draft = {};
            v.over = Over::layout;
            break;
        case 'n':
            v.over = Over::note;
            break;
        case 'd':
            v.mode = v.mode == figure::Mode::light ? figure::Mode::dark : figure::Mode::light;
            break;
        default:
            break;
    }
    if (c >= '1' && c <= '7' && c - '1' < f.texts.suspects.size()) {
        const auto& cause = f.texts.suspects[c - '1'].cause;
        v.suspect = v.suspect == cause ? "" : cause;
    }
}

}  // namespace

std::span<const KeyText> key_texts() { return texts; }

void act_on_keys(Frame& f) {
    const auto& io = ImGui::GetIO();
    if (f.view.over != Over::nothing || io.WantTextInput) return;
    if (io.KeyCtrl) {
        with_control(f);
        return;
    }
    if (key(GLFW_KEY_UP)) move_state(f, -1);
    if (key(GLFW_KEY_DOWN)) move_state(f, 1);
    if (key(GLFW_KEY_LEFT)) move_recording(f, -1);
    if (key(GLFW_KEY_RIGHT)) move_recording(f, 1);
    if (key(GLFW_KEY_TAB)) next_part(f, io.KeyShift);
    if (key(GLFW_KEY_ESCAPE)) f.view.lit_part.clear(), f.view.finding.clear(), f.view.suspect.clear();
    if ((key(GLFW_KEY_ENTER) || key(GLFW_KEY_KP_ENTER)) && !f.view.lit_part.empty()) {
        f.view.shown.reset();
        if (const auto refused = take_off_or_refit(f.view.next, f.scene.layout, f.view.lit_part)) {
            f.view.caution = *refused;
            f.view.over = Over::caution;
        }
    }
    // Letters by what is typed, so that they stay where the keyboard's owner has them.
    for (const ImWchar c : io.InputQueueCharacters)
        typed(f, c >= 'A' && c <= 'Z' ? static_cast<unsigned>(c - 'A' + 'a') : static_cast<unsigned>(c));
}

}  // namespace cranknote::desk
