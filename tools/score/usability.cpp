// score_usability: which quality codes are raised on recordings whose truth says which ought to be.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>
#include <map>
#include <set>

#include <fmt/core.h>

#include "job/examine_file.hpp"
#include "note/names.hpp"
#include "score/truth_of.hpp"
#include "units/error.hpp"

int main(int argc, char** argv) {
    using namespace cranknote;
    CLI::App app{"Scores the usability codes of recordings"};
    std::vector<std::string> folders;
    bool list = false;
    app.add_option("FOLDERS", folders, "folders that `simulate` wrote")->required();
    app.add_flag("--list", list, "say of every recording what was raised and what ought to be");
    CLI11_PARSE(app, argc, argv);
    struct Count {
        int right = 0, missed = 0, extra = 0;
    };
    std::map<std::string, Count> counts;
    int takes = 0;
    for (const auto& folder : folders) {
        const auto truth = score::read_truth(folder);
        for (const auto& t : truth.takes) {
            SpeedSettings s;
            s.cylinders = truth.cylinders;
            std::set<std::string> raised;
            try {
                for (const auto& q : examine_file(t.path, {}, s).summary.quality)
                    raised.insert(std::string(name_of(q.code)));
            } catch (const Error& e) {
                std::cerr << e.what() << "\n";
                continue;
            }
            ++takes;
            const std::set<std::string> want(t.quality.begin(), t.quality.end());
            for (const auto& c : want) (raised.contains(c) ? counts[c].right : counts[c].missed)++;
            for (const auto& c : raised)
                if (!want.contains(c)) ++counts[c].extra;
            if (list) {
                std::cout << t.path << " raised:";
                for (const auto& c : raised) std::cout << " " << c;
                std::cout << " | truth:";
                for (const auto& c : want) std::cout << " " << c;
                std::cout << "\n";
            }
        }
    }
    fmt::print("{} recordings\n{:20}{:>8}{:>8}{:>24}\n", takes, "code", "right", "missed",
               "raised without truth");
    for (const auto& [code, c] : counts) fmt::print("{:20}{:8}{:8}{:24}\n", code, c.right, c.missed, c.extra);
    return 0;
}
