// A folder with a layout, sounds and a job, and the program run in it.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/program.hpp"
#include "cli/sound.hpp"
#include "job/scratch.hpp"
#include "job/small_layout.hpp"

namespace cranknote::test {

/// The text without its line breaks has that part.
inline bool says(const std::string& text, const std::string& part) {
    return on_one_line(text).find(part) != std::string::npos;
}

/// A folder with a layout, sounds, and a job that has an "as found" and a "belt off".
class Garage {
  public:
    Garage() {
        scratch_.put("small.toml", small_layout);
        for (int i = 0; i < 4; ++i)
            put_tone(scratch_ / (std::string(1, static_cast<char>('a' + i)) + ".wav"), 100 + 10 * i, 2);
        scratch_.put("not sound.wav", "these are words");
    }
    [[nodiscard]] Said run(const std::vector<std::string>& arguments) const {
        return run_program(scratch_.path(), arguments);
    }
    /// A call that must succeed without a word on standard error.
    std::string done(const std::vector<std::string>& arguments) const {
        const auto said = run(arguments);
        INFO(said.err);
        CHECK(said.code == 0);
        CHECK(said.err.empty());
        return said.out;
    }
    void fill() const {
        done({"new", "job", "--layout", "small.toml"});
        done({"add", "job", "a.wav", "--state", "as found"});
        done({"add", "job", "b.wav", "--state", "belt off", "--off", "fan belt off", "--coolant", "cold"});
    }
    [[nodiscard]] nlohmann::json states() const {
        return nlohmann::json::parse(done({"states", "job", "--json"}));
    }
    [[nodiscard]] const Scratch& folder() const { return scratch_; }

  private:
    Scratch scratch_;
};

/// Exit 2 (or `code`), one line on standard error that mentions `part`, nothing on standard output.
inline void check_refused(const Said& said, const std::string& part, int code = 2) {
    INFO(said.err);
    CHECK(said.code == code);
    CHECK(said.out.empty());
    CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
    CHECK(said.err.starts_with("cranknote: "));
    CHECK(says(said.err, part));
}

}  // namespace cranknote::test
