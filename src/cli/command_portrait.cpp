#include <memory>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/parse.hpp"
#include "cli/portrait_of.hpp"
#include "cli/read_layout.hpp"
#include "note/json.hpp"
#include "note/words.hpp"

namespace cranknote::cli {
namespace {

struct PortraitOptions {
    std::string file, layout, rpm, from, to;
    std::optional<int> cylinders;
    bool json = false;
};

void run(const PortraitOptions& o, Streams s) {
    const auto layout = layout_of(o.layout, o.cylinders);
    if (!layout)
        throw Error("the engine is not known", "portrait", "give --layout FILE or --cylinders N",
                    Error::Kind::wrong_call);
    const auto stretch = parse_stretch(o.from, o.to);
    const auto tag = o.rpm.empty() ? std::nullopt : parse_speed_tag(o.rpm);
    const auto p = portrait_of(o.file, {stretch.from, stretch.to}, *layout, tag);
    s.out << (o.json ? text_of(portrait_json(p.recording, p.findings)) : words_for(p.recording, p.findings));
}

}  // namespace

void add_portrait(CLI::App& app, Streams s) {
    auto* c = app.add_subcommand("portrait", "What one recording says: speed, quality, what stands out");
    auto o = std::make_shared<PortraitOptions>();
    c->add_option("FILE", o->file, "A sound file, or a video's sound")->required();
    c->add_option("--layout", o->layout, "The engine's layout, a TOML file");
    c->add_option("--cylinders", o->cylinders, "Cylinders, 1 to 16: a typical front end is used");
    c->add_option("--rpm", o->rpm, "Speed from the dash or a scan tool: 820, or 820~2 (sure to 2 rpm)");
    c->add_option("--from", o->from, "Begin so many seconds into the file");
    c->add_option("--to", o->to, "End so many seconds into the file");
    c->add_flag("--json", o->json, "As JSON");
    c->callback([=] { run(*o, s); });
}

}  // namespace cranknote::cli
