#include "simulate/story.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <vector>

#include "simulate/bench.hpp"
#include "simulate/cases.hpp"
#include "simulate/codec.hpp"
#include "simulate/mechanic.hpp"
#include "units/error.hpp"

namespace cranknote::simulate {

namespace {

constexpr int kbit = 96;  // what phones take for a voice memo or a film's sound

/// One table of the story; every key that nobody asked for is an error.
class Words {
  public:
    Words(const toml::table& table, std::string source) : table_(table), source_(std::move(source)) {}

    [[noreturn]] void fail(const toml::node* at, const std::string& trouble) const {
        const auto line = at ? at->source().begin.line : table_.source().begin.line;
        throw Error(trouble, source_ + ":" + std::to_string(line), "", Error::Kind::wrong_call);
    }
    template <class T>
    std::optional<T> maybe(const char* key) {
        known_.insert(key);
        const auto* node = table_.get(key);
        if (!node) return std::nullopt;
        if (const auto value = node->value<T>()) return *value;
        fail(node, std::string(key) + " has the wrong type");
    }
    template <class T>
    T must(const char* key) {
        if (auto v = maybe<T>(key)) return *v;
        fail(nullptr, std::string(key) + " is missing");
    }
    template <class T>
    std::vector<T> list(const char* key) {
        known_.insert(key);
        std::vector<T> out;
        const auto* node = table_.get(key);
        if (!node) return out;
        const auto* array = node->as_array();
        if (!array) fail(node, std::string(key) + " must be a list");
        for (const auto& e : *array) {
            const auto v = e.value<T>();
            if (!v) fail(&e, std::string(key) + " holds something else");
            out.push_back(*v);
        }
        return out;
    }
    std::vector<Words> tables(const char* key) {
        known_.insert(key);
        std::vector<Words> out;
        const auto* node = table_.get(key);
        if (!node) return out;
        const auto* array = node->as_array();
        if (!array) fail(node, std::string(key) + " must be a list of tables");
        for (const auto& e : *array) {
            if (!e.is_table()) fail(&e, std::string(key) + " must be a list of tables");
            out.emplace_back(*e.as_table(), source_);
        }
        return out;
    }
    void nothing_else() const {
        for (const auto& [key, value] : table_)
            if (!known_.contains(std::string(key.str())))
                fail(&value, "unknown key " + std::string(key.str()));
    }

