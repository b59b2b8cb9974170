#include "note/suspects_shown.hpp"

#include <algorithm>
#include <utility>

namespace cranknote {

namespace {

using Texts = std::vector<std::string>;

bool among(const Texts& texts, const std::string& text) {
    return std::find(texts.begin(), texts.end(), text) != texts.end();
}

Texts each_once(const Texts& texts) {
    Texts out;
    for (const auto& text : texts)
        if (!among(out, text)) out.push_back(text);
    return out;
}

Texts without(const Texts& texts, const Texts& those) {
    Texts out;
    for (const auto& text : texts)
        if (!among(those, text)) out.push_back(text);
    return out;
}

template <class Of>
Texts shared_by(const std::vector<const Suspect*>& group, Of of) {
    if (group.size() < 2) return {};
    auto shared = each_once(of(*group.front()));
    for (const auto* s : group) std::erase_if(shared, [&](const auto& text) { return !among(of(*s), text); });
    return shared;
}

}  // namespace

std::vector<const Suspect*> tied_group(const std::vector<Suspect>& suspects) {
    std::vector<const Suspect*> group;
    if (!suspects.empty()) group.push_back(&suspects.front());
    for (std::size_t i = 0; i < group.size(); ++i)
        for (const auto& s : suspects)
            if (among(group[i]->tied_with, s.cause) &&
                std::find(group.begin(), group.end(), &s) == group.end())
                group.push_back(&s);
    return group;
}

ShownSuspects shown_suspects(const std::vector<Suspect>& suspects, std::size_t most, double least) {
    ShownSuspects out;
    std::vector<const Suspect*> shown;
    for (const auto& s : suspects) {
        const bool worth = shown.empty() || s.probability >= least;
        if (worth && shown.size() < most)
            shown.push_back(&s);
        else
            out.rest += s.probability;
    }
    std::vector<const Suspect*> reasoned;
    for (const auto* s : shown)
        if (!s->evidence_for.empty() || !s->evidence_against.empty()) reasoned.push_back(s);
    auto& group = out.sharing;
    group = tied_group(suspects);
    std::erase_if(group,
                  [&](const auto* s) { return std::find(shown.begin(), shown.end(), s) == shown.end(); });
    if (group.size() < 2) group = reasoned;
    out.all_share = group.size() >= reasoned.size();
    out.shared_for = shared_by(group, [](const Suspect& s) -> const Texts& { return s.evidence_for; });
    out.shared_against =
        shared_by(group, [](const Suspect& s) -> const Texts& { return s.evidence_against; });
    std::vector<std::pair<std::string, std::string>> said;  // ties
    for (const auto* s : shown) {
        ShownSuspect one{s, each_once(s->evidence_for), each_once(s->evidence_against), {}};
        if (std::find(group.begin(), group.end(), s) != group.end()) {
            one.evidence_for = without(one.evidence_for, out.shared_for);
            one.evidence_against = without(one.evidence_against, out.shared_against);
        }
        for (const auto& other : s->tied_with) {
            if (std::find(said.begin(), said.end(), std::pair{other, s->cause}) != said.end()) continue;
            said.emplace_back(s->cause, other);
            one.tied_with.push_back(other);
        }
        out.each.push_back(std::move(one));
    }
    return out;
}

std::string shared_title(const ShownSuspects& shown, const Sentences& say) {
    if (shown.all_share && shown.sharing.size() > 2) return say(Say::shared_by_all);
    std::vector<std::string> names;
    for (const auto* s : shown.sharing) names.push_back(say.found(s->cause));
    return say(Say::shared_reasons, {{"list", listed(names, say)}});
}

}  // namespace cranknote
