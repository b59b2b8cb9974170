#include "job/without_owner.hpp"

#include <glib.h>

#include <algorithm>
#include <filesystem>
#include <utility>
#include <vector>

#include "figure/utf8.hpp"
#include "layout/layout.hpp"

namespace cranknote::job {
namespace {

constexpr std::size_t shortest_name = 3;  // code points; "J." would take half of every text away

char32_t folded(char32_t c) { return static_cast<char32_t>(g_unichar_tolower(static_cast<gunichar>(c))); }

/// Texts with the personal ones taken out, whatever their capitals.
class Scrub {
  public:
    explicit Scrub(const Job& job) {
        for (const auto& text : {job.owner, job.who, job.registration, job.job_card}) {
            if (!text) continue;
            auto points = code_points(*text);
            std::ranges::transform(points, points.begin(), folded);
            if (points.size() >= shortest_name) personal_.push_back(std::move(points));
        }
        std::ranges::sort(personal_, {},
                          [](const auto& p) { return -static_cast<std::ptrdiff_t>(p.size()); });
    }
    void operator()(std::string& text) const {
        auto points = code_points(text);
        bool found = false;
        for (const auto& personal : personal_) found = take_out(points, personal) || found;
        if (found) text = utf8_of(points);
    }
    void operator()(std::optional<std::string>& text) const {
        if (text) (*this)(*text);
    }
    void operator()(std::vector<std::string>& texts) const {
        for (auto& text : texts) (*this)(text);
    }

  private:
    std::vector<std::u32string> personal_;  // longest first

    static bool take_out(std::u32string& points, const std::u32string& personal) {
        std::u32string rest;
        const auto same = [](char32_t a, char32_t b) { return folded(a) == b; };
        auto from = points.cbegin();
        for (;;) {
            const auto at = std::search(from, points.cend(), personal.begin(), personal.end(), same);
            rest.append(from, at);
            if (at == points.cend()) break;
            rest.push_back(U'…');
            from = at + static_cast<std::ptrdiff_t>(personal.size());
        }
        const bool found = rest.size() != points.size() || rest != points;
        points = std::move(rest);
        return found;
    }
};

void clear_card(Job& job) {
    job.title = job.vehicle = job.registration = job.mileage = job.job_card = job.owner = job.who =
        std::nullopt;
    job.unknown.clear();
    if (job.like) *job.like = Like{"", job.like->id, ""};
}

void clear_states(Job& job, const Scrub& scrub) {
    for (auto& s : job.states) {
        scrub(s.name);
        s.unknown.clear();
    }
}

void clear_recordings(Job& job, const Scrub& scrub, std::map<std::string, std::string>& files) {
    for (auto& r : job.recordings) {
        const auto ending = std::filesystem::path(r.file).extension().string();
        const auto named =
            files.emplace(r.file, "recordings/" + r.id + (ending.size() <= 6 ? ending : "")).first;
        r.file = named->second;
        scrub(r.state), scrub(r.placement), scrub(r.loads), scrub(r.weather), scrub(r.notes);
        r.unknown.clear();
    }
}

void clear_rest(Job& job, const Scrub& scrub) {
    for (auto& c : job.complaints) c.unknown.clear();
    for (auto& s : job.saw) {
        scrub(s.text);
        s.unknown.clear();
    }
    for (auto& r : job.readings) {
        scrub(r.what), scrub(r.unit);
        r.unknown.clear();
    }
}

}  // namespace

Anonymous without_owner(const Job& job) {
    Anonymous a{job, {}};
    const Scrub scrub(job);
    clear_card(a.job);
    clear_states(a.job, scrub);
    clear_recordings(a.job, scrub, a.files);
    clear_rest(a.job, scrub);
    if (job.layout) a.job.layout = to_toml(parse_layout(*job.layout, "layout.toml"));
    a.job.change = "packed without its owner";
    return a;
}

}  // namespace cranknote::job
