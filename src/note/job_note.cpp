#include "note/job_note.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "figure/number_text.hpp"
#include "note/note_parts.hpp"
#include "note/suspects_shown.hpp"
#include "note/words.hpp"

namespace cranknote {

namespace {

/// Adds `text` unless it is empty or there already.
void add_once(std::vector<std::string>& list, std::string text) {
    if (!text.empty() && std::find(list.begin(), list.end(), text) == list.end())
        list.push_back(std::move(text));
}

std::string joined(const std::vector<std::string>& items) {
    std::string out;
    for (const auto& item : items) out += (out.empty() ? "" : ", ") + item;
    return out;
}

std::string coolant_text(const job::Coolant& coolant, System system, const Sentences& say) {
    if (const auto* felt = std::get_if<job::Warmth>(&coolant))
        return say(*felt == job::Warmth::cold ? Say::cold : Say::warm);
    const auto v = shown(std::get<job::Celsius>(coolant).value(), "°C", system);
    return say(Say::condition_coolant, {{"value", number_text(v.value, 0) + "\u00a0" + v.unit}});
}

class Maker {
  public:
    Maker(const job::Job& job, const JobResult& result, const NoteWords& words, const Sentences& say)
        : job_(job), result_(result), words_(words), say_(say) {}

    NoteData make() {
        head();
        states();
        findings();
        d_.done = done();
        d_.cautions = cautions();
        d_.not_known = not_known_here();
        readings();
        method();
        return std::move(d_);
    }

  private:
    void head() {
        d_.title = job_.title.value_or(job_.vehicle.value_or(result_.evidence.layout.name));
        const auto fact = [&](Say label, const std::optional<std::string>& value) {
            if (value) d_.facts.emplace_back(say_(label), *value);
        };
        fact(Say::fact_vehicle, job_.vehicle);
        fact(Say::fact_registration, job_.registration);
        fact(Say::fact_mileage, job_.mileage);
        fact(Say::fact_engine, job_.engine_code);
        fact(Say::fact_job_card, job_.job_card);
        fact(Say::fact_owner, job_.owner);
        d_.by = job_.who.value_or("");
        d_.shop = words_.shop;
        d_.date = !words_.date.empty() ? words_.date : job_.when ? job::to_local(*job_.when) : "";
        d_.created = words_.created;
        d_.program = words_.program;
        d_.complaint = words_.complaint;
        for (const auto& c : job_.complaints) {
            if (c.comes == job::Comes::sometimes) add_sentence(say_(Say::comes_sometimes));
            if (!c.when.empty()) add_sentence(say_(Say::comes_when, {{"list", listed(c.when, say_)}}));
        }
        d_.worked_on = job_.worked_on;
        d_.layout = result_.evidence.layout;
        if (!job_.states.empty()) d_.conditions = conditions_of(job_.states.front().name);
    }

    void add_sentence(const std::string& sentence) {
        if (d_.complaint.find(sentence) == std::string::npos)
            d_.complaint += (d_.complaint.empty() ? "" : " ") + sentence;
    }

    /// What was written down of a state's recordings, each thing once.
    [[nodiscard]] std::string conditions_of(const std::string& state) const {
        std::vector<std::string> words;
        for (const auto& r : job_.recordings) {
            if (r.state != state) continue;
            if (r.coolant) add_once(words, coolant_text(*r.coolant, words_.system, say_));
            if (r.since_start)
                add_once(words, say_(Say::condition_since,
                                     {{"time", short_number_text(r.since_start->value(), 3) + "\u00a0s"}}));
            if (!r.loads.empty())
                add_once(words, say_(Say::condition_loads, {{"list", listed(r.loads, say_)}}));
            if (r.near) add_once(words, say_(Say::condition_near, {{"near", *r.near}}));
            add_once(words, r.weather.value_or(""));
            add_once(words, r.notes.value_or(""));
        }
        return joined(words);
    }

    [[nodiscard]] std::string time_of(const std::string& state) const {
        std::optional<job::When> first;
        for (const auto& r : job_.recordings)
            if (r.state == state && r.at && (!first || job::surely_before(*r.at, *first))) first = r.at;
        return first ? job::to_local(*first) : "";
    }

