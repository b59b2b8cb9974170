#include "desk/frame.hpp"

namespace cranknote::desk {

void over_layout(Frame& f) {
    f.ui.say(f.scene.layout.name, strong);
    over_buttons(f, "Good", nullptr);
}

}  // namespace cranknote::desk
