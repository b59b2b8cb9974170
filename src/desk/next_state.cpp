#include "desk/next_state.hpp"

#include <algorithm>
#include <charconv>
#include <string_view>

#include "job/edit.hpp"
#include "layout/kinematics.hpp"
#include "note/sentences.hpp"

namespace cranknote::desk {

namespace {

std::vector<std::string> as_list(const std::set<std::string>& names) { return {names.begin(), names.end()}; }

/// "fan belt off": the pulls' names where they say it all, else the things'.
std::string off_text(const std::set<std::string>& off, const Layout& layout) {
    for (const auto& pull : layout.pulls)
        if (std::set<std::string>(pull.off.begin(), pull.off.end()) == off) return pull.name;
    std::vector<std::string> pulls;
    std::set<std::string> things = off;
    for (const auto& name : off)
        if (layout.pull(name)) {
            pulls.push_back(name);
            things.erase(name);
        }
    if (!things.empty()) pulls.push_back(listed(as_list(things)) + " off");
    return listed(pulls);
}

}  // namespace

std::optional<std::string> take_off_or_refit(NextState& next, const Layout& layout, const std::string& name) {
    auto off = next.off;
    // A thing that a pull took off goes back on with the whole pull.
    std::erase_if(off, [&](const std::string& n) {
        const auto* pull = layout.pull(n);
        return pull && std::ranges::find(pull->off, name) != pull->off.end();
    });
    if (off == next.off && off.erase(name) == 0) off.insert(name);
    const auto limit = run_limit(layout, as_list(off));
    if (limit.run == RunWithout::never) return limit.why;
    next.off = std::move(off);
    return std::nullopt;
}

NextState next_after(const Scene& scene) {
    NextState next;
    if (scene.job.states.empty()) return next;
    const auto& last = scene.job.states.back();
    next.off = {last.off.begin(), last.off.end()};
    next.repaired = std::ranges::any_of(scene.job.states, [](const auto& s) { return s.repaired; });
    return next;
}

std::string proposed_folder(const NewJob& job) {
    std::string name = job.date;
    for (const char c : job.title.empty() ? std::string() : " " + job.title)
        name += c == '/' || c == '\\' || static_cast<unsigned char>(c) < 0x20 ? '-' : c;
    return job.place + "/" + (name.empty() ? "job" : name);
}

NextState next_of_step(const Step& step, const NextState& now) {
    NextState next;
    next.off = {step.off.begin(), step.off.end()};
    next.with = {step.with.begin(), step.with.end()};
    next.near = step.near;
    next.repaired = now.repaired;
    next.repaired_what = now.repaired_what;
    next.warmth = now.warmth;
    return next;
}

std::string name_of(const NextState& next, const Scene& scene) {
    if (!next.name.empty()) return next.name;
    if (scene.states.empty()) return std::string(job::first_state);
    std::string name = next.off.empty() ? "" : off_text(next.off, scene.layout);
    for (const auto& check : next.with) name += (name.empty() ? "" : ", ") + check;
    if (next.repaired) name = name.empty() ? "repaired" : name + ", repaired";
    return name.empty() ? std::string(job::first_state) : name;
}

std::optional<SpeedTag> speed_tag_from(const std::string& typed) {
    const auto number = [](std::string_view text) -> std::optional<double> {
        double value = 0.0;
        const auto got = std::from_chars(text.data(), text.data() + text.size(), value);
        if (got.ec != std::errc() || got.ptr != text.data() + text.size()) return std::nullopt;
        return value;
    };
    const auto wave = typed.find('~');
    const auto rpm = number(std::string_view(typed).substr(0, wave));
    if (!rpm || *rpm < 100.0 || *rpm > 20000.0) return std::nullopt;
    if (wave == std::string::npos) return SpeedTag{Rpm{*rpm}};
    const auto width = number(std::string_view(typed).substr(wave + 1));
    if (!width || *width <= 0.0) return std::nullopt;
    return SpeedTag{Rpm{*rpm}, Rpm{*width}};
}

std::vector<std::string> cautions_of(const NextState& next, const Layout& layout) {
    std::vector<std::string> all;
    const auto add = [&](const std::string& sentence) {
        if (!sentence.empty() && std::ranges::find(all, sentence) == all.end()) all.push_back(sentence);
    };
    add(run_limit(layout, as_list(next.off)).why);
    const auto off = expand_off(layout, as_list(next.off));
    for (const auto& pull : layout.pulls)
        if (next.off.contains(pull.name) ||
            (!pull.off.empty() &&
             std::ranges::all_of(pull.off, [&](const auto& n) { return off.contains(n); })))
            for (const auto& caution : pull.cautions) add(caution);
    return all;
}

}  // namespace cranknote::desk
