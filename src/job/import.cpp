#include "job/import.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <system_error>

#include "audio/decode.hpp"
#include "job/examine_file.hpp"
#include "job/import_names.hpp"
#include "speed/engine_settings.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

// A container's clock that was never set says 1904 or 1970: no phone recorded before this.
constexpr Moment first_phone = std::chrono::sys_days{std::chrono::year{2000} / 1 / 1};

bool has_sound_ending(const fs::path& file) {
    constexpr std::array<std::string_view, 24> endings{
        ".wav",  ".flac", ".ogg", ".oga", ".opus", ".mp3", ".m4a", ".aac", ".mp4", ".mov", ".3gp",  ".amr",
        ".aiff", ".aif",  ".caf", ".au",  ".wma",  ".mka", ".mkv", ".avi", ".m4v", ".3g2", ".webm", ".w64"};
    auto ending = file.extension().string();
    std::ranges::transform(ending, ending.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return std::ranges::find(endings, ending) != endings.end();
}

/// Every plain file, hidden ones and links left out.
std::vector<fs::path> files_below(const fs::path& folder, bool& all) {
    std::error_code ec;
    if (!fs::is_directory(folder, ec)) {
        const bool there = fs::exists(folder, ec);
        throw Error(there ? "this is not a folder" : "there is no such folder", folder.string(), "",
                    Error::Kind::could_not);
    }
    std::vector<fs::path> files;
    const auto options = fs::directory_options::skip_permission_denied;
    fs::recursive_directory_iterator walk(folder, options, ec);
    if (ec) throw Error(trouble_of(ec.value()), folder.string(), "");
    for (; walk != fs::recursive_directory_iterator(); walk.increment(ec)) {
        if (ec) break;
        if (walk->path().filename().string().starts_with('.')) {
            walk.disable_recursion_pending();
            continue;
        }
        if (!facts_of(walk->path())) continue;
        if (files.size() == most_files_looked_at) {
            all = false;
            break;
        }
        files.push_back(walk->path());
    }
    std::ranges::sort(files);
    return files;
}

/// Begins at the container's time, or as long before the file's time as it is long.
void tell_time(FoundSound& f, const SoundInfo& info) {
    const auto facts = facts_of(f.file);
    const auto long_s =
        std::chrono::seconds{static_cast<std::int64_t>(info.duration.value_or(Seconds{0}).value())};
    f.began = facts ? facts->modified - long_s : Moment{};
    if (!info.created) return;
    const auto said = moment_from(*info.created);
    if (!said || *said < first_phone) return;
    f.began = *said;
    f.time_from_container = true;
}

bool is_lossy(const std::string& codec) {
    return codec != "pcm" && codec != "float" && codec != "flac" && codec != "alac" && codec != "adpcm";
}

/// Absent where it is no sound file at all.
std::optional<FoundSound> found_in(const fs::path& file, const Layout* layout) {
    FoundSound f;
    f.file = file;
    try {
        const auto info = SoundFile::open(file.string()).info();
        f.duration = info.duration;
        tell_time(f, info);
        f.sha256 = sha256_of_file(file).value_or("");
        const auto settings = layout != nullptr ? speed_settings_of(layout->engine) : SpeedSettings{};
        const auto examined =
            examine_file(file.string(), {std::nullopt, std::nullopt, longest_analysed}, settings);
        f.quality = examined.summary.quality;
        if (!f.duration) f.duration = examined.summary.duration;
        f.usable =
            std::ranges::none_of(f.quality, [](const auto& q) { return q.severity == Severity::unusable; });
        f.voice_message =
            std::ranges::any_of(f.quality, [](const auto& q) { return q.code == QualityCode::messenger; }) ||
            (is_lossy(info.codec) && is_voice_message_name(file.stem().string()));
    } catch (const Error& e) {
        if (!has_sound_ending(file)) return std::nullopt;
        f.trouble = e.trouble;
        if (const auto facts = facts_of(file)) f.began = facts->modified;
    }
    return f;
}

void tell_copies(Found& found, const Job* job) {
    std::map<std::string, std::string> known;
    if (job != nullptr)
        for (const auto& r : job->recordings) known.emplace(r.sha256, r.id);
    for (auto& f : found.sounds) {
        if (f.sha256.empty()) continue;
        const auto [there, is_new] = known.emplace(f.sha256, f.file.filename().string());
        if (!is_new) f.same_as = there->second;
    }
}

/// Why a file is not for adding, whatever its state; empty: it is.
std::string unfit(const FoundSound& f) {
    if (!f.trouble.empty()) return f.trouble;
    if (!f.same_as.empty()) return "the same as " + f.same_as;
    if (f.voice_message)
        return "a voice message: re-encoded for speech. Ask for the file itself, sent as a file or document";
    if (!f.usable) return "not usable";
    return "";
}

/// What was decided so far, for the next file.
struct Course {
    const Job* job;
    const Layout* layout;
    std::map<std::string, Addition> states;  ///< as they were first suggested
    std::size_t count = 0;
    bool first_is_named = false;  ///< some file is called "as found": no other need stand in for it
    const FoundSound* last = nullptr;
    std::optional<Suggestion> last_suggestion;
};

bool follows_soon(const Course& c, const FoundSound& f) {
    if (c.last == nullptr || c.last->time_from_container != f.time_from_container) return false;
    const auto ended =
        c.last->began +
        std::chrono::seconds{static_cast<std::int64_t>(c.last->duration.value_or(Seconds{0}).value())};
    const auto pause = std::chrono::duration<double>(f.began - ended).count();
    return pause <= same_state_within.value();
}

/// A state keeps what is off and what it is recorded with.
void keep_to_state(const Course& c, Addition& a) {
    const State* there = c.job != nullptr ? c.job->state(a.state) : nullptr;
    if (there != nullptr) {
        a.off = there->off;
        a.with = there->with;
        a.repaired = there->repaired;
        a.repaired_what = there->repaired_what;
    } else if (const auto earlier = c.states.find(a.state); earlier != c.states.end()) {
        a.off = earlier->second.off;
        a.with = earlier->second.with;
        a.repaired = earlier->second.repaired;
    }
}

Suggestion suggestion_for(const Course& c, const FoundSound& f) {
    const auto stem = f.file.stem().string();
    const bool telling = is_telling(stem) && !is_voice_message_name(stem);
    auto told = telling ? told_by(stem, c.layout) : Told{};
    Suggestion s{std::move(told.addition), ""};
    if (c.count == 0 && telling && s.addition.state != first_state && c.first_is_named) {
        s.why_not = "a job begins with \"as found\", and this was made before it";
    } else if (c.count == 0 && (!telling || s.addition.state != first_state)) {
        // Whatever it is called: a job begins with the engine as it came.
        const auto coolant = s.addition.recording.coolant;
        if (telling && (!s.addition.off.empty() || !told.off_known || s.addition.repaired))
            s.why_not = "a job begins with the engine as found, and this seems to be another state";
        s.addition = {};
        s.addition.state = first_state;
        s.addition.recording.coolant = coolant;
    } else if (!telling && follows_soon(c, f)) {
        s = *c.last_suggestion;
        s.addition.recording = {};
    } else if (!telling) {
        s.addition.state = "state " + std::to_string(c.count + 1);
        s.why_not = "nobody said what was off";
    } else if (!told.off_known) {
        s.why_not = c.layout != nullptr
                        ? "its name says that something was off, but not by a name of the layout"
                        : "which of the layout's names is off is known with a job";
    }
    keep_to_state(c, s.addition);
    return s;
}

}  // namespace

