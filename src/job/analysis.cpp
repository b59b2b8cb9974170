#include "job/analysis.hpp"

#include <algorithm>
#include <cmath>

#include "audio/decode.hpp"
#include "figure/number_text.hpp"
#include "job/examine_file.hpp"
#include "job/portrait_cache.hpp"
#include "job/settle_together.hpp"
#include "signal/robust.hpp"
#include "speed/engine_settings.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

SpeedSettings settings_of(const EvidenceRecording& r, const Layout& layout) {
    auto s = speed_settings_of(layout.engine);
    s.tag = r.tag;
    return s;
}

/// Examined and kept, or taken from where it was kept.
std::shared_ptr<const Examined> examined(const EvidenceRecording& r, const SpeedSettings& settings,
                                         const Cache& cache, std::stop_token stop) {
    const auto key = portrait_key(r, settings);
    if (const auto bytes = cache.get(key))
        if (auto kept = from_bytes(*bytes)) {
            kept->summary.file = r.file.string();  // the folder may have moved
            return std::make_shared<Examined>(std::move(*kept));
        }
    std::optional<PickupChoice> pickup;
    if (r.pickup_channel) pickup = PickupChoice{r.pickup_channel, {}, {}};
    auto e = examine_file(r.file.string(), {r.from, r.to, longest_analysed}, settings, stop, pickup);
    cache.put(key, to_bytes(e));
    return std::make_shared<Examined>(std::move(e));
}

Listened listened(const EvidenceRecording& r, const SpeedSettings& settings, const Cache& cache,
                  std::stop_token stop) {
    Listened l{r.id, r.state, nullptr, ""};
    try {
        l.examined = examined(r, settings, cache, stop);
    } catch (const Error& e) {
        l.trouble = r.id + " cannot be used: " + e.what();
    }
    return l;
}

/// Recordings of one job help each other; those in which the speed was moved stay out of it.
void help_each_other(const Evidence& e, std::vector<Listened>& all, const Cache& cache,
                     std::stop_token stop) {
    std::vector<const Examined*> heard;
    for (std::size_t i = 0; i < all.size(); ++i)
        heard.push_back(speed_is_moved(e.states[e.recordings[i].state].with) ? nullptr
                                                                             : all[i].examined.get());
    auto settled = settled_together(heard, [&](std::size_t i, const SpeedTag& tag) {
        auto settings = settings_of(e.recordings[i], e.layout);
        settings.tag = tag;
        const auto again = listened(e.recordings[i], settings, cache, stop);
        return again.examined ? *again.examined : *all[i].examined;
    });
    for (std::size_t i = 0; i < all.size(); ++i)
        if (settled[i]) all[i].examined = std::make_shared<Examined>(std::move(*settled[i]));
}

std::vector<HeardTake> takes_of(const Evidence& e, const std::vector<Listened>& all) {
    std::vector<HeardTake> takes;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!all[i].examined) continue;
        const auto& r = e.recordings[i];
        takes.push_back({r.id,
                         r.state,
                         {&all[i].examined->portrait, all[i].examined->summary},
                         r.placement,
                         r.near,
                         r.cold});
    }
    return takes;
}

std::vector<Mark> marks_of(const Job& job) {
    std::vector<Mark> marks;
    for (const auto& c : job.complaints) {
        if (!c.ratio && !c.beat_ratio && !c.hz) continue;  // a name alone: of a result that is gone
        marks.push_back({c.id, c.ratio, c.beat_ratio, c.hz, c.comes == Comes::sometimes});
    }
    return marks;
}

Hands hands_of(const Evidence& e) {
    Hands hands;
    hands.worked_on = e.worked_on;
    for (const auto& s : e.saw) hands.saw.push_back({s.text, s.on, s.speaks_for});
    return hands;
}

/// What the written conditions of the recordings say against setting these two sides against each other.
std::vector<std::string> unlike_conditions(const Job& job, const StateComparison& c) {
    std::vector<std::string> all;
    for (const auto& a : c.a)
        for (const auto& b : c.b) {
            const auto *ra = job.recording(a), *rb = job.recording(b);
            if (!ra || !rb) continue;
            for (auto& why : unlike(*ra, *rb))
                if (std::find(all.begin(), all.end(), why) == all.end()) all.push_back(std::move(why));
        }
    return all;
}

