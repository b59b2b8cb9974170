// A packed job from a stranger: whatever the bytes, its files are given out one by one under safe names of a
// job, within the limits, or it is refused by cranknote::Error. Nothing is written.
#include <cstdint>
#include <cstdlib>
#include <set>
#include <span>
#include <string>

#include "job/disk.hpp"
#include "job/json.hpp"
#include "job/pack_names.hpp"
#include "job/pack_reader.hpp"
#include "units/error.hpp"

using namespace cranknote;
using namespace cranknote::job;

namespace {

void require(bool holds) {
    if (!holds) std::abort();
}

PackLimits small_limits() {
    PackLimits limits;
    limits.most_bytes = 8u << 20;
    limits.most_text = 1u << 20;
    limits.free_bytes = 1u << 20;
    limits.most_files = 200;
    return limits;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto limits = small_limits();
    std::set<std::string> names;
    std::uint64_t all = 0;
    try {
        PackReader reader(std::as_bytes(std::span(data, size)), "fuzz", limits);
        while (const auto file = reader.next()) {
            require(stays_inside(file->name) && is_name_of_job(file->name) && is_safe_name(file->name));
            require(names.insert(folded_name(file->name)).second);
            std::string content;
            for (auto piece = reader.read(); !piece.empty(); piece = reader.read()) {
                all += piece.size();
                if (file->name == "job.json") content += piece;
            }
            require(reader.share() >= 0.0 && reader.share() <= 1.0);
            if (file->name == "job.json") (void)parse_job(content, "fuzz: job.json");
        }
    } catch (const Error& e) {
        require(!e.trouble.empty() && e.where.starts_with("fuzz"));
    }
    require(all <= limits.most_bytes && names.size() <= limits.most_files);
    return 0;
}
