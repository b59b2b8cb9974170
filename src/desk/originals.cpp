#include "desk/originals.hpp"

#include "job/verify.hpp"
#include "units/error.hpp"

namespace cranknote::desk {

namespace {

/// What takes evidence away. Strays do not, and a file of another time may be a copied job.
bool takes_evidence(const job::Trouble& t) {
    return t.fault == job::Fault::missing || t.fault == job::Fault::changed ||
           t.fault == job::Fault::unreadable;
}

}  // namespace

std::optional<Originals> originals_of(const std::filesystem::path& folder, const job::Job& job,
                                      std::stop_token stop) {
    if (job.recordings.empty()) return Originals{};
    try {
        const auto found = job::verify(folder, [&](double) { return !stop.stop_requested(); });
        if (!found) return std::nullopt;
        for (const auto& t : found->troubles)
            if (takes_evidence(t)) return Originals{false, t.file + ": " + t.text + "."};
        return Originals{true, found->files == 1 ? "The sound file is as it was added."
                                                 : "All " + std::to_string(found->files) +
                                                       " sound files are as they were added."};
    } catch (const Error& e) {
        return Originals{false, "The recordings cannot be checked: " + e.trouble + "."};
    }
}

}  // namespace cranknote::desk
