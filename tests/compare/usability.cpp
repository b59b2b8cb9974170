#include "portrait/usability.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "compare/noise.hpp"
#include "speed/from_sound.hpp"
#include "within.hpp"

using namespace cranknote;
using namespace cranknote::test;

namespace {

Usability looked_at(const std::vector<float>& x, const Coding& coding = {}) {
    const auto speed = speed_from_tag({Rpm{900}, Rpm{2}}, Seconds{static_cast<double>(x.size()) / rate});
    return usability_of(x, portrait_of(x, SampleRate{rate}, speed), coding);
}

const QualityRemark* remark(const Usability& u, QualityCode code) {
    const auto it = std::find_if(u.remarks.begin(), u.remarks.end(),
                                 [&](const QualityRemark& r) { return r.code == code; });
    return it == u.remarks.end() ? nullptr : &*it;
}

/// A steep low-pass: eight one-pole filters would not be a codec's cliff, a long windowed sinc is.
std::vector<float> cut_above(const std::vector<float>& x, double hz) {
    constexpr int half = 400;
    std::vector<double> taps(2 * half + 1);
    for (int i = -half; i <= half; ++i) {
        const double t = 2.0 * hz / rate * i, w = 0.5 + 0.5 * std::cos(3.14159265358979 * i / (half + 1));
        taps[static_cast<std::size_t>(i + half)] =
            2.0 * hz / rate * (i == 0 ? 1.0 : std::sin(3.14159265358979 * t) / (3.14159265358979 * t)) * w;
    }
    std::vector<float> y(x.size(), 0.0F);
    for (std::size_t i = half; i + half < x.size(); ++i) {
        double sum = 0.0;
        for (std::size_t k = 0; k < taps.size(); ++k) sum += taps[k] * static_cast<double>(x[i + half - k]);
        y[i] = static_cast<float>(sum);
    }
    return y;
}

}  // namespace

TEST_CASE("an ordinary recording gets no remark that would hold it back") {
    for (const auto& r : looked_at(noise(10.0, 0.05, 1)).remarks) {
        INFO(r.text);
        CHECK(r.severity == Severity::note);
    }
}

TEST_CASE("too short and nearly silent are unusable, and say what to do") {
    const auto brief = looked_at(noise(1.0, 0.05, 2));
    REQUIRE(remark(brief, QualityCode::short_));
    CHECK(remark(brief, QualityCode::short_)->severity == Severity::unusable);
    const auto silent = looked_at(noise(10.0, 3e-5, 3));
    REQUIRE(remark(silent, QualityCode::quiet));
    CHECK(remark(silent, QualityCode::quiet)->severity == Severity::unusable);
    CHECK(remark(silent, QualityCode::quiet)->text.find("closer") != std::string::npos);
}

TEST_CASE("clipping is told from loud") {
    auto loud = noise(10.0, 0.2, 4);
    CHECK_FALSE(remark(looked_at(loud), QualityCode::clipped));
    for (auto& v : loud) v = std::clamp(5.0F * v, -1.0F, 1.0F);
    REQUIRE(remark(looked_at(loud), QualityCode::clipped));
}

TEST_CASE("a codec's upper limit is found where it is, and nothing is said above it") {
    for (const double hz : {3400.0, 7000.0, 15500.0}) {
        const auto u = looked_at(cut_above(noise(4.0, 0.05, 5), hz));
        const auto* r = remark(u, QualityCode::band_limit);
        REQUIRE(r);
        CHECK_THAT(r->hz->value(), within(hz, 0.06 * hz, "looked for in steps of a 24th octave, twice"));
        CHECK(u.high <= *r->hz);
    }
}

TEST_CASE("a voice message is called one") {
    const auto x = noise(4.0, 0.05, 6);
    REQUIRE(remark(looked_at(x, {"amr-nb", 12200.0}), QualityCode::messenger));
    CHECK_FALSE(remark(looked_at(x, {"aac", 128000.0}), QualityCode::messenger));
}

TEST_CASE("a gain that moves by itself is noticed") {
    auto x = noise(12.0, 0.05, 7);
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] *= static_cast<float>(std::pow(
            10.0, 5.0 / 20.0 * std::sin(2.0 * 3.14159265358979 * 0.2 * static_cast<double>(i) / rate)));
    CHECK(remark(looked_at(x), QualityCode::gain_control));
    CHECK_FALSE(remark(looked_at(noise(12.0, 0.05, 8)), QualityCode::gain_control));
}
