// Drops files on the window that is below the pointer, as a file manager does: XDND version 5
// (freedesktop.org, "Drag-and-Drop Protocol for the X Window System"). `drop_file X Y FILE...`; 0: taken.
#include <X11/Xatom.h>
#include <X11/Xlib.h>
#include <poll.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <string>

namespace {

struct Source {
    Display* display;
    Window own, target;
    std::string uris;
    int x, y;

    [[nodiscard]] Atom atom(const char* name) const { return XInternAtom(display, name, False); }

    void tell(const char* what, long b, long c, long d, long e) const {
        XEvent event{};
        event.xclient.type = ClientMessage;
        event.xclient.display = display;
        event.xclient.window = target;
        event.xclient.message_type = atom(what);
        event.xclient.format = 32;
        const long data[] = {static_cast<long>(own), b, c, d, e};
        std::copy(std::begin(data), std::end(data), event.xclient.data.l);
        XSendEvent(display, target, False, NoEventMask, &event);
        XFlush(display);
    }

    /// Hands the names over to whoever asks for them.
    void answer(const XSelectionRequestEvent& asked) const {
        XEvent reply{};
        reply.xselection = {
            SelectionNotify, 0,         True, display, asked.requestor, asked.selection, asked.target,
            asked.property,  asked.time};
        XChangeProperty(display, asked.requestor, asked.property, asked.target, 8, PropModeReplace,
                        reinterpret_cast<const unsigned char*>(uris.data()), static_cast<int>(uris.size()));
        XSendEvent(display, asked.requestor, False, NoEventMask, &reply);
        XFlush(display);
    }

    /// Waits for a message of the target, answering questions meanwhile. False: five seconds went by.
    [[nodiscard]] bool wait_for(const char* what) const {
        const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(5);
        while (std::chrono::steady_clock::now() < until) {
            while (XPending(display) > 0) {
                XEvent event;
                XNextEvent(display, &event);
                if (event.type == SelectionRequest) answer(event.xselectionrequest);
                if (event.type == ClientMessage && event.xclient.message_type == atom(what)) return true;
            }
            pollfd waiting{ConnectionNumber(display), POLLIN, 0};
            (void)poll(&waiting, 1, 50);
        }
        std::fprintf(stderr, "drop_file: the window did not answer with %s\n", what);
        return false;
    }
};

/// The innermost window at a place that takes drops.
Window taker_at(Display* display, int x, int y) {
    const Atom aware = XInternAtom(display, "XdndAware", False);
    const Window root = DefaultRootWindow(display);
    Window at = root, found = 0;
    for (Window child = root; child != 0; at = child) {
        int there_x = 0, there_y = 0;
        XTranslateCoordinates(display, root, at, x, y, &there_x, &there_y, &child);
        Atom type = 0;
        int format = 0;
        unsigned long count = 0, left = 0;
        unsigned char* data = nullptr;
        XGetWindowProperty(display, at, aware, 0, 1, False, AnyPropertyType, &type, &format, &count, &left,
                           &data);
        if (data) XFree(data);
        if (type != 0) found = at;
    }
    return found;
}

/// As a URI: everything but letters, digits and a few signs in hexadecimal (RFC 3986, 2.1).
std::string uri_of(const std::string& file) {
    std::string uri = "file://";
    for (const char c : std::filesystem::absolute(file).string()) {
        char hex[4];
        std::snprintf(hex, sizeof hex, "%%%02X", static_cast<unsigned>(static_cast<unsigned char>(c)));
        const bool plain = std::isalnum(static_cast<unsigned char>(c)) || std::strchr("/-._~", c);
        uri += plain ? std::string(1, c) : hex;
    }
    return uri + "\r\n";
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 4) return 2;
    Display* display = XOpenDisplay(nullptr);
    if (!display) return 2;
    Source s{display, 0, 0, "", std::atoi(argv[1]), std::atoi(argv[2])};
    for (int i = 3; i < argc; ++i) s.uris += uri_of(argv[i]);
    s.own = XCreateSimpleWindow(display, DefaultRootWindow(display), 0, 0, 1, 1, 0, 0, 0);
    s.target = taker_at(display, s.x, s.y);
    if (!s.target) return std::fprintf(stderr, "drop_file: nothing there takes files\n"), 1;
    XSetSelectionOwner(display, s.atom("XdndSelection"), s.own, CurrentTime);
    s.tell("XdndEnter", 5L << 24, static_cast<long>(s.atom("text/uri-list")), 0, 0);
    s.tell("XdndPosition", 0, (static_cast<long>(s.x) << 16) | s.y, CurrentTime,
           static_cast<long>(s.atom("XdndActionCopy")));
    if (!s.wait_for("XdndStatus")) return 1;
    s.tell("XdndDrop", 0, CurrentTime, 0, 0);
    const bool taken = s.wait_for("XdndFinished");
    XCloseDisplay(display);
    return taken ? 0 : 1;
}
