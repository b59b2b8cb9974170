// simulate: recordings of engines that never were, with the truth beside them.
#include <fmt/core.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <iostream>
#include <sstream>

#include "simulate/simulate.hpp"
#include "simulate/story.hpp"
#include "units/error.hpp"

namespace {

using namespace cranknote;
using namespace cranknote::simulate;

std::string text_of(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    if (!in) throw Error("cannot be read", file, "is it there?");
    return text.str();
}

void list_sets() {
    for (const auto p : all_purposes())
        fmt::print("{:26} {:5} cases, the first {} in the everyday check\n", name_of(p), cases_in(p),
                   cases_in_check(p));
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App app{"Simulated recordings of engines, with the truth beside them"};
    std::string set = "tune", purpose, out;
    std::string story;
    unsigned long long engine_seed = 0;
    int index = 0, cylinders = 0;
    bool list = false;
    app.add_flag("--list", list, "print the purposes and how many cases each has");
    app.add_option("--set", set, "tune or score")->check(CLI::IsMember({"tune", "score"}));
    app.add_option("--purpose", purpose, "what the case is for");
    app.add_option("--index", index, "number of the case")->check(CLI::NonNegativeNumber);
    app.add_option("--story", story, "a job written as TOML (simulate/story.hpp), made into --out");
    app.add_option("--engine-seed", engine_seed, "print what turns on this engine, and what can be wrong");
    app.add_option("--cylinders", cylinders, "of --engine-seed: 1 to 6 or 8; 0: whatever comes")
        ->check(CLI::IsMember({0, 1, 2, 3, 4, 5, 6, 8}));
    app.add_option("--out", out, "folder to write into");
    CLI11_PARSE(app, argc, argv);
    try {
        if (list) {
            list_sets();
            return 0;
        }
        if (engine_seed != 0) {
            std::cout << describe_engine(engine_seed, cylinders);
            return 0;
        }
        if (!story.empty()) {
            if (out.empty()) throw Error("where to?", "--out", "a folder", Error::Kind::wrong_call);
            tell_story(text_of(story), story, out);
            return 0;
        }
        if (purpose.empty() || out.empty())
            throw Error("nothing to do", "", "give --purpose and --out, --story and --out, or --list",
                        Error::Kind::wrong_call);
        write_case(make_case(set == "tune" ? Set::tune : Set::score, purpose_named(purpose), index), out);
    } catch (const Error& e) {
        std::cerr << "simulate: " << e.what() << "\n";
        return e.kind == Error::Kind::wrong_call ? 2 : 1;
    } catch (const std::out_of_range& e) {
        std::cerr << "simulate: " << e.what() << "\n";
        return 2;
    }
    return 0;
}
