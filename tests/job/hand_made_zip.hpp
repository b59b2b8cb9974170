// A .zip made by hand, so that it can lie (PKWARE's APPNOTE 6.3: local headers, central directory, its end).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cranknote::test {

/// CRC-32 as .zip and Ethernet have it (reflected polynomial 0xEDB88320).
inline std::uint32_t crc32_of(std::string_view bytes) {
    std::uint32_t crc = 0xFFFFFFFFu;
    for (const char c : bytes) {
        crc ^= static_cast<unsigned char>(c);
        for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ (0xEDB88320u & (0u - (crc & 1u)));
    }
    return ~crc;
}

struct ZipFile {
    std::string name, data;
    std::uint32_t mode = 0100644;                        ///< a plain file; 0120777 a link, 0020666 a device
    std::uint16_t way = 0;                               ///< 0 stored, 8 deflated, 14 LZMA
    std::uint16_t flags = 1u << 11;                      ///< UTF-8; bit 0: with a password
    std::optional<std::uint32_t> length = std::nullopt;  ///< unpacked, if not the data's
    std::optional<std::uint32_t> crc = std::nullopt;
    int times = 1;  ///< listed so often, under name, name2, name3 ..., all of the same bytes
};

inline std::string zip_of(const std::vector<ZipFile>& files) {
    std::string all, directory;
    std::uint16_t count = 0;
    const auto put = [](std::string& to, std::uint64_t value, int bytes) {
        for (int i = 0; i < bytes; ++i) to += static_cast<char>(value >> (8 * i) & 255u);
    };
    for (const auto& f : files) {
        const auto at = all.size();
        const auto common = [&](std::string& to, std::size_t name_length) {
            put(to, 20, 2);  // version needed: 2.0
            put(to, f.flags, 2);
            put(to, f.way, 2);
            put(to, 0x5C610000u, 4);  // 2026-03-01, DOS time
            put(to, f.crc.value_or(crc32_of(f.data)), 4);
            put(to, f.data.size(), 4);
            put(to, f.length.value_or(static_cast<std::uint32_t>(f.data.size())), 4);
            put(to, name_length, 2);
            put(to, 0, 2);
        };
        put(all, 0x04034B50u, 4);
        common(all, f.name.size());
        all += f.name + f.data;
        for (int i = 1; i <= f.times; ++i) {
            const auto name = i == 1 ? f.name : f.name + std::to_string(i);
            put(directory, 0x02014B50u, 4);
            put(directory, 0x0314u, 2);  // made by: Unix, 2.0
            common(directory, name.size());
            put(directory, 0, 2 + 2 + 2);
            put(directory, std::uint64_t{f.mode} << 16, 4);
            put(directory, at, 4);
            directory += name;
            ++count;
        }
    }
    const auto directory_at = all.size();
    all += directory;
    put(all, 0x06054B50u, 4);
    put(all, 0, 4);
    put(all, count, 2);
    put(all, count, 2);
    put(all, directory.size(), 4);
    put(all, directory_at, 4);
    put(all, 0, 2);
    return all;
}

/// Deflated zeros (RFC 1951, fixed codes: one literal 0, then matches of 258 bytes at distance 1, 13 bits
/// each).
inline std::string deflated_zeros(std::size_t matches) {
    std::string bytes;
    unsigned held = 0;
    int bits = 0;
    const auto put = [&](unsigned value, int count, bool code) {
        for (int i = 0; i < count; ++i) {
            const unsigned bit = value >> (code ? count - 1 - i : i) & 1u;  // codes come highest bit first
            held |= bit << bits;
            if (++bits < 8) continue;
            bytes += static_cast<char>(held);
            held = 0;
            bits = 0;
        }
    };
    put(1, 1, false);    // the last block
    put(1, 2, false);    // fixed codes
    put(0x30, 8, true);  // literal 0
    for (std::size_t i = 0; i < matches; ++i) {
        put(0xC5, 8, true);  // length 258
        put(0, 5, true);     // distance 1
    }
    put(0, 7, true);  // end of block
    if (bits > 0) bytes += static_cast<char>(held);
    return bytes;
}

}  // namespace cranknote::test