/// Every comparison says what was unlike in it; so does the job, each thing once with the states' names.
void judge_conditions(const Job& job, Analysis& analysis) {
    auto& repair = analysis.job.repair;
    std::vector<std::pair<std::string, std::string>> said;  // a sentence, the names of its states
    for (auto& c : analysis.comparisons) {
        const auto& name = job.states[c.state].name;
        const auto why = unlike_conditions(job, c);
        for (const auto& sentence : why) {
            c.comparison.comparable.why.push_back("Unlike conditions: " + sentence);
            const auto at = std::find_if(said.begin(), said.end(),
                                         [&](const auto& one) { return one.first == sentence; });
            if (at == said.end())
                said.emplace_back(sentence, name);
            else
                at->second += "\u201d, \u201c" + name;
        }
        if (repair && name == repair->state) repair->why.insert(repair->why.end(), why.begin(), why.end());
    }
    for (const auto& [sentence, names] : said)
        analysis.remarks.push_back("As found and \u201c" + names +
                                   "\u201d were recorded under unlike conditions: " + sentence);
    if (repair) repair->conditions_alike = repair->why.empty();
}

std::vector<std::string> remarks_of(const Evidence& e, const Job& job, const std::vector<Listened>& all) {
    std::vector<std::string> remarks;
    for (const auto& l : all)
        if (!l.trouble.empty()) remarks.push_back(l.trouble);
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!all[i].examined) continue;
        for (const auto& q : all[i].examined->summary.quality)
            if (q.severity == Severity::unusable) remarks.push_back(all[i].id + " is left out: " + q.text);
    }
    for (const auto& c : job.complaints)
        if (!c.ratio && !c.beat_ratio && !c.hz)
            remarks.push_back("Complaint " + std::to_string(c.id) +
                              " names a finding only, not where it is: mark it again.");
    for (std::size_t k = 0; k < e.states.size(); ++k)
        if (std::none_of(e.recordings.begin(), e.recordings.end(),
                         [&](const EvidenceRecording& r) { return r.state == k; }))
            remarks.push_back("The state \u201c" + e.states[k].name + "\u201d has no recording.");
    return remarks;
}

}  // namespace

Listened listen(const EvidenceRecording& r, const Layout& layout, const Cache& cache, std::stop_token stop) {
    return listened(r, settings_of(r, layout), cache, stop);
}

Analysis analysis_of(Evidence evidence, const Job& job, std::vector<Listened> recordings) {
    Analysis a;
    a.evidence = std::move(evidence);
    a.recordings = std::move(recordings);
    const auto& e = a.evidence;
    a.job.states = e.states;
    a.job.hands = hands_of(e);
    const auto takes = takes_of(e, a.recordings);
    auto t = through_states(e.layout, e.states, takes, marks_of(job), a.job.hands);
    a.comparisons = std::move(t.comparisons);
    a.as_found = std::move(t.as_found);
    a.job.complaints = std::move(t.complaints);
    a.job.repair = std::move(t.repair);
    a.remarks = remarks_of(e, job, a.recordings);
    judge_conditions(job, a);
    a.verdict = suspects_of_job(e.layout, a.job);
    if (takes.empty()) {
        // Where nothing was heard nothing stands out, which must not be taken for an all-clear.
        a.verdict.conclusion = Conclusion::open;
        a.verdict.stop = {};
        a.remarks.push_back("No recording can be judged yet.");
    }
    return a;
}

Analysis analyse(const fs::path& folder, const Job& job, const AnalysisProgress& progress,
                 std::stop_token stop) {
    auto evidence = evidence_of(folder, job);
    const Cache cache(folder / "cache");
    std::vector<Listened> all;
    const auto n = static_cast<double>(evidence.recordings.size());
    const auto said = [&](double share, const std::string& what) {
        if (progress) progress(share, what);
        if (stop.stop_requested()) throw Stopped("stopped");
    };
    for (const auto& r : evidence.recordings) {
        said(.9 * static_cast<double>(all.size()) / n, "listening to " + r.id);
        all.push_back(listen(r, evidence.layout, cache, stop));
    }
    said(.9, "working it out");
    help_each_other(evidence, all, cache, stop);
    cache.trim();
    return analysis_of(std::move(evidence), job, std::move(all));
}

}  // namespace cranknote::job
