#include <filesystem>
#include <memory>
#include <ostream>

#include "audio/decode.hpp"
#include "cli/commands.hpp"
#include "cli/language.hpp"
#include "cli/values.hpp"
#include "cli/write_leaves.hpp"
#include "figure/cairo_painter.hpp"
#include "job/version.hpp"
#include "note/html.hpp"
#include "note/job_note.hpp"
#include "note/numbers.hpp"
#include "note/pdf.hpp"
#include "note/plain_text.hpp"
#include "units/error.hpp"

namespace cranknote::cli {
namespace {

constexpr std::size_t text_columns = 72;  // fits a message without being broken again
constexpr double figure_width = 960.0, figure_scale = 2.0;
constexpr Seconds longest_heard{60.0};  // of a recording in which a clip is looked for

struct NoteOptions {
    std::string job, out, name, complaint, shop;
    LanguageOptions language;
    std::vector<std::string> done;
    bool html = false, pdf = false, text = false, csv = false, figures = false, letter = false;
    bool replace = false, as_json = false, list_sentences = false;
};

ClipSide side_of(const job::EvidenceRecording& r, std::vector<float>& kept, std::string state) {
    const auto reading = read_stretch(r.file.string(), {r.from, r.to, longest_heard});
    kept = loudest_channel(reading.recording);
    return {kept, reading.recording.rate, std::move(state)};
}

std::vector<Clip> clips_for(const JobResult& result, const Sentences& say) {
    const auto listening = listening_of(result);
    if (!listening) return {};
    const auto& recordings = result.evidence.recordings;
    std::vector<float> found, after;
    const auto a = side_of(recordings[listening->found], found, result.evidence.states.front().name);
    const auto b = side_of(recordings[listening->after], after, listening->after_state);
    return clips_of(a, b, listening->bands, listening->offset, say);
}

void add_figures(std::vector<Leaf>& leaves, const Document& document) {
    for (const auto& block : document.blocks)
        if (const auto* p = std::get_if<document::Picture>(&block); p && !p->name.empty()) {
            figure::Theme theme;
            leaves.push_back({"-" + p->name + ".png",
                              figure::png_of(p->figure, {figure_width, 0.0}, theme, figure_scale)});
        }
}

/// The numbers' words stay English, whatever the note's language.
std::vector<Leaf> leaves_of(const NoteOptions& o, const NoteData& data, const NoteData& in_english,
                            const NoteSettings& how) {
    const auto document = note_document(data, how);
    std::vector<Leaf> leaves;
    if (o.html) leaves.push_back({".html", html_of(document)});
    if (o.pdf) leaves.push_back({".pdf", pdf_of(document, o.letter ? Paper::letter : Paper::a4)});
    if (o.text) leaves.push_back({".txt", plain_text_of(document, text_columns)});
    if (o.csv) {
        leaves.push_back({".csv", csv_of(in_english)});
        leaves.push_back({".json", text_of(note_json(in_english))});
    }
    if (o.figures) add_figures(leaves, document);
    return leaves;
}

void run(NoteOptions o, Streams s) {
    if (o.list_sentences) {
        s.out << sentences_of(o.language).to_toml();
        return;
    }
    if (o.job.empty()) throw Error("which job?", "note", "give the job's folder", Error::Kind::wrong_call);
    const auto out = o.out.empty() ? std::filesystem::path(o.job) / "notes" : std::filesystem::path(o.out);
    const LeafPlace place{out, "repair-note", o.name, o.replace};
    check_place(place);
    const NoteSettings how{sentences_of(o.language), system_of(o.language)};
    const bool any = o.html || o.pdf || o.text || o.csv || o.figures;
    if (!any && !o.as_json) o.html = o.pdf = true;
    const auto folder = open_to_read(o.job, s);
    ProgressLine progress(s, "working it out");
    const auto analysis =
        job::analyse(folder.path(), folder.job(), [&](double share, const std::string&) { progress(share); });
    const auto result = result_of(analysis);
    NoteWords words{o.complaint, o.done, System::metric, o.shop, "", "", "cranknote " + program_version()};
    const auto now = job::now();
    words.created = job::to_iso(now);
    if (!folder.job().when) words.date = job::to_local(now);
    const auto english_words = words;
    words.system = how.system;
    auto data = note_of_job(folder.job(), result, words, how.say);
    const auto in_english = o.language.sentences.empty() && how.system == System::metric
                                ? data
                                : note_of_job(folder.job(), result, english_words);
    if (o.html) data.clips = clips_for(result, how.say);
    for (const auto& file : write_leaves(place, leaves_of(o, data, in_english, how)))
        if (!o.as_json) print_line(s.out, file.string());
    if (o.as_json) s.out << text_of(note_json(in_english));
}

}  // namespace

void add_note(CLI::App& app, Streams s) {
    auto* c = app.add_subcommand("note", "Write the repair note of a job");
    auto o = std::make_shared<NoteOptions>();
    c->add_option("JOB", o->job, "The job's folder");
    c->add_flag("--html", o->html,
                "One page in one file; its sound clips play (with --pdf: the usual forms)");
    c->add_flag("--pdf", o->pdf, "To print, A4");
    c->add_flag("--letter", o->letter, "The PDF on US Letter");
    c->add_flag("--text", o->text, "Plain text to paste");
    c->add_flag("--csv", o->csv, "The numbers, as CSV and as JSON");
    c->add_flag("--figures", o->figures, "Every figure as PNG");
    c->add_option("--out", o->out, "Folder to write into; without it the job's notes/");
    c->add_option("--name", o->name, "What the files are called, without their ending");
    c->add_flag("--replace", o->replace, "Write over notes of that name");
    c->add_option("--complaint", o->complaint, "The complaint in the driver's words");
    add_many(*c, "--done", o->done, "What was done, a line each");
    c->add_option("--shop", o->shop, "The workshop, as it is to stand on the note");
    add_language_options(*c, o->language);
    c->add_flag("--list-sentences", o->list_sentences, "Print the table of sentences, to be translated");
    c->add_flag("--json", o->as_json, "The numbers as JSON on the standard output");
    c->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
