#include <numeric>
#include <set>

#include "diagnose/course.hpp"
#include "diagnose/engine.hpp"
#include "diagnose/evidence.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

bool has(const std::vector<Cause>& causes, CauseKind kind, const std::string& part,
         const std::vector<std::string>& also = {}) {
    return std::any_of(causes.begin(), causes.end(), [&](const Cause& c) {
        return c.kind == kind && c.part.value_or("") == part && c.also == also;
    });
}

double share_of(const std::vector<HeardAt>& lines) {
    double sum = 0.0;
    for (const auto& l : lines) sum += std::accumulate(l.harmonics.begin(), l.harmonics.end(), 0.0);
    return sum;
}

void check_probabilities(const Cause& c) {
    INFO(c.text);
    const auto whole = within(1.0, 1e-9, "probabilities typed with two digits, added in double");
    CHECK_THAT(std::accumulate(c.character.begin(), c.character.end(), 0.0), whole);
    CHECK_THAT(std::accumulate(c.follows.begin(), c.follows.end(), 0.0), whole);
    CHECK_THAT(std::accumulate(c.beat_follows.begin(), c.beat_follows.end(), 0.0), whole);
    CHECK(share_of(c.tones) < 1.0 + 1e-9);
    CHECK(share_of(c.beats) < 1.0 + 1e-9);
    for (const auto& [check, a] : c.answers) {
        INFO(check);
        CHECK_THAT(a.stronger + a.weaker + a.gone + a.unchanged, whole);
        CHECK(std::find(checks.begin(), checks.end(), check) != checks.end());
    }
    CHECK(!c.source.empty());
    CHECK(c.weight > 0.0);
}

}  // namespace

TEST_CASE("a layout gives the causes that its drives, parts and covers allow") {
    const auto causes = causes_of(engine());
    CHECK(has(causes, CauseKind::slip, "alternator belt"));
    CHECK(has(causes, CauseKind::misalignment, "alternator belt"));
    CHECK(has(causes, CauseKind::mesh, "timing belt"));
    CHECK(!has(causes, CauseKind::slip, "timing belt"));
    CHECK(!has(causes, CauseKind::mesh, "alternator belt"));
    CHECK(has(causes, CauseKind::edge, "timing belt", {"upper timing cover"}));
    CHECK(has(causes, CauseKind::edge, "timing belt", {"lower timing cover"}));
    CHECK(has(causes, CauseKind::rub, "cam wheel", {"upper timing cover"}));
    CHECK(has(causes, CauseKind::rub, "crank pulley", {"lower timing cover"}));
    CHECK(has(causes, CauseKind::rub, "fan", {"fan shroud"}));
    CHECK(has(causes, CauseKind::bearing, "timing tensioner"));
    CHECK(has(causes, CauseKind::bearing, "alternator"));
    CHECK(!has(causes, CauseKind::bearing, "fan"));  // it runs in the water pump's
    CHECK(has(causes, CauseKind::electrical, "alternator"));
    CHECK(has(causes, CauseKind::pump, "steering pump"));
    CHECK(has(causes, CauseKind::blade, "fan"));
    CHECK(has(causes, CauseKind::rattle, "timing tensioner"));
    CHECK(has(causes, CauseKind::rattle, "crank pulley"));
    for (const auto kind :
         {CauseKind::valve, CauseKind::knock, CauseKind::slap, CauseKind::injector, CauseKind::exhaust,
          CauseKind::intake, CauseKind::firing, CauseKind::clutch, CauseKind::outside})
        CHECK(std::any_of(causes.begin(), causes.end(), [&](const Cause& c) { return c.kind == kind; }));
}

TEST_CASE("every cause of every preset states sound probabilities, a source and a text of its own") {
    auto layouts = presets();
    REQUIRE(layouts.size() >= 5);
    for (int cylinders : {1, 7, 10, 12, 16})
        layouts.emplace_back("typical " + std::to_string(cylinders), typical_layout(cylinders));
    for (const auto& [name, layout] : layouts) {
        INFO(name);
        std::set<std::string> texts;
        for (const auto& c : causes_of(layout)) {
            check_probabilities(c);
            INFO(c.text);
            CHECK(texts.insert(c.text).second);
        }
    }
    check_probabilities(something_else());
}

