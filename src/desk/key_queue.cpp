#include "desk/key_queue.hpp"

#include <algorithm>

namespace cranknote::desk {

std::vector<KeyEvent> KeyQueue::for_a_frame() {
    using Kind = KeyEvent::Kind;
    std::vector<KeyEvent> due;
    const auto seen = [&](Kind kind, const int* key) {
        return std::ranges::any_of(due,
                                   [&](const auto& e) { return e.kind == kind && (!key || e.key == *key); });
    };
    while (!waiting_.empty()) {
        const auto& next = waiting_.front();
        if (next.kind == Kind::release && seen(Kind::press, nullptr)) break;
        if (next.kind == Kind::press && seen(Kind::release, &next.key)) break;
        due.push_back(next);
        waiting_.pop_front();
    }
    return due;
}

}  // namespace cranknote::desk
