// What the commands of a job share: values that only they take, and the ways of opening one.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/commands.hpp"
#include "job/folder.hpp"

namespace cranknote::cli {

/// An option that takes one value each time and repeats where several are meant.
CLI::Option* add_many(CLI::App& app, const std::string& name, std::vector<std::string>& values,
                      const std::string& description);

// Each reads a typed value or throws Error (wrong call) naming the option and what was expected.

/// cold, warm, or °C from -60 to 200.
[[nodiscard]] job::Coolant parse_coolant(const std::string& typed, const std::string& option);
/// A date and time, a date alone, HH:MM of today, or "now".
[[nodiscard]] job::When parse_when(const std::string& typed, const std::string& option);
/// Free words: cleaned of control characters, never empty.
[[nodiscard]] std::string parse_words(const std::string& typed, const std::string& option);

/// Text without a value stays absent, else `read(text, option)`.
template <class Read>
auto if_given(const std::string& typed, const std::string& option, Read read)
    -> std::optional<std::decay_t<decltype(read(typed, option))>> {
    if (typed.empty()) return std::nullopt;
    return read(typed, option);
}

/// Opens a job for one change. `command` is what another program is told ("cranknote add"). Waits some
/// seconds for another command to finish. Remarks of the opening go to `s.err`.
[[nodiscard]] job::Folder open_to_change(const std::string& path, const std::string& command, Streams s);
/// Opens a job to look at.
[[nodiscard]] job::Folder open_to_read(const std::string& path, Streams s);

/// A line that shows how far something is, on a terminal and only after a second; wiped at the end.
class ProgressLine {
  public:
    ProgressLine(Streams s, std::string what);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;
    /// `share` is 0 to 1. Always true: a command is stopped by its signal.
    bool operator()(double share);

  private:
    std::ostream& err_;
    std::string what_;
    bool on_terminal_;
    double began_;
    int shown_ = -1;
};

/// A paragraph at a terminal's width, cleaned of control characters, with a line break at its end.
void print_line(std::ostream& out, const std::string& text, const std::string& indent = "");

/// "fan, fan belt"; `none` for an empty list.
[[nodiscard]] std::string listed(const std::vector<std::string>& names, const std::string& none = "nothing");

}  // namespace cranknote::cli
