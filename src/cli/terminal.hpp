// The terminal while something runs: a line that is rewritten, keys without Enter, and Ctrl-C as a wish.
#pragma once

#include <termios.h>

#include <optional>
#include <ostream>
#include <string>

namespace cranknote::cli {

/// Whether results go to a person's terminal, not to a file or a program.
[[nodiscard]] bool on_terminal();

/// While it lives, Ctrl-C and a polite kill are noted instead of ending the program. One at a time.
class Interrupt {
  public:
    Interrupt();
    ~Interrupt();
    Interrupt(const Interrupt&) = delete;
    Interrupt& operator=(const Interrupt&) = delete;
    [[nodiscard]] bool wished() const;
};

/// While it lives, keys arrive one by one and unseen, where stdin is a terminal.
class Keys {
  public:
    Keys();
    ~Keys();
    Keys(const Keys&) = delete;
    Keys& operator=(const Keys&) = delete;
    [[nodiscard]] bool there() const { return before_.has_value(); }
    /// The next key, waited for at most `milliseconds`; absent: none. Without a terminal it only waits.
    [[nodiscard]] std::optional<char> next(int milliseconds);

  private:
    std::optional<termios> before_;
};

/// A line on stderr that is written over; nothing where stderr is no terminal.
class StatusLine {
  public:
    explicit StatusLine(std::ostream& err);
    ~StatusLine();
    StatusLine(const StatusLine&) = delete;
    StatusLine& operator=(const StatusLine&) = delete;
    void show(const std::string& text);

  private:
    std::ostream& err_;
    bool terminal_;
    bool shown_ = false;
};

}  // namespace cranknote::cli
