#include "job/cache.hpp"

#include <algorithm>
#include <system_error>
#include <vector>

#include "job/disk.hpp"
#include "units/error.hpp"

namespace cranknote::job {
namespace fs = std::filesystem;
namespace {

// A file is this line, the hash of the content and a line break, the content: half a file is noticed.
constexpr std::string_view head = "cranknote cache 1\n";
constexpr std::size_t hash_digits = 64;
constexpr std::uint64_t longest = std::uint64_t{1} << 31;

}  // namespace

std::string cache_key(std::initializer_list<std::string_view> parts) {
    std::string all;
    for (const auto part : parts) {
        all += std::to_string(part.size());
        all += ':';
        all += part;
    }
    return sha256_of(all);
}

Cache::Cache(fs::path folder, std::uint64_t most_bytes)
    : folder_(std::move(folder)), most_bytes_(most_bytes) {}

fs::path Cache::file_of(std::string_view key) const {
    return folder_ / (cache_key({key}).substr(0, 40) + ".bin");  // any key makes a safe name
}

std::optional<std::string> Cache::get(std::string_view key) const {
    if (folder_.empty()) return std::nullopt;
    try {
        if (!facts_of(file_of(key))) return std::nullopt;
        std::string bytes = read_file(file_of(key), longest);
        const std::size_t before = head.size() + hash_digits + 1;
        if (bytes.size() < before || !bytes.starts_with(head)) return std::nullopt;
        const std::string hash = bytes.substr(head.size(), hash_digits);
        bytes.erase(0, before);
        if (sha256_of(bytes) != hash) return std::nullopt;
        return bytes;
    } catch (const std::exception&) {  // gone, unreadable, no memory: it is computed again
        return std::nullopt;
    }
}

bool Cache::put(std::string_view key, std::string_view bytes) const {
    if (folder_.empty() || bytes.size() > most_bytes_) return false;
    try {
        std::error_code ec;
        fs::create_directory(folder_, ec);
        std::string text(head);
        text += sha256_of(bytes);
        text += '\n';
        text += bytes;
        write_whole(file_of(key), text, Sync::fast);
        return true;
    } catch (const std::exception&) {
        return false;
    }
}

void Cache::trim() const {
    struct Entry {
        fs::file_time_type written;
        std::uint64_t size;
        fs::path file;
    };
    std::vector<Entry> entries;
    std::uint64_t total = 0;
    std::error_code ec;
    if (folder_.empty()) return;
    for (const auto& entry : fs::directory_iterator(folder_, ec)) {
        if (entry.path().extension() != ".bin" || !entry.is_regular_file(ec)) continue;
        entries.push_back({entry.last_write_time(ec), entry.file_size(ec), entry.path()});
        total += entries.back().size;
    }
    std::ranges::sort(entries, {}, &Entry::written);
    for (const auto& entry : entries) {
        if (total <= most_bytes_) return;
        fs::remove(entry.file, ec);
        total -= entry.size;
    }
}

}  // namespace cranknote::job
