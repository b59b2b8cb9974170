#include "simulate/codec.hpp"

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "units/error.hpp"

namespace cranknote::simulate {

namespace {

namespace fs = std::filesystem;

void put(std::string& bytes, std::uint32_t value, int count) {
    for (int i = 0; i < count; ++i) bytes.push_back(static_cast<char>((value >> (8 * i)) & 0xFFU));
}

/// A folder of its own, gone when the scope ends.
class Scratch {
  public:
    Scratch() {
        std::string name = (fs::temp_directory_path() / "simulate-XXXXXX").string();
        if (!mkdtemp(name.data()))
            throw Error("cannot make a folder for the codec", fs::temp_directory_path().string(),
                        "is the disk full?");
        path_ = name;
    }
    ~Scratch() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const { return (path_ / name).string(); }

  private:
    fs::path path_;
};

void run_ffmpeg(const std::string& arguments) {
    // -bitexact: no version or time in the file, so that equal seeds give equal bytes.
    const std::string command = "ffmpeg -nostdin -v error -y " + arguments;
    if (std::system(command.c_str()) != 0)
        throw Error("the ffmpeg command failed", command, "install ffmpeg");
}

std::string read_all(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void write_all(const std::string& file, const std::string& bytes) {
    std::ofstream out(file, std::ios::binary);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (!out) throw Error("cannot write", file, "is the disk full?");
}

std::string encoder(const std::string& codec, int kbit) {
    const std::string rate = std::to_string(kbit) + "k";
    if (codec == "m4a" || codec == "mp4") return "-c:a aac -b:a " + rate;
    if (codec == "opus") return "-c:a libopus -b:a " + rate;
    if (codec == "mp3") return "-c:a libmp3lame -b:a " + rate;
    throw Error("unknown codec", codec, "m4a, mp4, opus or mp3", Error::Kind::wrong_call);
}

}  // namespace

std::string wav_bytes(const Recording& r) {
    const auto channels = static_cast<std::uint32_t>(r.channels.size());
    const auto rate = static_cast<std::uint32_t>(r.rate.value());
    const auto data = static_cast<std::uint32_t>(r.samples()) * channels * 2U;
    std::string b = "RIFF";
    put(b, 36U + data, 4);
    b += "WAVEfmt ";
    put(b, 16, 4);
    put(b, 1, 2);
    put(b, channels, 2);
    put(b, rate, 4);
    put(b, rate * channels * 2U, 4);
    put(b, channels * 2U, 2);
    put(b, 16, 2);
    b += "data";
    put(b, data, 4);
    b.reserve(b.size() + data);
    for (std::size_t i = 0; i < r.samples(); ++i)
        for (const auto& c : r.channels) {
            const auto v =
                static_cast<std::int16_t>(std::lround(std::clamp(c[i] * 32768.0F, -32768.0F, 32767.0F)));
            put(b, static_cast<std::uint16_t>(v), 2);
        }
    return b;
}

std::string encode(const Recording& r, const std::string& codec, int kbit) {
    const Scratch scratch;
    const auto in = scratch.file("in.wav"), out = scratch.file("out." + codec);
    write_all(in, wav_bytes(r));
    // A film: a small black picture beside the sound.
    const std::string picture =
        codec == "mp4" ? "-f lavfi -i color=c=black:s=64x48:r=5 -shortest -c:v mpeg4 -b:v 4k " : "";
    run_ffmpeg("-i " + in + " " + picture + "-map_metadata -1 -fflags +bitexact -flags:a +bitexact " +
               encoder(codec, kbit) + " " + out);
    return read_all(out);
}

Recording decode(const std::string& bytes, const std::string& codec, SampleRate rate) {
    const Scratch scratch;
    const auto in = scratch.file("in." + codec), out = scratch.file("out.f32");
    write_all(in, bytes);
    run_ffmpeg("-i " + in + " -ac 1 -ar " + std::to_string(static_cast<int>(rate.value())) + " -f f32le " +
               out);
    const auto raw = read_all(out);
    Recording r;
    r.rate = rate;
    r.channels.emplace_back(raw.size() / sizeof(float));
    std::memcpy(r.channels.front().data(), raw.data(), r.channels.front().size() * sizeof(float));
    return r;
}

}  // namespace cranknote::simulate
