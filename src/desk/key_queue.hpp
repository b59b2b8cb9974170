// Keys in the order in which they were pressed, handed to frames so that none is lost: a press and its
// release between two frames would leave no trace in the library, which only looks whether a key is down.
#pragma once

#include <deque>
#include <vector>

namespace cranknote::desk {

/// What the window system told of the keyboard: a key, or a character that was typed.
struct KeyEvent {
    enum class Kind { press, release, character } kind = Kind::press;
    int key = 0;             ///< GLFW's number
    int scancode = 0;        ///< as the system gives it
    unsigned character = 0;  ///< Unicode, of Kind::character
    bool operator==(const KeyEvent&) const = default;
};

class KeyQueue {
  public:
    void put(const KeyEvent& event) { waiting_.push_back(event); }
    /// What the next frame sees, in order: no release after a press, and no second press of a key that was
    /// let go in it. The rest waits for the frames after.
    [[nodiscard]] std::vector<KeyEvent> for_a_frame();
    [[nodiscard]] bool empty() const { return waiting_.empty(); }

  private:
    std::deque<KeyEvent> waiting_;
};

}  // namespace cranknote::desk