TEST_CASE("predicted ratios are the layout's own") {
    const auto causes = causes_of(engine());
    const auto mesh = cause(causes, "timing belt whines");
    REQUIRE(mesh.tones.size() == 1);
    CHECK_THAT(mesh.tones[0].at.value.value(), within(20.0, 1e-9, "20 teeth on the crank: a whole number"));
    const auto rub = cause(causes, "upper timing cover touches the cam wheel");
    REQUIRE(!rub.beats.empty());
    CHECK_THAT(rub.beats[0].at.value.value(), within(0.5, 1e-9, "20 teeth on 40: exact"));
    const auto edge = cause(causes, "upper timing cover touches the timing belt");
    CHECK_THAT(edge.beats[0].at.value.value(), within(20.0 / 113, 1e-9, "20 teeth of 113 a turn: exact"));
}

TEST_CASE("what stands still or was taken away silences a cause") {
    const auto layout = engine();
    const auto causes = causes_of(layout);
    const auto as_found = setting_of(layout, state("as found"));
    const auto belt_off = setting_of(layout, state("belt off", {"alternator belt off"}));
    const auto cover_off = setting_of(layout, state("cover off", {"upper timing cover off"}));
    for (const auto& c : causes) {
        INFO(c.text);
        CHECK(can_sound(c, as_found) == c.must_have.empty());
    }
    for (const auto* silent : {"alternator belt slips", "alternator bearing", "water pump bearing",
                               "fan shroud touches the fan", "fan blades beat"})
        CHECK_FALSE(can_sound(cause(causes, silent), belt_off));
    for (const auto* sounds : {"steering belt slips", "timing belt whines", "a valve ticks",
                               "lower timing cover touches the crank pulley"})
        CHECK(can_sound(cause(causes, sounds), belt_off));
    CHECK_FALSE(can_sound(cause(causes, "upper timing cover touches the timing belt"), cover_off));
    CHECK(can_sound(cause(causes, "lower timing cover touches the timing belt"), cover_off));
    const auto engine_off = setting_of(layout, state("off", {}, {"shut-off"}));
    CHECK_FALSE(can_sound(cause(causes, "a valve ticks"), engine_off));
    CHECK(can_sound(cause(causes, "mains hum"), engine_off));
}

TEST_CASE("a course is a distribution, whatever the states") {
    const auto layout = engine();
    const auto as_found = setting_of(layout, state("as found"));
    const Likelihoods l;
    for (const auto& c : causes_of(layout))
        for (const auto& pull : layout.pulls)
            for (const auto check : checks)
                for (const bool touched : {false, true}) {
                    auto s = state("now", {pull.name}, {std::string(check)});
                    s.repaired = touched;
                    const auto course = course_of(layout, c, as_found, setting_of(layout, s), .5, touched, l);
                    INFO(c.text << " / " << pull.name << " / " << check);
                    CHECK_THAT(std::accumulate(course.begin(), course.end(), 0.0),
                               within(1.0, 1e-9, "normalised in double"));
                    CHECK(*std::min_element(course.begin(), course.end()) > 0.0);
                }
}

TEST_CASE("a line's density integrates to one over the logarithm of the ratio") {
    const Likelihoods l;
    for (const double creep : {0.0, .02})
        for (const double relative : {0.0, .01, .1})
            for (const double doubt : {0.0, .1}) {
                const HeardAt line{"", "", {Ratio{2.6}, relative, creep}, {1.0}, doubt};
                double sum = 0.0;
                constexpr double step = 1e-5;
                for (double x = -1.5; x < 1.5; x += step)
                    sum += step * line_density(line, 2, Ratio{5.2 * std::exp(x)}, .001, l.ratio_floor,
                                               l.wrong_count_spread);
                CHECK_THAT(sum, within(1.0, 1e-3, "rectangle rule at a hundredth of the narrowest width"));
            }
}
