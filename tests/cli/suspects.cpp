// A whole simulated job through the program: added as a mechanic would, then its suspects.
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/program.hpp"
#include "job/scratch.hpp"
#include "simulate/sets.hpp"
#include "within.hpp"

namespace {

using namespace cranknote::test;
using cranknote::simulate::Case;
using Json = nlohmann::json;

/// A job folder filled from a simulated case; its layout is the mechanic's, not the truth.
class SimulatedJob {
  public:
    explicit SimulatedJob(const Case& c) {
        cranknote::simulate::write_case(c, (scratch_ / "case").string());
        said({"new", "job", "--layout", "case/layout.toml"});
        for (const auto& t : c.takes) {
            std::vector<std::string> a{"add",
                                       "job",
                                       "case/" + t.name + "." + t.codec,
                                       "--state",
                                       t.state.name.empty() ? "as found" : t.state.name,
                                       "--placement",
                                       std::to_string(t.placement)};
            for (const auto& o : t.state.off) a.insert(a.end(), {"--off", o});
            for (const auto& o : t.state.with) a.insert(a.end(), {"--with", o});
            if (t.state.repaired) a.push_back("--repaired=" + t.state.repaired_what);
            added_ += said(a);
        }
    }
    std::string said(const std::vector<std::string>& arguments) const {
        const auto s = run_program(scratch_.path(), arguments);
        INFO(s.err);
        REQUIRE(s.code == 0);
        return s.out;
    }
    [[nodiscard]] Json suspects() const { return Json::parse(said({"suspects", "job", "--json"})); }
    [[nodiscard]] const std::string& added() const { return added_; }
    [[nodiscard]] const Scratch& folder() const { return scratch_; }

  private:
    Scratch scratch_;
    std::string added_;
};

/// Empty: the document is as the schema says (tests/schema, draft 7).
bool valid(const Scratch& folder, const std::string& schema, const std::string& document) {
    const auto file = folder.put("document.json", document);
    const std::string source = CRANKNOTE_SOURCE_DIR;
    const std::string command = "python3 " + source + "/tests/note/validate.py " + source + "/tests/schema/" +
                                schema + " " + file.string();
    return std::system(command.c_str()) == 0;
}

}  // namespace

TEST_CASE("a simulated job names its guilty cause, and the cache changes nothing") {
    using namespace cranknote::simulate;
    const auto c = make_case(Set::tune, Purpose::job, 0);
    REQUIRE(c.truth.guilty.size() == 1);
    const SimulatedJob job(c);
    const auto first = job.said({"suspects", "job", "--json"});
    CHECK(valid(job.folder(), "suspects.json", first));
    const auto j = Json::parse(first);
    REQUIRE_FALSE(j["guilty"].empty());
    CHECK(j["guilty"][0]["kind"] == c.truth.guilty[0].kind);
    CHECK(j["guilty"][0]["part"] == c.truth.guilty[0].part.value_or(""));
    CHECK(j["guilty"][0]["also"] == Json(c.truth.guilty[0].also));
    double sum = 0.0;
    for (const auto& s : j["complaints"][0]["suspects"]) sum += s["probability"].get<double>();
    CHECK_THAT(
        sum, within(1.0, .15, "suspects under half a percent each are not listed, none is shown above 99 %"));
    CHECK(j["states"].size() == c.takes.size());
    CHECK(j["complaints"][0]["by_state"].size() == c.takes.size());
    CHECK(std::filesystem::exists(job.folder() / "job/cache"));
    CHECK(job.said({"suspects", "job", "--json"}) == first);
    std::filesystem::remove_all(job.folder() / "job/cache");
    CHECK(job.said({"suspects", "job", "--json"}) == first);

    const auto words = on_one_line(job.said({"suspects", "job"}));
    CHECK(words.find(j["guilty"][0]["cause"].get<std::string>()) != words.npos);
    CHECK((words.find("What next?") != words.npos) != (words.find("Stop looking.") != words.npos));

    // Conditions are set against each other wherever two recordings are, not only at the repair.
    CHECK(first.find("unlike conditions") == first.npos);
    auto written = Json::parse(text_of(job.folder() / "job/job.json"));
    for (auto& r : written["recordings"]) r["coolant"] = r["state"] == "as found" ? 60 : 85;
    job.folder().put("job/job.json", written.dump());
    const auto remarks = Json::parse(job.said({"suspects", "job", "--json"}))["remarks"];
    std::string names;  // once for all states, not once for each
    for (const auto& state : written["states"])
        if (state["name"] != "as found")
            names += (names.empty() ? "\u201c" : ", \u201c") + state["name"].get<std::string>() + "\u201d";
    const auto expected = "As found and " + names +
                          " were recorded under unlike conditions: Coolant was 60 °C in one and 85 °C in "
                          "the other.";
    CHECK(std::count(remarks.begin(), remarks.end(), Json(expected)) == 1);
}

TEST_CASE("a marked noise is the complaint, whatever else stands out") {
    using namespace cranknote::simulate;
    const SimulatedJob job(make_case(Set::tune, Purpose::job, 0));
    const auto before = job.suspects();
    const auto& f = before["complaints"][0]["finding"];
    REQUIRE(f["beat_ratio"].is_number());
    job.said({"mark", "job", "f1"});
    const auto after = job.suspects();
    REQUIRE(after["complaints"].size() == 1);
    CHECK(after["complaints"][0]["finding"]["beat_ratio"] == f["beat_ratio"]);
    const auto wrong = run_program(job.folder().path(), {"mark", "job", "f77"});
    CHECK(wrong.code == 2);
    CHECK(on_one_line(wrong.err).find("f77") != wrong.err.npos);
}

TEST_CASE("adding says speed and usability, and a portrait is as the contract has it") {
    using namespace cranknote::simulate;
    const auto c = make_case(Set::tune, Purpose::job, 0);
    const SimulatedJob job(c);
    CHECK(job.added().find("rpm") != std::string::npos);
    const auto file = "case/" + c.takes[0].name + "." + c.takes[0].codec;
    const auto text = job.said({"portrait", file, "--layout", "case/layout.toml", "--json"});
    CHECK(valid(job.folder(), "portrait.json", text));
    const auto j = Json::parse(text);
    CHECK_FALSE(j["findings"].empty());
    const double truth = c.takes[0].truth.mean.value();
    CHECK_THAT(j["speed"]["rpm"].get<double>(),
               within(truth, .005 * truth, "the target for 95 % of recordings"));
    CHECK(on_one_line(job.said({"portrait", file, "--layout", "case/layout.toml"})).find("rpm") !=
          std::string::npos);
    CHECK(run_program(job.folder().path(), {"portrait", file}).code == 2);
}

TEST_CASE("a job without recordings is an answer") {
    const Scratch scratch;
    CHECK(run_program(scratch.path(), {"new", "job", "--cylinders", "4"}).code == 0);
    const auto said = run_program(scratch.path(), {"suspects", "job", "--json"});
    CHECK(said.code == 0);
    CHECK(valid(scratch, "suspects.json", said.out));
    CHECK(Json::parse(said.out)["conclusion"] == "open");  // no all-clear
    CHECK(run_program(scratch.path(), {"suspects", "nowhere"}).code != 0);
}
