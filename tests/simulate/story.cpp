// A job written by hand, as the simulator makes it.
#include "simulate/story.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "units/error.hpp"

using namespace cranknote;
using namespace cranknote::simulate;

namespace {

namespace fs = std::filesystem;

/// A five-cylinder of the simulator with a toothed belt (its seed lies outside both sets).
const std::string engine = "engine_seed = 500140\ncylinders = 5\nshop_seed = 4\n";
const std::string edge =
    "[[fault]]\nkind = \"edge\"\npart = \"timing belt\"\nalso = [\"upper timing cover\"]\nlevel_db = 6.0\n";

std::string told(const fs::path& folder, const std::string& story, const std::string& file) {
    tell_story(story, "story.toml", folder.string());
    std::ifstream in(folder / file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("a story: two states in one file, the same twice, the truth beside it") {
    const auto folder = fs::temp_directory_path() / "cranknote-story-test";
    const auto story =
        engine + edge +
        "[[file]]\nname = \"a.wav\"\nplacement = 0\n"
        "[[file.stretch]]\nstate = \"as found\"\nseconds = 2\n"
        "[[file.stretch]]\nstate = \"cover off\"\nseconds = 1\noff = [\"upper timing cover off\"]\n";
    const auto once = told(folder, story, "a.wav");
    CHECK(once.size() > 2 * 3 * 44100);  // 3 s of 16 bit at 44.1 kHz or more
    CHECK(told(folder, story, "a.wav") == once);
    const auto truth = told(folder, story, "truth.json");
    for (const auto* said : {"\"simulated\": true", "\"stretch_s\"", "\"cover off\"", "\"edge\""})
        CHECK(truth.find(said) != truth.npos);
    CHECK(truth.find("\"set\"") == truth.npos);
    CHECK(told(folder, story, "layout.toml").find("upper timing cover") != std::string::npos);
    fs::remove_all(folder);
}

TEST_CASE("a story that is not understood says where") {
    const auto wrong = [](const std::string& story, const std::string& part) {
        CHECK_THROWS_WITH(tell_story(story, "story.toml", "/nowhere/at/all"), Catch::Contains(part));
    };
    wrong("cylinders = 5\n", "engine_seed is missing");
    wrong(engine + "cylinder = 5\n", "story.toml:4: unknown key cylinder");
    wrong(engine + "[[fault]]\nkind = \"edge\"\npart = \"fan belt\"\nlevel_db = 6.0\n", "no such fault");
    wrong(engine + "[[file]]\nname = \"../a.wav\"\nplacement = 0\n", "without a folder");
    wrong(
        engine +
            "[[file]]\nname = \"a.wav\"\nplacement = 0\n[[file.stretch]]\nstate = \"x\"\nseconds = 2\noff = "
            "[\"wings\"]\n",
        "this engine has no wings");
    wrong("engine_seed = [", "story.toml:1");
}
