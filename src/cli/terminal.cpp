#include "cli/terminal.hpp"

#include <poll.h>
#include <unistd.h>

#include <csignal>

namespace cranknote::cli {
namespace {

// A signal handler can reach nothing else.
volatile std::sig_atomic_t interrupted = 0;

void note(int) { interrupted = 1; }

}  // namespace

bool on_terminal() { return ::isatty(STDOUT_FILENO) == 1; }

Interrupt::Interrupt() {
    interrupted = 0;
    std::signal(SIGINT, note);
    std::signal(SIGTERM, note);
    std::signal(SIGHUP, note);
}

Interrupt::~Interrupt() {
    std::signal(SIGINT, SIG_DFL);
    std::signal(SIGTERM, SIG_DFL);
    std::signal(SIGHUP, SIG_DFL);
}

bool Interrupt::wished() const { return interrupted != 0; }

Keys::Keys() {
    termios now{};
    if (::isatty(STDIN_FILENO) == 0 || ::tcgetattr(STDIN_FILENO, &now) != 0) return;
    before_ = now;
    now.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
    ::tcsetattr(STDIN_FILENO, TCSANOW, &now);
}

Keys::~Keys() {
    if (before_) ::tcsetattr(STDIN_FILENO, TCSANOW, &*before_);
}

std::optional<char> Keys::next(int milliseconds) {
    pollfd in{STDIN_FILENO, POLLIN, 0};
    const int ready = ::poll(before_ ? &in : nullptr, before_ ? 1 : 0, milliseconds);
    char key = 0;
    if (ready > 0 && ::read(STDIN_FILENO, &key, 1) == 1) return key;
    return std::nullopt;
}

StatusLine::StatusLine(std::ostream& err) : err_(err), terminal_(::isatty(STDERR_FILENO) != 0) {}

StatusLine::~StatusLine() {
    if (shown_) err_ << "\r\x1b[K" << std::flush;
}

void StatusLine::show(const std::string& text) {
    if (!terminal_) return;
    err_ << '\r' << text << "\x1b[K" << std::flush;
    shown_ = true;
}

}  // namespace cranknote::cli
