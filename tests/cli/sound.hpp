// Small sound files for tests of commands that only pass them on.
#pragma once

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <string>

namespace cranknote::test {

/// A WAV file (16 bit, one channel, 8 kHz) of a tone: RIFF with a fmt and a data chunk.
inline std::filesystem::path put_tone(const std::filesystem::path& file, double hz, double seconds) {
    constexpr std::uint32_t rate = 8000;
    const auto count = static_cast<std::uint32_t>(seconds * rate);
    std::ofstream out(file, std::ios::binary);
    const auto put = [&](std::uint32_t value, int bytes) {
        for (int i = 0; i < bytes; ++i) out.put(static_cast<char>(value >> (8 * i) & 255u));
    };
    out << "RIFF";
    put(36 + 2 * count, 4);
    out << "WAVEfmt ";
    put(16, 4);
    put(1, 2);  // PCM
    put(1, 2);  // channels
    put(rate, 4);
    put(2 * rate, 4);
    put(2, 2);
    put(16, 2);
    out << "data";
    put(2 * count, 4);
    for (std::uint32_t i = 0; i < count; ++i)
        put(static_cast<std::uint32_t>(
                static_cast<std::int32_t>(8000 * std::sin(2 * std::numbers::pi * hz * i / rate))),
            2);
    return file;
}

}  // namespace cranknote::test