    void states() {
        const auto& evidence = result_.evidence;
        for (std::size_t i = 0; i < evidence.states.size(); ++i) {
            NoteState s{evidence.states[i],
                        {},
                        conditions_of(evidence.states[i].name),
                        time_of(evidence.states[i].name)};
            for (std::size_t k = 0; k < evidence.recordings.size(); ++k)
                if (evidence.recordings[k].state == i && k < result_.recordings.size() &&
                    result_.recordings[k].summary) {
                    s.recordings.push_back(*result_.recordings[k].summary);
                    s.recordings.back().file = evidence.recordings[k].file.filename().string();
                }
            d_.states.push_back(std::move(s));
        }
    }

    void findings() {
        d_.complaints = result_.verdict.complaints;
        d_.guilty = result_.verdict.guilty;
        d_.conclusion = result_.verdict.conclusion;
        d_.repair = result_.verdict.repair;
        d_.stop = result_.verdict.stop;
        d_.next_steps = result_.verdict.next_steps;
        for (const auto& s : result_.evidence.saw) d_.saw.push_back({s.text, s.on, s.speaks_for});
        const auto at = telling_pair(result_);
        if (!at) return;
        const auto& pair = result_.pairs[*at];
        d_.comparison = pair.comparison;
        d_.side_a = d_.states.front().state.name;
        d_.side_b = d_.states[pair.state].state.name;
        if (d_.repair && d_.repair->state != d_.side_b) d_.repair_comparison = result_.repair;
    }

    [[nodiscard]] std::vector<std::string> done() const {
        if (!words_.done.empty()) return words_.done;
        std::vector<std::string> list;
        for (const auto& s : job_.states) {
            if (!s.repaired) continue;
            add_once(list, s.repaired_what.empty() ? say_(Say::set_right_something, {{"state", s.name}})
                                                   : say_(Say::set_right, {{"what", s.repaired_what}}));
        }
        return list;
    }

    [[nodiscard]] std::vector<std::string> cautions() const {
        std::vector<std::string> list;
        for (const auto& s : result_.evidence.states)
            for (const auto& name : s.off)
                if (const auto* pull = d_.layout->pull(name))
                    for (const auto& caution : pull->cautions)
                        add_once(list, say_(Say::pull_caution, {{"pull", pull->name}, {"caution", caution}}));
        const bool accused = d_.conclusion == Conclusion::named || d_.conclusion == Conclusion::tie;
        if (accused && !d_.repair) list.push_back(say_(Say::caution_listen));
        return list;
    }

    [[nodiscard]] std::vector<std::string> not_known_here() const {
        std::vector<std::string> list;
        for (const auto& c : d_.complaints) {
            std::vector<std::string> states;
            for (std::size_t i = 1; i < c.by_state.size(); ++i)
                if (c.by_state[i].verdict == Verdict::cannot_tell)
                    states.push_back(say_(Say::quoted, {{"name", c.by_state[i].state}}));
            if (!states.empty())
                list.push_back(note_parts::numbered(
                    d_, c.id, say_(Say::unknown_states, {{"states", listed(states, say_)}}), say_));
        }
        for (const auto& c : d_.complaints)
            if (c.conclusion == Conclusion::tie) add_once(list, which_of_tied(c.suspects));
        if (d_.comparison && !d_.comparison->spread.measured) list.push_back(say_(Say::unknown_no_repeat));
        if (!d_.repair)
            list.push_back(say_(Say::unknown_no_repair));
        else if (!d_.repair->conditions_alike)
            list.push_back(say_(Say::unknown_unlike));
        for (std::size_t i = 0; i < result_.recordings.size(); ++i)
            if (!result_.recordings[i].summary)
                list.push_back(say_(Say::unknown_read,
                                    {{"file", result_.evidence.recordings[i].file.filename().string()},
                                     {"trouble", say_.found(result_.recordings[i].trouble)}}));
        for (const auto& remark : result_.remarks) add_once(list, say_.found(remark));
        return list;
    }

    /// The causes are named among what was found; here only what would part them.
    [[nodiscard]] std::string which_of_tied(const std::vector<Suspect>& suspects) const {
        std::vector<std::string> tied;
        for (const auto* s : tied_group(suspects)) tied.push_back(say_.found(s->cause));
        if (tied.size() < 2) return "";
        auto text = say_(Say::unknown_tie, {{"list", listed(tied, say_)}});
        if (const auto& step = suspects.front().separated_by; !step.empty())
            text += " " + say_(Say::unknown_tie_step, {{"step", check_words(step, say_)}});
        return text;
    }

