#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <mutex>
#include <optional>
#include <ostream>
#include <set>
#include <thread>

#include "cli/commands.hpp"
#include "cli/portrait_of.hpp"
#include "cli/read_layout.hpp"
#include "job/examine_file.hpp"
#include "note/json.hpp"

namespace cranknote::cli {
namespace {

struct BatchOptions {
    std::vector<std::string> files;
    std::string layout, done;
    std::optional<int> cylinders;
    int workers = 0;
    bool lines = false;
};

std::vector<std::string> lines_of(std::istream& in) {
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) {
        if (!line.empty() && line.back() == '\r') line.pop_back();
        if (!line.empty()) lines.push_back(line);
    }
    return lines;
}

/// The files of which an earlier output holds a whole line. Its last line may be cut off: that file is done
/// again.
std::set<std::string> done_in(const std::string& path) {
    std::set<std::string> done;
    if (path.empty() || !std::filesystem::exists(path)) return done;  // the first run has none yet
    std::ifstream in(path);
    if (!in)
        throw Error("cannot be read", path, "name the output of an earlier run", Error::Kind::wrong_call);
    for (const auto& line : lines_of(in)) {
        const auto json = Json::parse(line, nullptr, false);
        if (json.is_object() && json.contains("file") && json["file"].is_string() && !json.contains("error"))
            done.insert(json["file"].get<std::string>());
    }
    return done;
}

Json line_of(const std::string& file, const std::optional<Layout>& layout) {
    try {
        if (!layout) return to_json(examine_file(file, {{}, {}, longest_analysed}, {}).summary);
        const auto p = portrait_of(file, {}, *layout);
        return portrait_json(p.recording, p.findings);
    } catch (const Error& e) {
        return {{"schema", json_schema}, {"file", file}, {"error", e.what()}};
    } catch (const std::bad_alloc&) {
        return {{"schema", json_schema}, {"file", file}, {"error", file + ": not enough memory for this"}};
    }
}

/// Lines go out as they are ready, whole and at once: what is there is never lost, whatever happens to the
/// rest. So they do not wait in Streams::out as other commands' results do.
class LineWriter {
  public:
    void write(const Json& json) {
        const auto line = json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
        const std::lock_guard lock(mutex_);
        std::cout << line << std::flush;
        if (!std::cout) failed_ = true;
    }
    [[nodiscard]] bool failed() const { return failed_; }

  private:
    std::mutex mutex_;
    std::atomic<bool> failed_ = false;
};

void run_all(const std::vector<std::string>& files, const std::optional<Layout>& layout, int workers) {
    LineWriter out;
    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
        for (auto i = next++; i < files.size() && !out.failed(); i = next++)
            out.write(line_of(files[i], layout));
    };
    {
        std::vector<std::jthread> pool;
        for (int k = 1; k < workers; ++k) pool.emplace_back(work);
        work();
    }
    if (out.failed()) throw Error("could not write the result", "standard output", "is the disk full?");
}

void run(BatchOptions o, Streams s) {
    if (!o.lines)
        throw Error("how the results are to be written is not said", "batch", "add --json-lines",
                    Error::Kind::wrong_call);
    if (o.workers < 0 || o.workers > 256)
        throw Error("not a number of workers", "--workers", "give 1 to 256", Error::Kind::wrong_call);
    const auto layout = layout_of(o.layout, o.cylinders);
    const auto done = done_in(o.done);
    if (o.files.empty() && isatty(STDIN_FILENO) != 0)
        throw Error("no recordings are named", "batch", "name files, or send a list of them, one a line",
                    Error::Kind::wrong_call);
    if (o.files.empty()) o.files = lines_of(std::cin);
    const auto all = o.files.size();
    std::erase_if(o.files, [&](const auto& f) { return done.contains(f); });
    if (o.files.size() < all) s.err << all - o.files.size() << " of " << all << " are done already\n";
    const int cores = std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
    run_all(o.files, layout, o.workers > 0 ? o.workers : cores);
}

}  // namespace

void add_batch(CLI::App& app, Streams s) {
    auto* c = app.add_subcommand(
        "batch", "Many recordings: one line of JSON each, in the order in which they are ready");
    auto o = std::make_shared<BatchOptions>();
    c->add_option("FILES", o->files, "Recordings; without any, a list on standard input, one a line")
        ->expected(0, -1)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    c->add_flag("--json-lines", o->lines,
                "A line a recording: as portrait --json with a layout or cylinders, else as speed --json; an "
                "error in its "
                "line");
    c->add_option("--layout", o->layout, "The engine's layout, a TOML file");
    c->add_option("--cylinders", o->cylinders, "Cylinders, 1 to 16: a typical front end is used");
    c->add_option("--done", o->done, "An earlier run's output: files with a result there are left out");
    c->add_option("--workers", o->workers, "So many recordings at a time (all cores)");
    c->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
