// The mechanic's layouts can be read, and say about the truth what a mechanic can know.
#include <catch2/catch.hpp>

#include "layout/layout.hpp"
#include "simulate/mechanic.hpp"

using namespace cranknote;
using namespace cranknote::simulate;

TEST_CASE("every mechanic's layout is read without complaint and has the truth's names") {
    for (std::uint64_t seed = 1; seed <= 250; ++seed) {
        const auto e = simulate::make_engine(seed);
        for (const auto& habits : {Habits{}, careless()}) {
            const auto text = mechanics_layout(e, habits, Dice(seed));
            INFO("engine " << seed << "\n" << text);
            const auto layout = parse_layout(text, "layout.toml");
            CHECK(layout.engine.cylinders == e.cylinders);
            for (const auto& p : e.parts) CHECK(layout.part(p.name) != nullptr);
            for (const auto& d : e.drives) CHECK(layout.drive(d.name) != nullptr);
            for (const auto& c : e.covers) CHECK(layout.cover(c.name) != nullptr);
            for (const auto& p : e.pulls) CHECK(layout.pull(p.name) != nullptr);
        }
    }
}