    void readings() {
        for (const auto& r : job_.readings) {
            NoteReading reading{r.what, r.value, r.unit.value_or(""), r.target, r.tolerance, ""};
            if (const auto* recording = r.recording ? job_.recording(*r.recording) : nullptr)
                reading.when = recording->state;
            else if (r.at)
                reading.when = job::to_local(*r.at);
            d_.readings.push_back(std::move(reading));
        }
    }

    void method() {
        if (const auto at = telling_pair(result_))
            d_.settings =
                method_of(result_.pairs[*at].false_discovery, result_.pairs[*at].same_placement, say_);
        std::set<std::string> said;
        for (const auto& r : job_.recordings)
            if (said.insert(r.file).second)
                d_.sources.push_back({r.file.substr(r.file.rfind('/') + 1), r.sha256});
    }

    const job::Job& job_;
    const JobResult& result_;
    const NoteWords& words_;
    const Sentences& say_;
    NoteData d_;
};

/// How far a state took the complaint away, dB; a "gone" counts above all that is only weaker.
double drop_of(const ComplaintVerdict& c, const std::string& state) {
    double found = 0.0, here = 0.0, bonus = 0.0;
    bool known = false;
    for (const auto& s : c.by_state) {
        if (&s == &c.by_state.front() && s.level) found = s.level->value();
        if (s.state != state) continue;
        known = true;
        here = s.level ? s.level->value() : found;
        bonus = s.verdict == Verdict::gone ? 100.0 : s.verdict == Verdict::weaker ? 50.0 : 0.0;
    }
    return known ? found - here + bonus : 0.0;
}

/// The longest recording of a state that was not held near a part.
std::optional<std::size_t> best_recording(const JobResult& result, std::size_t state) {
    std::optional<std::size_t> best;
    double longest = 0.0;
    for (std::size_t i = 0; i < std::min(result.recordings.size(), result.evidence.recordings.size()); ++i) {
        const auto& r = result.evidence.recordings[i];
        const auto& summary = result.recordings[i].summary;
        if (r.state != state || r.near || !summary) continue;
        const double length = (summary->used.second - summary->used.first).value();
        if (length > longest) best = i, longest = length;
    }
    return best;
}

}  // namespace

JobResult result_of(const job::Analysis& analysis) {
    JobResult result;
    result.evidence = analysis.evidence;
    for (const auto& listened : analysis.recordings)
        result.recordings.push_back(
            {listened.examined ? std::optional(listened.examined->summary) : std::nullopt, listened.trouble});
    for (const auto& c : analysis.comparisons)
        result.pairs.push_back({c.state, c.same_placement, c.false_discovery, c.comparison});
    if (analysis.job.repair) result.repair = analysis.job.repair->comparison;
    result.verdict = analysis.verdict;
    result.remarks = analysis.remarks;
    return result;
}

NoteData note_of_job(const job::Job& job, const JobResult& result, const NoteWords& words,
                     const Sentences& say) {
    return Maker(job, result, words, say).make();
}

std::optional<std::size_t> telling_pair(const JobResult& result) {
    if (result.pairs.empty()) return std::nullopt;
    std::size_t best = 0;
    double most = -1e9;
    for (std::size_t i = 0; i < result.pairs.size(); ++i) {
        const auto& state = result.evidence.states[result.pairs[i].state];
        double worth = state.repaired ? -25.0 : 0.0;  // a pull says which part; a repair is shown besides
        if (!result.verdict.complaints.empty())
            worth += drop_of(result.verdict.complaints.front(), state.name);
        if (worth > most) best = i, most = worth;
    }
    return best;
}

std::optional<Listening> listening_of(const JobResult& result) {
    constexpr std::size_t most_bands_heard = 3;
    if (result.pairs.empty()) return std::nullopt;
    // After the repair if there was one, else the state that tells the most.
    auto at = *telling_pair(result);
    if (result.verdict.repair)
        for (std::size_t i = 0; i < result.pairs.size(); ++i)
            if (result.evidence.states[result.pairs[i].state].name == result.verdict.repair->state) at = i;
    const auto& pair = result.pairs[at];
    const auto found = best_recording(result, 0), after = best_recording(result, pair.state);
    if (!found || !after) return std::nullopt;
    Listening l{*found, *after, result.evidence.states[pair.state].name, {}, pair.comparison.level_offset};
    for (const auto& c : result.verdict.complaints)
        if (l.bands.size() < most_bands_heard && c.finding.low < c.finding.high)
            l.bands.emplace_back(c.finding.low, c.finding.high);
    return l;
}

}  // namespace cranknote
