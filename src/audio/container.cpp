#include "audio/container.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <string_view>
#include <vector>

namespace cranknote {
namespace {

using namespace std::string_view_literals;

/// The first bytes of a file, as text to compare.
struct Head {
    std::array<char, 512> data{};
    std::size_t size = 0;
    [[nodiscard]] std::string_view all() const { return {data.data(), size}; }
    [[nodiscard]] bool at(std::size_t place, std::string_view magic) const {
        return place + magic.size() <= size && all().substr(place, magic.size()) == magic;
    }
};

Head head_of(ByteSource& bytes, std::int64_t place = 0) {
    Head h;
    h.size = bytes.read_at(place, h.data.data(), h.data.size());
    return h;
}

unsigned byte_at(const Head& h, std::size_t i) { return static_cast<unsigned char>(h.data.at(i)); }

/// MPEG audio frame header, ISO/IEC 11172-3 2.4.2.3: 11 sync bits, then version, layer, bit rate, rate.
bool is_mpeg_audio(const Head& h) {
    if (h.size < 4 || byte_at(h, 0) != 0xff || (byte_at(h, 1) & 0xe0U) != 0xe0U) return false;
    const auto version = (byte_at(h, 1) >> 3) & 3U;
    const auto layer = (byte_at(h, 1) >> 1) & 3U;
    return version != 1 && layer != 0 && (byte_at(h, 2) >> 4) != 15 && ((byte_at(h, 2) >> 2) & 3U) != 3;
}

/// ID3v2 puts its length in four bytes of seven bits each (id3.org, ID3v2.4 3.1).
std::int64_t after_id3(const Head& h) {
    if (!h.at(0, "ID3") || h.size < 10) return 0;
    std::int64_t length = 0;
    for (std::size_t i = 6; i < 10; ++i) length = length * 128 + (byte_at(h, i) & 0x7fU);
    return length + 10;
}

Sniffed sniff_ogg(const Head& h) {
    if (h.all().find("OpusHead"sv) != std::string_view::npos) return {Family::phone, "ogg"};
    if (h.all().find("Speex   "sv) != std::string_view::npos) return {Family::phone, "ogg"};
    return {Family::plain, "ogg"};
}

std::optional<Sniffed> sniff_sound(const Head& h) {
    if ((h.at(0, "RIFF") || h.at(0, "RIFX") || h.at(0, "RF64")) && h.at(8, "WAVE"))
        return Sniffed{Family::plain, "wav"};
    if (h.at(0, "riff\x2e\x91\xcf\x11"sv)) return Sniffed{Family::plain, "w64"};
    if (h.at(0, "FORM") && (h.at(8, "AIFF") || h.at(8, "AIFC"))) return Sniffed{Family::plain, "aiff"};
    if (h.at(0, "fLaC")) return Sniffed{Family::plain, "flac"};
    if (h.at(0, "OggS")) return sniff_ogg(h);
    if (h.at(0, "caff")) return Sniffed{Family::plain, "caf"};
    if (h.at(0, ".snd") || h.at(0, "dns.")) return Sniffed{Family::plain, "au"};
    if (h.at(0, "#!AMR")) return Sniffed{Family::phone, "amr"};
    if (h.at(4, "ftyp") || h.at(4, "moov") || h.at(4, "mdat") || h.at(4, "wide") || h.at(4, "free"))
        return Sniffed{Family::phone, "mp4"};
    if (h.at(0, "\x1a\x45\xdf\xa3"sv)) return Sniffed{Family::phone, "matroska"};
    if (h.at(0, "\x30\x26\xb2\x75\x8e\x66\xcf\x11"sv)) return Sniffed{Family::phone, "asf"};
    if (h.at(0, "RIFF") && h.at(8, "AVI ")) return Sniffed{Family::phone, "avi"};
    if (is_mpeg_audio(h)) return Sniffed{Family::phone, "mp3"};
    return std::nullopt;
}

bool is_text(const Head& h) {
    return std::all_of(h.data.begin(), h.data.begin() + static_cast<std::ptrdiff_t>(h.size), [](char c) {
        const auto u = static_cast<unsigned char>(c);
        return u >= 0x20 || u == '\n' || u == '\r' || u == '\t' || u == '\f';
    });
}

bool starts_like_a_page(std::string_view text) {
    const auto first = text.find_first_not_of(" \t\r\n");
    return first != std::string_view::npos && text[first] == '<';
}

Sniffed sniff_other(const Head& h) {
    if (h.at(0, "#EXTM3U") || h.at(0, "[playlist]") || h.at(0, "ffconcat") || h.at(0, "RIFFLIST"))
        return {Family::refused, "a playlist that only names other files"};
    if (h.at(0, "%PDF")) return {Family::refused, "a PDF document"};
    if (h.at(0, "\x89PNG") || h.at(0, "\xff\xd8\xff") || h.at(0, "GIF8") ||
        (h.at(0, "RIFF") && h.at(8, "WEBP")))
        return {Family::refused, "a picture"};
    if (h.at(0, "PK\x03\x04") || h.at(0, "\x1f\x8b") || h.at(0, "7z\xbc\xaf") || h.at(0, "Rar!"))
        return {Family::refused, "a packed archive"};
    if (h.at(0, "MThd")) return {Family::refused, "a list of notes (MIDI), not a recording"};
    if (h.at(0,
             "\x7f"
             "ELF") ||
        h.at(0, "MZ"))
        return {Family::refused, "a program"};
    if (is_text(h)) return {Family::refused, starts_like_a_page(h.all()) ? "a web page or XML" : "text"};
    return {Family::unknown, ""};
}

// --- headers made of chunks ---

struct ChunkStyle {
    std::int64_t first;  ///< where the first chunk begins
    int id_bytes;        ///< of a chunk's name
    int size_bytes;      ///< of its length
    bool big_endian;     ///< of its length
    bool counts_header;  ///< the length counts name and length too (W64)
    std::int64_t align;  ///< chunks begin at multiples of it
    std::string_view samples, format;
    std::size_t channels_at;  ///< where in the format chunk the number of channels is
    std::size_t channels_bytes;
};

constexpr auto w64_data = "data\xf3\xac\xd3\x11\x8c\xd1\x00\xc0\x4f\x8e\xdb\x8a"sv;
constexpr auto w64_fmt = "fmt \xf3\xac\xd3\x11\x8c\xd1\x00\xc0\x4f\x8e\xdb\x8a"sv;

std::optional<ChunkStyle> chunk_style(const Head& h, const std::string& what) {
    if (what == "wav") return ChunkStyle{12, 4, 4, h.at(0, "RIFX"), false, 2, "data", "fmt ", 2, 2};
    if (what == "w64") return ChunkStyle{40, 16, 8, false, true, 8, w64_data, w64_fmt, 2, 2};
    if (what == "aiff") return ChunkStyle{12, 4, 4, true, false, 2, "SSND", "COMM", 0, 2};
    if (what == "caf") return ChunkStyle{8, 4, 8, true, false, 1, "data", "desc", 24, 4};
    return std::nullopt;
}

std::uint64_t number(const unsigned char* p, std::size_t n, bool big_endian) {
    std::uint64_t v = 0;
    for (std::size_t i = 0; i < n; ++i) v = v << 8 | p[big_endian ? i : n - 1 - i];
    return v;
}

/// All ones, half of it, or nothing: what writers put that do not know the length yet.
bool length_left_open(std::uint64_t length, int bytes) {
    if (length == 0) return true;
    return bytes == 4 ? length >= 0x7fff0000U : length >= std::uint64_t{1} << 62;
}

// --- Ogg pages ---

/// CRC-32 with polynomial 0x04c11db7, not reflected, beginning at 0 (RFC 3533, section 6).
constexpr auto crc_table = [] {
    std::array<std::uint32_t, 256> table{};
    for (std::uint32_t i = 0; i < 256; ++i) {
        std::uint32_t r = i << 24;
        for (int bit = 0; bit < 8; ++bit) r = (r << 1) ^ ((r & 0x80000000U) != 0 ? 0x04c11db7U : 0U);
        table.at(i) = r;
    }
    return table;
}();

std::uint32_t ogg_crc(const std::vector<unsigned char>& page) {
    std::uint32_t crc = 0;
    for (std::size_t i = 0; i < page.size(); ++i)
        crc = (crc << 8) ^ crc_table[(crc >> 24) ^ (i >= 22 && i < 26 ? 0U : page[i])];
    return crc;
}

/// The whole page at a place, with the right checksum; false where there is none.
bool read_ogg_page(ByteSource& bytes, std::int64_t place, std::vector<unsigned char>& page) {
    page.resize(27 + 255);
    if (bytes.read_at(place, page.data(), 27) < 27 || std::memcmp(page.data(), "OggS", 4) != 0) return false;
    const std::size_t segments = page[26];
    if (bytes.read_at(place + 27, page.data() + 27, segments) < segments) return false;
    std::size_t body = 0;
    for (std::size_t i = 0; i < segments; ++i) body += page[27 + i];
    page.resize(27 + segments + body);
    const auto at = place + 27 + static_cast<std::int64_t>(segments);
    if (bytes.read_at(at, page.data() + 27 + segments, body) < body) return false;
    return ogg_crc(page) == number(page.data() + 22, 4, false);
}

}  // namespace

Sniffed sniff(ByteSource& bytes) {
    const auto head = head_of(bytes);
    if (const auto sound = sniff_sound(head)) return *sound;
    if (const auto skip = after_id3(head); skip > 0) {
        const auto behind = sniff_sound(head_of(bytes, skip));
        return behind ? *behind : Sniffed{Family::phone, "mp3"};
    }
    return sniff_other(head);
}

HeaderClaim header_claim(ByteSource& bytes, const Sniffed& sniffed) {
    HeaderClaim claim;
    const auto style = chunk_style(head_of(bytes), sniffed.what);
    if (!style) return claim;
    const auto id_size = static_cast<std::size_t>(style->id_bytes);
    const auto size_size = static_cast<std::size_t>(style->size_bytes);
    std::int64_t place = style->first;
    for (int chunk = 0; chunk < 1000 && place < bytes.size(); ++chunk) {
        std::array<unsigned char, 64> head{};
        const auto got = bytes.read_at(place, head.data(), head.size());
        if (got < id_size + size_size) break;
        const std::string_view id(reinterpret_cast<const char*>(head.data()), id_size);
        const auto length = number(head.data() + id_size, size_size, style->big_endian);
        const auto body = style->counts_header ? 0 : id_size + size_size;
        if (id == style->format && got >= id_size + size_size + style->channels_at + style->channels_bytes)
            claim.channels = static_cast<int>(
                std::min<std::uint64_t>(number(head.data() + id_size + size_size + style->channels_at,
                                               style->channels_bytes, style->big_endian),
                                        1'000'000));
        const bool open = length_left_open(length, style->size_bytes);
        if (id == style->samples) {
            if (!open) claim.samples_end = place + static_cast<std::int64_t>(body + length);
            break;
        }
        if (length > static_cast<std::uint64_t>(bytes.size())) break;
        const auto step = static_cast<std::int64_t>(body + length);
        place += std::max<std::int64_t>(step + (style->align - step % style->align) % style->align, 1);
    }
    return claim;
}

std::string in_seconds(Seconds t) {
    const auto tenths = std::llround(t.value() * 10);
    return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " s";
}

OggSoundness ogg_soundness(ByteSource& bytes) {
    OggSoundness result;
    std::vector<unsigned char> page;
    std::optional<std::uint64_t> serial, number_before;
    for (std::int64_t place = 0; read_ogg_page(bytes, place, page);) {
        place += static_cast<std::int64_t>(page.size());
        const auto stream = number(page.data() + 14, 4, false);
        if (!serial) serial = stream;
        if (stream != *serial) continue;
        const auto page_number = number(page.data() + 18, 4, false);
        if (number_before && page_number != ((*number_before + 1) & 0xffffffffU)) return result;
        number_before = page_number;
        const auto samples = static_cast<std::int64_t>(number(page.data() + 6, 8, false));
        if (samples > result.samples) result.samples = samples;  // -1: no packet ends on this page
        result.whole = (page[5] & 4U) != 0;
        if (result.whole) return result;
    }
    return result;
}

}  // namespace cranknote
