// A crank speed in sentences.
#include <cmath>

#include "figure/number_text.hpp"
#include "note/words.hpp"

namespace cranknote {

namespace {

constexpr double surely = 0.95;        // above this the multiple needs no question
constexpr double worth_a_word = 0.02;  // alternatives below it are not named

std::string tag_text(const SpeedTag& tag) {
    return number_text(tag.rpm.value(), 0) + "\u00a0±\u00a0" + short_number_text(tag.plus_minus.value());
}

/// Whose numbers these are, and what settled which multiple of them is the crank's.
std::string source_word(const SpeedReading& r, const Sentences& say) {
    const bool sounds = r.mean_from == SpeedSource::sound;
    switch (r.source) {
        case SpeedSource::sound:
            return say(Say::speed_from_sound);
        case SpeedSource::entered:
            return sounds && r.tag ? say(Say::speed_by_tag, {{"tag", tag_text(*r.tag)}})
                                   : say(Say::speed_from_tag);
        case SpeedSource::pickup:
            return say(sounds ? Say::speed_by_pickup : Say::speed_from_pickup);
    }
    return "";
}

/// "twice", "2/3"; empty where it is no simple factor.
std::string times_text(double factor) {
    if (std::abs(factor - 2.0) < 0.01) return "twice";
    if (std::abs(factor - 0.5) < 0.005) return "half";
    for (int q = 1; q <= 8; ++q) {
        const double p = std::round(factor * q);
        if (p < 1.0 || std::abs(factor * q / p - 1.0) > 0.01) continue;
        return number_text(p, 0) + (q > 1 ? "/" + std::to_string(q) : " times");
    }
    return "";
}

/// "1640 rpm (twice as fast, with 8 cylinders, 12 %)"
std::string alternative_text(const SpeedAlternative& other, const SpeedReading& r, const Sentences& say) {
    std::string text = rpm_text(other.rpm) + " (";
    if (r.mean)
        if (const auto times = times_text(other.rpm / *r.mean); !times.empty())
            text += say(Say::speed_times, {{"times", times}}) + ", ";
    if (other.cylinders)
        text += say(Say::speed_with_cylinders, {{"count", std::to_string(*other.cylinders)}}) + ", ";
    return text + probability_text(other.confidence) + ")";
}

std::string alternatives_sentence(const SpeedReading& r, const Sentences& say) {
    std::vector<std::string> others;
    for (const auto& other : r.alternatives)
        if (other.confidence >= worth_a_word && others.size() < 3)
            others.push_back(alternative_text(other, r, say));
    return others.empty() ? "" : say(Say::speed_or, {{"list", listed(others, say)}});
}

}  // namespace

std::vector<std::string> speed_sentences(const SpeedReading& speed, const Sentences& say) {
    std::vector<std::string> lines;
    if (!speed.mean) {
        lines.push_back(say(Say::speed_unknown));
    } else {
        lines.push_back(say(Say::speed_is, {{"rpm", rpm_text(*speed.mean)}}) + " (" +
                        source_word(speed, say) + ").");
        lines.push_back(say(Say::speed_interval,
                            {{"low", number_text(speed.interval.first.value(), 1)},
                             {"high", number_text(speed.interval.second.value(), 1) + "\u00a0rpm"}}));
        lines.push_back(say(Say::speed_range,
                            {{"low", number_text(speed.low.value(), 0)}, {"high", rpm_text(speed.high)}}));
        const auto percent = probability_text(speed.confidence);
        const auto tag = number_text(speed.mean->value(), 0) + "~40";
        lines.push_back(speed.confidence < surely
                            ? say(Say::speed_unsure, {{"percent", percent}, {"tag", tag}})
                            : say(Say::speed_sure, {{"percent", percent}}));
    }
    if (auto others = alternatives_sentence(speed, say); !others.empty()) lines.push_back(std::move(others));
    if (speed.mean && speed.cylinders && !speed.cylinders_said && speed.mean_from == SpeedSource::sound)
        lines.push_back(say(Say::speed_cylinders_guessed, {{"count", std::to_string(*speed.cylinders)}}));
    lines.insert(lines.end(), speed.remarks.begin(), speed.remarks.end());
    return lines;
}

std::vector<std::string> running_sentences(const SpeedReading& speed) {
    std::vector<std::string> lines;
    if (speed.steadiness) lines.push_back(speed.steadiness->text);
    if (speed.evenness) lines.push_back(speed.evenness->text);
    return lines;
}

}  // namespace cranknote
