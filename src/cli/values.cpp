#include "cli/values.hpp"

#include <unistd.h>

#include <chrono>
#include <ostream>

#include "cli/parse.hpp"
#include "figure/utf8.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

constexpr std::size_t columns = 78;
constexpr double wait_for_others_s = 5.0;

[[noreturn]] void refuse_value(const std::string& option, const std::string& typed,
                               const std::string& expected) {
    throw Error("\"" + clean_line(typed) + "\" is not " + expected, option, "", Error::Kind::wrong_call);
}

double steady_now() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

void say_remarks(const job::Folder& folder, Streams s) {
    for (const auto& remark : folder.remarks()) print_line(s.err, "cranknote: " + remark);
}

}  // namespace

CLI::Option* add_many(CLI::App& app, const std::string& name, std::vector<std::string>& values,
                      const std::string& description) {
    return app.add_option(name, values, description)->allow_extra_args(false)->take_all();
}

job::Coolant parse_coolant(const std::string& typed, const std::string& option) {
    if (typed == "cold") return job::Warmth::cold;
    if (typed == "warm") return job::Warmth::warm;
    const double value = parse_number(typed, option);
    if (value < -60 || value > 200) refuse_value(option, typed, "cold, warm or a temperature in °C");
    return job::Celsius{value};
}

job::When parse_when(const std::string& typed, const std::string& option) {
    if (typed == "now") return job::When{job::now()};
    const bool time_alone = typed.size() >= 5 && typed[2] == ':';
    const std::string today = job::to_local(job::now()).substr(0, 10);
    const auto when = job::when_from(time_alone ? today + " " + typed : typed);
    if (!when) refuse_value(option, typed, "a time: 10:30 (today), 2026-03-01 10:30, 2026-03-01, or now");
    return *when;
}

std::string parse_words(const std::string& typed, const std::string& option) {
    std::string words = clean_line(typed);
    if (words.empty()) throw Error("this is empty", option, "", Error::Kind::wrong_call);
    return words;
}

job::Folder open_to_change(const std::string& path, const std::string& command, Streams s) {
    auto folder = job::Folder::open(
        path, {.access = job::Access::change, .program = command, .wait_s = wait_for_others_s});
    say_remarks(folder, s);
    return folder;
}

job::Folder open_to_read(const std::string& path, Streams s) {
    auto folder = job::Folder::open(path);
    say_remarks(folder, s);
    return folder;
}

ProgressLine::ProgressLine(Streams s, std::string what)
    : err_(s.err), what_(std::move(what)), on_terminal_(::isatty(STDERR_FILENO) == 1), began_(steady_now()) {}

ProgressLine::~ProgressLine() {
    if (shown_ >= 0) err_ << "\r\033[K" << std::flush;
}

bool ProgressLine::operator()(double share) {
    const int percent = static_cast<int>(share * 100.0);
    if (!on_terminal_ || percent == shown_ || steady_now() - began_ < 1.0) return true;
    shown_ = percent;
    err_ << "\r" << what_ << " " << percent << " %\033[K" << std::flush;
    return true;
}

void print_line(std::ostream& out, const std::string& text, const std::string& indent) {
    std::string lines = wrapped(clean_line(text), columns, indent, indent);
    if (lines.empty() || lines.back() != '\n') lines += '\n';
    out << lines;
}

std::string listed(const std::vector<std::string>& names, const std::string& none) {
    std::string text;
    for (const auto& name : names) text += (text.empty() ? "" : ", ") + name;
    return text.empty() ? none : text;
}

}  // namespace cranknote::cli
