// The front end most engines have, with every measure left "typical": what is used when only the number of
// cylinders is known.
#include "layout/layout.hpp"

namespace cranknote {

namespace {

Part part_of(std::string name, PartKind kind, std::string drive) {
    Part p;
    p.name = std::move(name);
    p.kind = kind;
    p.drive = std::move(drive);
    return p;
}

Part pulley(std::string name, PartKind kind, std::string drive) {
    auto p = part_of(std::move(name), kind, std::move(drive));
    p.diameter = Typical{};
    return p;
}

Part on_crank(std::string name, PartKind kind) {
    auto p = part_of(std::move(name), kind, "");
    p.turns_with_crank = true;
    return p;
}

/// Usual firing orders (common practice); other numbers of cylinders have no usual one.
std::vector<int> usual_firing_order(int cylinders) {
    switch (cylinders) {
        case 1:
            return {1};
        case 2:
            return {1, 2};
        case 3:
            return {1, 3, 2};
        case 4:
            return {1, 3, 4, 2};
        case 5:
            return {1, 2, 4, 5, 3};
        case 6:
            return {1, 5, 3, 6, 2, 4};
        default:
            return {};
    }
}

Engine usual_engine(int cylinders) {
    Engine e;
    e.cylinders = cylinders;
    e.arrangement = cylinders > 6 ? Arrangement::vee : Arrangement::inline_;
    e.firing_order = usual_firing_order(cylinders);
    return e;
}

Pull pull_of(std::string name, std::vector<std::string> off, double minutes, double refit,
             std::vector<std::string> cautions) {
    Pull p;
    p.name = std::move(name);
    p.off = std::move(off);
    p.minutes = minutes;
    p.refit_minutes = refit;
    p.cautions = std::move(cautions);
    return p;
}

constexpr const char* hands_away = "The timing drive is open: keep hands, sleeves and leads away.";

void add_timing(Layout& l) {
    Drive timing;
    timing.name = "timing belt";
    timing.kind = DriveKind::toothed;
    timing.driver = "crank sprocket";
    timing.run_without = RunWithout::never;
    l.drives.push_back(timing);
    l.parts.push_back(on_crank("crank sprocket", PartKind::crank_sprocket));
    const int wheels = l.engine.arrangement == Arrangement::vee ? 2 : 1;
    for (int bank = 1; bank <= wheels; ++bank) {
        auto wheel = part_of(wheels == 1 ? "cam wheel" : "cam wheel " + std::to_string(bank),
                             PartKind::cam_wheel, timing.name);
        if (wheels > 1) wheel.bank = bank;
        l.parts.push_back(wheel);
    }
    auto tensioner = pulley("timing tensioner", PartKind::tensioner, timing.name);
    tensioner.back_side = true;
    tensioner.run_without = RunWithout::never;
    l.parts.push_back(tensioner);
}

void add_accessories(Layout& l) {
    Drive belt;
    belt.name = "accessory belt";
    belt.kind = DriveKind::ribbed;
    belt.driver = "crank pulley";
    l.drives.push_back(belt);
    auto crank = on_crank("crank pulley", PartKind::crank_pulley);
    crank.diameter = Typical{};
    l.parts.push_back(crank);
    l.parts.push_back(pulley("alternator", PartKind::alternator, belt.name));
    auto water = pulley("water pump", PartKind::water_pump, belt.name);
    water.run_without = RunWithout::seconds_from_cold;
    l.parts.push_back(water);
    l.parts.push_back(pulley("steering pump", PartKind::steering_pump, belt.name));
    auto compressor = pulley("compressor", PartKind::compressor, belt.name);
    compressor.clutch = true;
    l.parts.push_back(compressor);
    auto tensioner = pulley("belt tensioner", PartKind::tensioner, belt.name);
    tensioner.back_side = true;
    l.parts.push_back(tensioner);
    l.parts.push_back(pulley("belt idler", PartKind::idler, belt.name));
    auto fan = part_of("fan", PartKind::fan, "");
    fan.electric = true;
    l.parts.push_back(fan);
}

void add_covers(Layout& l) {
    std::vector<std::string> wheels{"timing belt"};
    for (const auto& p : l.parts)
        if (p.kind == PartKind::cam_wheel) wheels.push_back(p.name);
    l.covers = {{"upper timing cover", CoverKind::cover, wheels},
                {"lower timing cover", CoverKind::cover, {"crank sprocket", "crank pulley", "timing belt"}},
                {"fan shroud", CoverKind::shield, {"fan"}}};
}

void add_pulls(Layout& l) {
    l.pulls.push_back(
        pull_of("accessory belt off", {"accessory belt"}, 10, 10,
                {"The water pump may stand still: start from cold, run for seconds, then engine off.",
                 "No charging and no steering help while it is off."}));
    l.pulls.push_back(pull_of("upper timing cover off", {"upper timing cover"}, 25, 25, {hands_away}));
    auto lower = pull_of(
        "lower timing cover off", {"lower timing cover"}, 70, 90,
        {hands_away,
         "Refit the crank pulley bolt to torque before any start: it may clamp the timing sprocket."});
    lower.renew = {"crank pulley bolt"};
    lower.requires_ = {"accessory belt off", "upper timing cover off"};
    l.pulls.push_back(lower);
    l.pulls.push_back(pull_of("fan off", {"fan"}, 20, 20,
                              {"An electric fan may start by itself: unplug it before hands are near.",
                               "Watch the coolant temperature."}));
}

/// One and two cylinders are mostly motorcycles and small machines: chain, generator on the crank, no belt.
void add_small_engine(Layout& l) {
    Drive chain;
    chain.name = "cam chain";
    chain.kind = DriveKind::chain;
    chain.driver = "crank sprocket";
    chain.run_without = RunWithout::never;
    l.drives.push_back(chain);
    l.parts.push_back(on_crank("crank sprocket", PartKind::crank_sprocket));
    l.parts.push_back(part_of("cam wheel", PartKind::cam_wheel, chain.name));
    auto tensioner = part_of("cam chain tensioner", PartKind::tensioner, chain.name);
    tensioner.run_without = RunWithout::never;
    l.parts.push_back(tensioner);
    l.parts.push_back(on_crank("alternator", PartKind::alternator));
    l.covers = {{"generator cover", CoverKind::cover, {"alternator"}},
                {"cam chain cover", CoverKind::cover, {"cam chain", "cam wheel"}}};
    l.pulls.push_back(
        pull_of("generator cover off", {"generator cover"}, 20, 30,
                {"Where oil runs behind this cover the engine must not be started with it off."}));
}

}  // namespace

Layout typical_layout(int cylinders) {
    if (cylinders < 1 || cylinders > 16)
        throw Error("an engine of " + std::to_string(cylinders) + " cylinders is not known here", "",
                    "1 to 16 cylinders", Error::Kind::wrong_call);
    Layout l;
    l.typical = true;
    l.engine = usual_engine(cylinders);
    l.name = "Typical front end, " + std::to_string(cylinders) +
             (cylinders == 1 ? " cylinder" : " cylinders") + ", nothing measured";
    if (cylinders <= 2) {
        add_small_engine(l);
        return l;
    }
    add_timing(l);
    add_accessories(l);
    add_covers(l);
    add_pulls(l);
    return l;
}

}  // namespace cranknote