  private:
    const toml::table& table_;
    std::string source_;
    std::set<std::string> known_;
};

struct File {
    std::string name;
    std::size_t first = 0, count = 0;  ///< its stretches among all plans
};

struct Story {
    Engine engine;
    std::uint64_t shop = 1;
    std::vector<Fault> faults;
    std::vector<double> levels;
    std::vector<File> files;
    std::vector<TakePlan> plans;
};

Fault fault_of(Words& w, const Engine& e, std::uint64_t seed) {
    const auto kind = w.must<std::string>("kind");
    const auto part = w.maybe<std::string>("part").value_or("");
    const auto also = w.list<std::string>("also");
    const auto variant = w.maybe<std::string>("variant").value_or("");
    for (auto f : possible_faults(e)) {
        if (f.cause.kind != kind || f.cause.part.value_or("") != part || f.cause.also != also) continue;
        if (!variant.empty() && f.variant != variant) continue;
        f.seed = seed;
        f.presence = w.maybe<double>("presence").value_or(1.0);
        f.extra_creep = w.maybe<double>("extra_creep").value_or(kind == "slip" ? .02 : 0.0);
        return f;
    }
    w.fail(nullptr, "this engine has no such fault: " + kind + " " + part);
}

Course course_of(Words& w, const Story& s, const TrueState& state, double since_start, Dice dice) {
    const double seconds = w.must<double>("seconds");
    if (!(seconds >= 1.0 && seconds <= 600.0)) w.fail(nullptr, "seconds: 1 to 600");
    const auto from = w.maybe<double>("cold_from"), to = w.maybe<double>("cold_to");
    if (from && to) return cold_course(*from, *to, since_start, seconds);
    if (const auto top = w.maybe<double>("run_up_to"))
        return run_up_course(idle_in(s.engine, state, 0.0), *top, seconds, dice);
    return idle_course(idle_in(s.engine, state, dice.normal(0.0, .012)), seconds, dice.uniform(.004, .012));
}

void check_names(Words& w, const Engine& e, const std::vector<std::string>& names) {
    for (const auto& n : names)
        if (!e.part(n) && !e.drive(n) && !e.cover(n) && !e.pull(n))
            w.fail(nullptr, "this engine has no " + n);
}

TakePlan plan_of(Words& w, Story& s, int placement, const Placement& place, const Dice& dice) {
    TakePlan p;
    p.state.name = w.must<std::string>("state");
    p.state.off = w.list<std::string>("off");
    check_names(w, s.engine, p.state.off);
    p.state.with = w.list<std::string>("with");
    if (const auto repaired = w.maybe<std::string>("repaired")) {
        p.state.repaired = true;
        p.state.repaired_what = *repaired;
    }
    p.since_start = w.maybe<double>("since_start").value_or(-1.0);
    p.course = course_of(w, s, p.state, p.since_start, dice.fork("course", s.plans.size()));
    p.state.cold = p.course.name == "cold";
    p.name = p.state.name;
    p.side = 'a';
    p.placement = place;
    p.placement_number = placement;
    p.faults.assign(s.faults.size(), true);
    for (const auto i : w.list<std::int64_t>("cured")) {
        if (i < 0 || i >= static_cast<std::int64_t>(s.faults.size())) w.fail(nullptr, "cured: no such fault");
        p.faults[static_cast<std::size_t>(i)] = false;
    }
    w.nothing_else();
    return p;
}

void read_files(Words& root, Story& s, const Dice& dice) {
    std::vector<std::pair<int, Placement>> placements;
    for (auto& w : root.tables("file")) {
        File f{w.must<std::string>("name"), s.plans.size(), 0};
        if (f.name.find('/') != f.name.npos) w.fail(nullptr, "a name without a folder, please");
        const auto number = static_cast<int>(w.must<std::int64_t>("placement"));
        auto known = std::find_if(placements.begin(), placements.end(),
                                  [&](const auto& p) { return p.first == number; });
        if (known == placements.end()) {
            const auto seed = dice.fork("placement", static_cast<std::uint64_t>(number)).state();
            placements.emplace_back(number, placements.empty()
                                                ? put_down(seed)
                                                : put_down_again(placements.front().second, seed));
            known = placements.end() - 1;
        }
        for (auto& stretch : w.tables("stretch"))
            s.plans.push_back(plan_of(stretch, s, number, known->second, dice));
        f.count = s.plans.size() - f.first;
        if (f.count == 0) w.fail(nullptr, "a file without a stretch");
        w.nothing_else();
        s.files.push_back(std::move(f));
    }
}

Story read(Words root) {
    Story s;
    const auto seed = static_cast<std::uint64_t>(root.must<std::int64_t>("engine_seed"));
    s.engine = make_engine(seed, static_cast<int>(root.maybe<std::int64_t>("cylinders").value_or(0)));
    if (const auto idle = root.maybe<double>("idle_rpm")) s.engine.idle_rpm = *idle;
    s.shop = static_cast<std::uint64_t>(root.maybe<std::int64_t>("shop_seed").value_or(1));
    const Dice dice = Dice(s.shop).fork("story");
    for (auto& w : root.tables("fault")) {
        s.faults.push_back(fault_of(w, s.engine, dice.fork("fault", s.faults.size()).state()));
        s.levels.push_back(w.must<double>("level_db"));
        w.nothing_else();
    }
    read_files(root, s, dice);
    root.nothing_else();
    return s;
}

/// One stretch after the other; the joint is faded within 40 ms, as a pause in talking would be.
Recording joined(const std::vector<Take>& takes, const File& f) {
    Recording r = takes[f.first].sound;
    const auto fade = static_cast<std::size_t>(.02 * r.rate.value());
    auto& x = r.channels.front();
    for (std::size_t i = f.first + 1; i < f.first + f.count; ++i) {
        const auto& y = takes[i].sound.channels.front();
        const std::size_t joint = x.size();
        x.insert(x.end(), y.begin(), y.end());
        for (std::size_t k = 0; k < fade && k < joint && joint + k < x.size(); ++k) {
            const auto g = static_cast<float>(k) / static_cast<float>(fade);
            x[joint - 1 - k] *= g;
            x[joint + k] *= g;
        }
    }
    return r;
}

void write_bytes(const std::filesystem::path& path, const std::string& bytes) {
    std::ofstream out(path, std::ios::binary);
    out << bytes;
    if (!out.flush())
        throw Error("cannot write", path.string(), "is the folder there, and the disk not full?");
}

/// The truth of a job, with each take's file and stretch.
std::string truth_of(const Story& s, const std::vector<Take>& takes) {
    Case c;
    c.id = "story";
    c.cylinders = s.engine.cylinders;
    c.purpose = Purpose::job;
    c.takes = takes;
    for (const auto& f : s.faults) c.truth.guilty.push_back(f.cause);
    auto j = nlohmann::ordered_json::parse(truth_json(c));
    for (const auto* of_sets : {"set", "purpose", "index"}) j.erase(of_sets);
    for (const auto& f : s.files) {
        double at = 0.0;
        for (std::size_t i = f.first; i < f.first + f.count; ++i) {
            j["takes"][i]["file"] = f.name;
            const double end = at + takes[i].sound.duration().value();
            j["takes"][i]["stretch_s"] = {at, end};
            at = end;
        }
    }
    return j.dump(1) + "\n";
}

std::string ending(const std::string& name) {
    const auto dot = name.rfind('.');
    return dot == name.npos ? "" : name.substr(dot + 1);
}

toml::table parsed(const std::string& text, const std::string& source) {
    try {
        return toml::parse(text, source);
    } catch (const toml::parse_error& e) {
        throw Error(std::string(e.description()), source + ":" + std::to_string(e.source().begin.line), "",
                    Error::Kind::wrong_call);
    }
}

}  // namespace

void tell_story(const std::string& text, const std::string& source, const std::string& folder) {
    const auto table = parsed(text, source);
    const Story s = read(Words(table, source));
    const Dice dice = Dice(s.shop).fork("story");
    Phone phone = make_phone(dice.fork("phone").state(), {0.0, 0.0, 0.0, 0.0, 0.0, false});
    phone.codec = "wav";  // files are encoded whole, below
    auto bench = make_bench(s.engine, dice.fork("shop").state(), phone, dice.fork("live").state());
    bench.faults = s.faults;
    bench.levels = s.levels;
    const auto takes = record(bench, s.plans);
    const std::filesystem::path path(folder);
    std::error_code failed;
    std::filesystem::create_directories(path, failed);
    if (failed) throw Error("cannot make the folder", folder, failed.message());
    write_bytes(path / "layout.toml", mechanics_layout(s.engine, Habits{}, dice.fork("layout")));
    write_bytes(path / "truth.json", truth_of(s, takes));
    for (const auto& f : s.files) {
        const auto sound = joined(takes, f);
        const auto kind = ending(f.name);
        write_bytes(path / f.name, kind == "wav" ? wav_bytes(sound) : encode(sound, kind, kbit));
    }
}

std::string describe_engine(unsigned long long seed, int cylinders) {
    const auto e = make_engine(seed, cylinders);
    std::string text = e.name + ", idle " + std::to_string(static_cast<int>(e.idle_rpm)) + " rpm\n";
    for (const auto& d : e.drives) {
        text += "drive " + d.name + " (" + d.kind + "):";
        for (const auto& n : d.route) text += " " + n + ",";
        text.back() = '\n';
    }
    for (const auto& c : e.covers) {
        text += "cover " + c.name + ":";
        for (const auto& n : c.can_touch) text += " " + n + ",";
        text.back() = '\n';
    }
    for (const auto& p : e.pulls) text += "pull " + p.name + "\n";
    for (const auto& f : possible_faults(e)) {
        text += "fault " + f.cause.kind + ", " + f.cause.part.value_or("-") + ", \"" + f.variant + "\"";
        for (const auto& a : f.cause.also) text += ", also " + a;
        text += "\n";
    }
    return text;
}

}  // namespace cranknote::simulate
