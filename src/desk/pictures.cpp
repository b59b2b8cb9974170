#include "desk/pictures.hpp"

#include <algorithm>
#include <cmath>

#include "desk/suit.hpp"
#include "figure/figures.hpp"
#include "figure/number_text.hpp"
#include "layout/kinematics.hpp"

namespace cranknote::desk {

namespace {

const Finding* finding_named(const Scene& scene, const std::string& id) {
    if (!scene.compared || id.empty()) return nullptr;
    for (const auto& f : scene.compared->comparison.findings)
        if (f.id == id) return &f;
    return nullptr;
}

std::string state_name(const Scene& scene, std::size_t i) {
    return i < scene.states.size() ? scene.states[i].name : std::string();
}

std::vector<figure::Predicted> predicted_of(const Layout& layout, const std::string& part) {
    std::vector<figure::Predicted> list;
    if (part.empty()) return list;
    for (const auto& line : predicted_lines(layout))
        if (line.owner == part && line.harmonic <= 2) list.push_back({line.ratio.value, line.text});
    return list;
}

figure::Figure comparison_picture(const Scene& scene, const ViewState& view) {
    figure::ComparisonView how;
    how.over_hz = view.over_hz;
    how.a = state_name(scene, scene.compared->a);
    how.b = state_name(scene, scene.compared->b);
    how.range = view.range;
    how.lit = lit_of(scene, view).findings;
    how.predicted = predicted_of(scene.layout, view.lit_part);
    return figure::comparison_figure(scene.compared->comparison, how);
}

const Examined* examined_of(const Scene& scene, const std::string& recording, std::size_t state) {
    const Examined* first = nullptr;
    for (std::size_t i = 0; i < scene.job.recordings.size(); ++i) {
        const auto& r = scene.job.recordings[i];
        if (!scene.heard[i].examined) continue;
        if (r.id == recording) return scene.heard[i].examined.get();
        if (!first && r.state == state_name(scene, state)) first = scene.heard[i].examined.get();
    }
    return first;
}

/// The beat spectrum of the carrier band that a finding lies in, of the first recording of a state.
const BeatSpectrum* beats_of(const Scene& scene, std::size_t state, const Finding& f) {
    const auto* e = examined_of(scene, "", state);
    if (!e) return nullptr;
    const double middle = std::sqrt(std::max(1.0, f.low.value() * f.high.value()));
    const BeatSpectrum* best = nullptr;
    for (const auto& b : e->portrait.beats)
        if (!best || std::abs(std::log(std::sqrt(b.low.value() * b.high.value()) / middle)) <
                         std::abs(std::log(std::sqrt(best->low.value() * best->high.value()) / middle)))
            best = &b;
    return best;
}

figure::Figure beats_picture(const Scene& scene, const ViewState& view) {
    const auto* f = finding_named(scene, view.finding);
    if (!f) {
        figure::Figure empty;
        empty.caption = "Choose a finding to see how it swells.";
        return empty;
    }
    figure::BeatCurve curve;
    const auto *a = beats_of(scene, scene.compared->a, *f), *b = beats_of(scene, scene.compared->b, *f);
    const auto depth = [](const BeatSpectrum& s, std::size_t i) {
        return std::sqrt(std::max(0.0f, s.power[i]));
    };
    if (a)
        for (std::size_t i = 1; i < a->power.size() && a->step * static_cast<double>(i) <= 20.0; ++i) {
            curve.ratio.push_back(a->step * static_cast<double>(i));
            curve.a.push_back(depth(*a, i));
            if (b && scene.compared->a != scene.compared->b)
                curve.b.push_back(i < b->power.size() ? depth(*b, i) : 0.0f);
        }
    return figure::beats_figure(curve, *f, state_name(scene, scene.compared->a),
                                state_name(scene, scene.compared->b),
                                predicted_of(scene.layout, view.lit_part));
}

/// Level over time and ratio, and the crank speed below it; the speed alone while the first is not there.
figure::Figure time_picture(const Scene& scene, const ViewState& view) {
    const auto id = recording_shown(scene, view);
    const auto* r = scene.job.recording(id);
    const auto* e = examined_of(scene, id, view.b);
    if (!r || !e) {
        figure::Figure empty;
        empty.caption = "This recording is not heard yet.";
        return empty;
    }
    auto speed = figure::speed_figure(e->summary.speed);
    const auto* map =
        scene.through_time && scene.through_time->recording == id ? scene.through_time.get() : nullptr;
    if (map && map->trouble.empty()) {
        auto both = figure::map_figure(map->map);
        both.panels.front().share = 2.4;
        for (auto& panel : speed.panels) {
            panel.x = both.panels.front().x;
            both.panels.push_back(std::move(panel));
        }
        speed = std::move(both);
    } else if (map) {
        speed.caption = map->trouble;
    }
    speed.keys = {{figure::Ink::text, r->state + ": " + r->file.substr(r->file.rfind('/') + 1), false}};
    return speed;
}

constexpr double narrow_drawing = 590.0;  // px at the theme's scale 1, below which names stand in a list

/// The drawing with as many names as there is room for; where it is to scale, the panel says so itself.
figure::LaidOut engine_laid_out(figure::Figure figure, figure::Size size, const Look& look) {
    ImguiMeasure measure(look);
    if (figure.caption == figure::Captions{}.from_front) figure.caption.clear();
    if (size.width < narrow_drawing * look.theme.scale) shorten_names(figure);
    auto laid = figure::lay_out(figure, size, look.theme, measure);
    if (laid.left_out == 0) return laid;
    shorten_names(figure);
    join_names(figure);
    return figure::lay_out(figure, size, look.theme, measure);
}

figure::Figure sound_picture(const Scene& scene, const ViewState& view) {
    if (!scene.compared || !scene.compared->trouble.empty()) return {};
    switch (view.tab) {
        case SoundTab::change:
            return comparison_picture(scene, view);
        case SoundTab::swelling:
            return beats_picture(scene, view);
        case SoundTab::time:
            return time_picture(scene, view);
    }
    return {};
}

}  // namespace

std::string recording_shown(const Scene& scene, const ViewState& view) {
    if (scene.job.recording(view.recording)) return view.recording;
    for (const auto& r : scene.job.recordings)
        if (r.state == state_name(scene, view.b)) return r.id;
    return "";
}

Lit lit_of(const Scene& scene, const ViewState& view) {
    Lit lit;
    if (!view.lit_part.empty()) lit.parts.insert(view.lit_part);
    const auto& id = view.lit_finding.empty() ? view.finding : view.lit_finding;
    if (const auto* f = finding_named(scene, id)) {
        lit.findings.insert(id);
        for (const auto& e : f->explained_by) lit.parts.insert(e.part);
    }
    if (!view.lit_part.empty() && scene.compared)
        for (const auto& f : scene.compared->comparison.findings)
            for (const auto& e : f.explained_by)
                if (e.part == view.lit_part) lit.findings.insert(f.id);
    return lit;
}

Drawn drawn_state(const Scene& scene, const ViewState& view) {
    std::vector<std::string> off;
    if (view.shown && *view.shown < scene.states.size())
        off = scene.states[*view.shown].off;
    else
        off.assign(view.next.off.begin(), view.next.off.end());
    return {expand_off(scene.layout, off), still_when_off(scene.layout, off)};
}

const figure::LaidOut& Pictures::engine(const Scene& scene, const Texts& texts, const ViewState& view,
                                        const Look& look, figure::Size size) {
    Key key{scene.serial, size.width, size.height, look.scale, look.theme.mode, {}, lit_of(scene, view).parts,
            {},           false,      {}};
    if (view.shown && *view.shown < scene.states.size())
        key.names = {scene.states[*view.shown].name, "a state"};
    else
        key.names = view.next.off;
    if (key == engine_.key) return engine_.laid;
    const auto drawn = drawn_state(scene, view);
    figure::EngineView how;
    how.off = drawn.off;
    how.still = drawn.still;
    how.suspicion = texts.suspicion;
    how.lit = key.lit;
    engine_.laid = engine_laid_out(figure::engine_figure(scene.layout, how), size, look);
    engine_.key = std::move(key);
    ++made_;
    return engine_.laid;
}

const figure::LaidOut& Pictures::draft(const ViewState& view, const Look& look, figure::Size size) {
    Key key{view.draft.changes, size.width, size.height, look.scale, look.theme.mode, {},
            {view.draft.part},  {},         false,       {}};
    if (key == draft_.key) return draft_.laid;
    figure::EngineView how;
    how.lit = key.lit;
    draft_.laid = engine_laid_out(figure::engine_figure(view.draft.layout, how), size, look);
    draft_.key = std::move(key);
    ++made_;
    return draft_.laid;
}

const figure::LaidOut& Pictures::sound(const Scene& scene, const ViewState& view, const Look& look,
                                       figure::Size size) {
    Key key{scene.serial,
            size.width,
            size.height,
            look.scale,
            look.theme.mode,
            {view.lit_part, view.finding, recording_shown(scene, view)},
            lit_of(scene, view).findings,
            view.tab,
            view.over_hz,
            view.range};
    if (key == sound_.key) return sound_.laid;
    ImguiMeasure measure(look);
    auto figure = sound_picture(scene, view);
    suit(figure, {size.width / look.theme.scale, size.height / look.theme.scale},
         view.tab == SoundTab::time ? Keep::first : Keep::last);
    sound_.laid = figure::lay_out(figure, size, look.theme, measure);
    sound_.key = std::move(key);
    ++made_;
    return sound_.laid;
}

}  // namespace cranknote::desk
