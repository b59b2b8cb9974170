#include "cli/pair_note.hpp"

#include <algorithm>
#include <filesystem>
#include <set>

#include "audio/decode.hpp"
#include "job/disk.hpp"
#include "job/moment.hpp"
#include "job/version.hpp"
#include "note/html.hpp"
#include "note/note.hpp"
#include "note/pdf.hpp"
#include "note/plain_text.hpp"
#include "units/error.hpp"

namespace cranknote::cli {

namespace {

constexpr std::size_t text_columns = 72;  // fits a message without being broken again
constexpr Seconds longest{60.0};          // of a recording in which a clip is looked for

bool ends_in(const std::string& path, std::string_view ending) { return path.ends_with(ending); }

/// The band of the gravest change that is no expected one, if any: what is to be heard alone. Small
/// loudspeakers carry nothing below some 300 Hz (common practice): a change above it is taken first.
std::vector<std::pair<Hertz, Hertz>> telling_band(const Comparison& c) {
    constexpr Hertz heard_from{300.0};
    const Finding* best = nullptr;
    for (const auto& f : c.findings) {
        if (!f.flagged || f.expected || !(f.low < f.high)) continue;
        if (!best || (best->high < heard_from && f.high >= heard_from)) best = &f;
    }
    if (!best) return {};
    return {{best->low, best->high}};
}

/// The used stretch of a side's first recording, one channel.
struct PairSound {
    std::vector<float> samples;
    SampleRate rate;
};
PairSound sound_of(const std::vector<RecordingSummary>& side) {
    if (side.empty()) return {};
    const auto& r = side.front();
    const auto reading = read_stretch(r.file, {r.used.first, r.used.second, longest});
    return {loudest_channel(reading.recording), reading.recording.rate};
}

std::vector<Clip> clips_for(const Comparison& c, const State& a, const State& b, const Sentences& say) {
    const auto sa = sound_of(c.a), sb = sound_of(c.b);
    return clips_of({sa.samples, sa.rate, a.name}, {sb.samples, sb.rate, b.name}, telling_band(c),
                    c.level_offset, say);
}

/// Every recording once, with its hash.
std::vector<NoteSource> sources_of(const Comparison& c) {
    std::vector<NoteSource> sources;
    std::set<std::string> said;
    for (const auto* side : {&c.a, &c.b})
        for (const auto& r : *side)
            if (said.insert(r.file).second)
                sources.push_back({std::filesystem::path(r.file).filename().string(),
                                   job::sha256_of_file(r.file).value_or("")});
    return sources;
}

std::string bytes_of(const Document& document, const std::string& path) {
    if (ends_in(path, ".pdf")) return pdf_of(document);
    if (ends_in(path, ".txt")) return plain_text_of(document, text_columns);
    return html_of(document);
}

}  // namespace

void check_note_name(const std::string& path, Existing existing) {
    if (!ends_in(path, ".html") && !ends_in(path, ".pdf") && !ends_in(path, ".txt"))
        throw Error("notes are written as .html, .pdf or .txt", path, "let the name end so",
                    Error::Kind::wrong_call);
    check_free(path, existing);
}

void write_pair_note(const PairResult& r, const std::string& path, Existing existing, const Sentences& say) {
    auto data = note_of_pair(r.comparison, r.suspects, r.conclusion, &r.layout, r.a, r.b, say);
    const auto now = job::now();
    data.created = job::to_iso(now);
    data.date = job::to_local(now);
    data.program = "cranknote " + program_version();
    data.settings = method_of(r.false_discovery, r.same_placement, say);
    data.sources = sources_of(r.comparison);
    for (auto& state : data.states)
        for (auto& recording : state.recordings)
            recording.file = std::filesystem::path(recording.file).filename().string();
    if (ends_in(path, ".html")) data.clips = clips_for(r.comparison, r.a, r.b, say);
    save_note(path, bytes_of(note_document(data, {say, System::metric}), path), existing);
}

}  // namespace cranknote::cli
