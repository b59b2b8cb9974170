// What stands still when something is off, and how long an engine may run like that.
#include "layouts.hpp"

using namespace cranknote;
using namespace cranknote::test;
using Names = std::set<std::string>;

namespace {

Layout preset(const std::string& name) {
    return parse_layout(read_file(CRANKNOTE_SOURCE_DIR "/samples/layouts/" + name + ".toml"), name);
}

}  // namespace

TEST_CASE("a belt off stops what it turns, and what sits on those shafts") {
    const auto l = preset("five-diesel");
    CHECK(still_when_off(l, {"alternator belt"}) ==
          Names{"alternator belt", "alternator", "water pump", "fan"});
    CHECK(still_when_off(l, {"alternator belt off"}) == still_when_off(l, {"alternator belt"}));
    CHECK(still_when_off(l, {"fan off"}) == Names{"fan"});
    // the driver off stops its belt; the crank's other pulley turns on
    CHECK(still_when_off(l, {"front crank pulley"}) ==
          Names{"front crank pulley", "steering belt", "steering pump"});
    // through the camshaft to the injection pump
    const auto timing = still_when_off(l, {"timing belt"});
    for (const auto* name :
         {"cam wheel", "rear cam wheel", "pump belt", "injection pump", "vacuum pump", "oil pump"})
        CHECK(timing.contains(name));
    CHECK_FALSE(timing.contains("crank sprocket"));
    CHECK_FALSE(timing.contains("alternator"));
}

TEST_CASE("covers stop nothing, electric things are stopped by nothing") {
    const auto l = preset("four-toothed-belt");
    CHECK(still_when_off(l, {"upper timing cover", "lower timing cover", "timing backplate"}).empty());
    CHECK(still_when_off(l, {}).empty());
    CHECK_FALSE(still_when_off(l, {"accessory belt"}).contains("fan"));
    CHECK(still_when_off(l, {"lower timing cover off"}) == still_when_off(l, {"accessory belt"}));
}

TEST_CASE("a belt without its tensioner hangs slack") {
    const auto l = preset("four-toothed-belt");
    CHECK(still_when_off(l, {"belt tensioner"}) == still_when_off(l, {"accessory belt"}));
    CHECK(still_when_off(l, {"belt idler"}) == Names{"belt idler"});
}

TEST_CASE("a pull stands for its list") {
    const auto l = preset("four-toothed-belt");
    CHECK(expand_off(l, {"lower timing cover off"}) == Names{"lower timing cover", "accessory belt"});
    CHECK(expand_off(l, {"fan", "fan off", "fan"}) == Names{"fan"});
}

TEST_CASE("an unknown name is a wrong call, with the nearest valid one") {
    const auto l = preset("four-toothed-belt");
    try {
        static_cast<void>(expand_off(l, {"accesory belt"}));
        FAIL("accepted");
    } catch (const Error& e) {
        CHECK(e.kind == Error::Kind::wrong_call);
        CHECK(std::string(e.what()) ==
              "no part, drive, cover or pull is called `accesory belt` (did you mean `accessory belt`?)");
    }
    CHECK_THROWS_WITH(still_when_off(l, {"crank"}),
                      "`crank` is of the engine itself and cannot be taken off");
    CHECK_THROWS_WITH(
        run_limit(typical_layout(1), {"xyzzyx"}),
        Catch::StartsWith("no part, drive, cover or pull is called `xyzzyx` (the layout has `crank "
                          "sprocket`, `cam wheel`"));
}

TEST_CASE("never without the timing drive, its tensioner, oil pump or injection pump drive") {
    const auto toothed = preset("four-toothed-belt"), chain = preset("four-chain"),
               diesel = preset("five-diesel");
    for (const auto& [layout, name] : {std::pair{&toothed, "timing belt"},
                                       {&toothed, "timing tensioner"},
                                       {&toothed, "intake cam wheel"},
                                       {&toothed, "crank sprocket"},
                                       {&toothed, "water pump"},  // on the timing belt
                                       {&toothed, "crank pulley"},
                                       {&chain, "oil pump chain"},
                                       {&chain, "oil pump"},
                                       {&chain, "oil pump sprocket"},
                                       {&chain, "chain tensioner"},
                                       {&diesel, "pump belt"},
                                       {&diesel, "injection pump"},
                                       {&diesel, "rear cam wheel"}}) {
        INFO(name);
        const auto limit = run_limit(*layout, {name});
        CHECK(limit.run == RunWithout::never);
        CHECK_FALSE(limit.why.empty());
    }
    CHECK(run_limit(diesel, {"pump belt"}).why ==
          "`pump belt` times or oils the engine: never run without it.");
}

TEST_CASE("never follows from what a drive turns, also where the file says nothing") {
    auto l = typical_layout(4);
    for (auto& d : l.drives) d.run_without.reset();
    for (auto& p : l.parts) p.run_without.reset();
    CHECK(run_limit(l, {"timing belt"}).run == RunWithout::never);
    CHECK(run_limit(l, {"timing belt"}).why == "`cam wheel` would stand still: valves and pistons can meet.");
    CHECK(run_limit(l, {"timing tensioner"}).run == RunWithout::never);
    CHECK(run_limit(l, {"accessory belt"}).run == RunWithout::seconds_from_cold);
}

TEST_CASE("seconds from cold where the water pump stands still, no objection elsewhere") {
    const auto l = preset("five-diesel");
    const auto limit = run_limit(l, {"alternator belt off"});
    CHECK(limit.run == RunWithout::seconds_from_cold);
    CHECK(limit.why == "Without `water pump`: start from cold, run for seconds, then engine off.");
    CHECK(run_limit(l, {"steering belt off", "fan off", "upper timing cover off"}).run == RunWithout::ok);
    CHECK(run_limit(l, {"steering belt"}).why.empty());
    CHECK(run_limit(l, {}).run == RunWithout::ok);
    // the strictest of several
    CHECK(run_limit(l, {"fan", "alternator belt", "timing belt"}).run == RunWithout::never);
    CHECK(run_limit(preset("four-toothed-belt"), {"accessory belt"}).run ==
          RunWithout::ok);  // pump on the other belt
}

TEST_CASE("what the file says about a part or a drive counts") {
    const std::string pump = on_belt("water pump", "water pump", "");
    const auto says = [&](const std::string& belt_key, const std::string& part) {
        return run_limit(ribbed("150", part, belt_key), {"belt"}).run;
    };
    CHECK(says("", pump) == RunWithout::seconds_from_cold);
    CHECK(says("run_without = \"ok\"", pump) == RunWithout::ok);  // an electric pump helps, say
    CHECK(says("run_without = \"never\"", pump) == RunWithout::never);
    CHECK(says("", on_belt("blower", "blower", "run_without = \"never\"")) == RunWithout::never);
    CHECK(says("run_without = \"ok\"",
               on_belt("water pump", "water pump", "run_without = \"seconds from cold\"")) ==
          RunWithout::seconds_from_cold);
}