std::optional<Found> look_through(const fs::path& folder, const Job* job, const Layout* layout,
                                  const Progress& progress) {
    Found found;
    const auto files = files_below(folder, found.all);
    for (std::size_t i = 0; i < files.size(); ++i) {
        if (progress && !progress(static_cast<double>(i) / static_cast<double>(files.size())))
            return std::nullopt;
        if (auto f = found_in(files[i], layout))
            found.sounds.push_back(*std::move(f));
        else
            ++found.others;
    }
    std::ranges::stable_sort(found.sounds, {}, &FoundSound::began);
    tell_copies(found, job);
    return found;
}

std::vector<Suggestion> suggest_states(const Found& found, const Job* job, const Layout* layout) {
    Course c{job, layout, {}, job == nullptr ? 0 : job->states.size(), false, nullptr, std::nullopt};
    c.first_is_named = std::ranges::any_of(found.sounds, [&](const FoundSound& f) {
        return unfit(f).empty() && told_by(f.file.stem().string(), layout).addition.state == first_state;
    });
    std::vector<Suggestion> all;
    for (const auto& f : found.sounds) {
        if (const auto why = unfit(f); !why.empty()) {
            all.push_back({{}, why});
            continue;
        }
        auto s = suggestion_for(c, f);
        if (f.time_from_container) s.addition.recording.at = f.began;
        const bool in_job = job != nullptr && job->state(s.addition.state) != nullptr;
        const bool left_out = !s.why_not.empty() && (c.count == 0 || s.addition.state == first_state);
        if (!in_job && !left_out && c.states.emplace(s.addition.state, s.addition).second) ++c.count;
        c.last = &f;
        c.last_suggestion = s;
        all.push_back(std::move(s));
    }
    return all;
}

}  // namespace cranknote::job
