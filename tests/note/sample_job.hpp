// A real job of the sample's recordings (simulated), made by the program, once for all tests.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cli/program.hpp"
#include "job/scratch.hpp"

namespace cranknote::test {

/// A folder that holds `job`, whose names are Stwo, Sthree (states) and Xyz (title), so that they are
/// no words of ours.
class SampleJob {
  public:
    static const SampleJob& once() {
        static const SampleJob made;
        return made;
    }
    static std::string layout() { return CRANKNOTE_SOURCE_DIR "/samples/minibus/layout.toml"; }

    /// Runs the program there and gives back its output; it must do.
    std::string must(const std::vector<std::string>& arguments) const {
        const auto said = run_program(scratch_.path(), arguments);
        INFO(said.err);
        REQUIRE(said.code == 0);
        return said.out;
    }
    [[nodiscard]] const Scratch& folder() const { return scratch_; }

  private:
    SampleJob() {
        must({"new", "job", "--layout", layout(), "--worked-on", "alternator", "--title", "Xyz"});
        add("as found, cold.m4a", {"as found", "--coolant", "cold", "--since-start", "3"});
        add("as found, cold again.m4a", {"as found", "--coolant", "cold", "--since-start", "3"});
        add("upper cover off, cold.mp4", {"Stwo", "--off", "upper timing cover off", "--coolant", "60"});
        add("refitted, cold.m4a", {"Sthree", "--repaired=upper timing cover", "--with", "lock"});
    }
    void add(const std::string& file, const std::vector<std::string>& rest) const {
        std::vector<std::string> all{"add", "job", CRANKNOTE_SOURCE_DIR "/samples/minibus/recordings/" + file,
                                     "--state"};
        all.insert(all.end(), rest.begin(), rest.end());
        must(all);
    }
    Scratch scratch_;
};

}  // namespace cranknote::test
