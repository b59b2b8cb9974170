#include "layout/words.hpp"

namespace cranknote {

namespace {

constexpr std::array arrangements{Word<Arrangement>{"inline", Arrangement::inline_},
                                  Word<Arrangement>{"vee", Arrangement::vee},
                                  Word<Arrangement>{"flat", Arrangement::flat}};

constexpr std::array fuels{Word<Fuel>{"petrol", Fuel::petrol}, Word<Fuel>{"diesel", Fuel::diesel},
                           Word<Fuel>{"gas", Fuel::gas}};

constexpr std::array drive_kinds{
    Word<DriveKind>{"ribbed", DriveKind::ribbed}, Word<DriveKind>{"vee", DriveKind::vee},
    Word<DriveKind>{"flat", DriveKind::flat},     Word<DriveKind>{"toothed", DriveKind::toothed},
    Word<DriveKind>{"chain", DriveKind::chain},   Word<DriveKind>{"silent chain", DriveKind::silent_chain},
    Word<DriveKind>{"gear", DriveKind::gear}};

constexpr std::array diameter_kinds{Word<DiameterKind>{"outside", DiameterKind::outside},
                                    Word<DiameterKind>{"effective", DiameterKind::effective},
                                    Word<DiameterKind>{"pitch", DiameterKind::pitch}};

constexpr std::array run_withouts{Word<RunWithout>{"never", RunWithout::never},
                                  Word<RunWithout>{"seconds from cold", RunWithout::seconds_from_cold},
                                  Word<RunWithout>{"ok", RunWithout::ok}};

constexpr std::array part_kinds{Word<PartKind>{"crank pulley", PartKind::crank_pulley},
                                Word<PartKind>{"crank sprocket", PartKind::crank_sprocket},
                                Word<PartKind>{"cam wheel", PartKind::cam_wheel},
                                Word<PartKind>{"idler", PartKind::idler},
                                Word<PartKind>{"tensioner", PartKind::tensioner},
                                Word<PartKind>{"alternator", PartKind::alternator},
                                Word<PartKind>{"water pump", PartKind::water_pump},
                                Word<PartKind>{"fan", PartKind::fan},
                                Word<PartKind>{"steering pump", PartKind::steering_pump},
                                Word<PartKind>{"compressor", PartKind::compressor},
                                Word<PartKind>{"oil pump", PartKind::oil_pump},
                                Word<PartKind>{"injection pump", PartKind::injection_pump},
                                Word<PartKind>{"vacuum pump", PartKind::vacuum_pump},
                                Word<PartKind>{"blower", PartKind::blower},
                                Word<PartKind>{"turbo", PartKind::turbo},
                                Word<PartKind>{"gear", PartKind::gear},
                                Word<PartKind>{"sprocket", PartKind::sprocket},
                                Word<PartKind>{"balance shaft", PartKind::balance_shaft},
                                Word<PartKind>{"damper", PartKind::damper},
                                Word<PartKind>{"clutch", PartKind::clutch},
                                Word<PartKind>{"flywheel", PartKind::flywheel},
                                Word<PartKind>{"other", PartKind::other}};

constexpr std::array cover_kinds{
    Word<CoverKind>{"cover", CoverKind::cover}, Word<CoverKind>{"backplate", CoverKind::backplate},
    Word<CoverKind>{"shield", CoverKind::shield}, Word<CoverKind>{"guide", CoverKind::guide},
    Word<CoverKind>{"bracket", CoverKind::bracket}};

constexpr std::array line_kinds{Word<LineKind>{"rotation", LineKind::rotation},
                                Word<LineKind>{"tooth mesh", LineKind::tooth_mesh},
                                Word<LineKind>{"belt pass", LineKind::belt_pass},
                                Word<LineKind>{"same teeth meet", LineKind::belt_tooth_pass},
                                Word<LineKind>{"blade pass", LineKind::blade_pass},
                                Word<LineKind>{"vane pass", LineKind::vane_pass},
                                Word<LineKind>{"piston pass", LineKind::piston_pass},
                                Word<LineKind>{"lobe pass", LineKind::lobe_pass},
                                Word<LineKind>{"plunger pass", LineKind::plunger_pass},
                                Word<LineKind>{"electrical", LineKind::electrical},
                                Word<LineKind>{"ripple", LineKind::ripple},
                                Word<LineKind>{"bearing outer ring", LineKind::bearing_outer},
                                Word<LineKind>{"bearing inner ring", LineKind::bearing_inner},
                                Word<LineKind>{"bearing cage", LineKind::bearing_cage},
                                Word<LineKind>{"bearing ball", LineKind::bearing_ball},
                                Word<LineKind>{"cam", LineKind::cam},
                                Word<LineKind>{"crank", LineKind::crank},
                                Word<LineKind>{"firing", LineKind::firing}};

}  // namespace

template <>
std::span<const Word<Arrangement>> words() {
    return arrangements;
}
template <>
std::span<const Word<Fuel>> words() {
    return fuels;
}
template <>
std::span<const Word<DriveKind>> words() {
    return drive_kinds;
}
template <>
std::span<const Word<DiameterKind>> words() {
    return diameter_kinds;
}
template <>
std::span<const Word<RunWithout>> words() {
    return run_withouts;
}
template <>
std::span<const Word<PartKind>> words() {
    return part_kinds;
}
template <>
std::span<const Word<CoverKind>> words() {
    return cover_kinds;
}
template <>
std::span<const Word<LineKind>> words() {
    return line_kinds;
}

}  // namespace cranknote
