#include "desk/write_note.hpp"

#include "audio/decode.hpp"
#include "job/version.hpp"
#include "note/clips.hpp"
#include "note/html.hpp"
#include "note/job_note.hpp"
#include "note/pdf.hpp"
#include "note/plain_text.hpp"
#include "note/save.hpp"

namespace cranknote::desk {

namespace {

constexpr Seconds longest_for_clips{60.0};
constexpr std::size_t text_columns = 72;  // fits a message without being broken again

struct Sound {
    std::vector<float> samples;
    SampleRate rate;
};

Sound sound_of(const job::EvidenceRecording& r) {
    const auto reading = read_stretch(r.file.string(), {r.from, r.to, longest_for_clips});
    return {loudest_channel(reading.recording), reading.recording.rate};
}

std::vector<Clip> clips_for(const JobResult& r) {
    const auto what = listening_of(r);
    if (!what) return {};
    const auto found = sound_of(r.evidence.recordings[what->found]),
               after = sound_of(r.evidence.recordings[what->after]);
    return clips_of({found.samples, found.rate, r.evidence.states.front().name},
                    {after.samples, after.rate, what->after_state}, what->bands, what->offset);
}

}  // namespace

std::vector<std::string> write_note(const std::filesystem::path& folder, const job::Job& job,
                                    const job::Analysis& analysis) {
    const auto result = result_of(analysis);
    const auto now = job::now();
    NoteWords words;
    words.created = job::to_iso(now);
    if (!job.when) words.date = job::to_local(now);
    words.program = "cranknote " + program_version();
    auto data = note_of_job(job, result, words);
    const auto without_clips = note_document(data);
    data.clips = clips_for(result);
    auto name = job::to_local(now);
    for (auto& c : name)
        if (c == ':') c = '.';
    const auto place = folder / "notes";
    std::filesystem::create_directories(place);
    const auto base = (place / ("note " + name)).string();
    save_note(base + ".html", html_of(note_document(data)), Existing::replace);
    save_note(base + ".pdf", pdf_of(without_clips), Existing::replace);
    save_note(base + ".txt", plain_text_of(without_clips, text_columns), Existing::replace);
    return {base + ".html", base + ".pdf", base + ".txt"};
}

}  // namespace cranknote::desk
