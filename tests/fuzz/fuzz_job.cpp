// A job.json from a stranger: whatever the bytes, it is read or refused by cranknote::Error; what was read is
// written so that it is read again as the same, and every step that a person may do next holds.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "job/disk.hpp"
#include "job/edit.hpp"
#include "job/evidence.hpp"
#include "job/json.hpp"
#include "job/without_owner.hpp"
#include "units/error.hpp"

using namespace cranknote;
using namespace cranknote::job;

namespace {

void require(bool holds) {
    if (!holds) std::abort();
}

/// Runs `use`; an Error must be one line.
template <class Use>
void or_refused(Use use) {
    try {
        use();
    } catch (const Error& e) {
        require(!e.trouble.empty());
    }
}

void use(const ParsedJob& parsed) {
    const Job& job = parsed.job;
    for (const auto& r : job.recordings) {
        require(stays_inside(r.file) && r.file.starts_with("recordings/"));
        require(job.state(r.state) != nullptr && job.recording(r.id) != nullptr);
    }
    for (std::size_t i = 1; i < job.recordings.size() && i < 20; ++i)
        (void)unlike(job.recordings[i - 1], job.recordings[i]);
    for (const auto& reading : job.readings) (void)on_target(reading);
    or_refused([&] {
        const auto anonymous = without_owner(job).job;
        require(!anonymous.owner && !anonymous.who && !anonymous.registration);
        (void)parse_job(to_json(anonymous), "anonymous");
    });
    or_refused([&] {
        Job next = job;
        Addition a;
        a.state = "as found";
        (void)enter_recording(next, layout_of(next), a);
        require(next.recordings.size() == job.recordings.size() + 1);
    });
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    ParsedJob parsed;
    try {
        parsed = parse_job(text, "fuzz");
    } catch (const Error& e) {
        require(!e.trouble.empty() && e.where.starts_with("fuzz"));
        return 0;
    }
    const auto written = to_json(parsed.job);
    require(to_json(parse_job(written, "again").job) == written);
    use(parsed);
    return 0;
}
