#include "job/portrait_cache.hpp"

#include <array>
#include <bit>
#include <cstring>
#include <type_traits>
#include <utility>
#include <vector>

#include "figure/number_text.hpp"
#include "job/cache.hpp"
#include "job/version.hpp"

namespace cranknote::job {
namespace {

// A form of its own for each: a field that is added must be added in fields() too, and form raised.
constexpr std::string_view form = "portrait 2";

/// Writes or reads the same fields in the same order.
class Writer {
  public:
    std::string bytes;
    template <class T>
    void plain(const T& v) {
        static_assert(std::is_trivially_copyable_v<T>);
        bytes.append(reinterpret_cast<const char*>(&v), sizeof v);
    }
    void text(const std::string& s) {
        plain(static_cast<std::uint64_t>(s.size()));
        bytes += s;
    }
    template <class T, class Each>
    void list(const std::vector<T>& v, Each each) {
        plain(static_cast<std::uint64_t>(v.size()));
        for (const auto& e : v) each(*this, e);
    }
    void floats(const std::vector<float>& v) {
        plain(static_cast<std::uint64_t>(v.size()));
        bytes.append(reinterpret_cast<const char*>(v.data()), v.size() * sizeof(float));
    }
    /// None or one of them.
    template <class T, class Each>
    void list(const std::optional<T>& v, Each each) {
        flag(v.has_value());
        if (v) each(*this, *v);
    }
    template <class T>
    void maybe(const std::optional<T>& v) {
        flag(v.has_value());
        if (v) plain(*v);
    }
    void flag(bool b) { plain(static_cast<unsigned char>(b ? 1 : 0)); }
};

class Reader {
  public:
    explicit Reader(std::string_view bytes) : left_(bytes) {}
    bool good = true;
    [[nodiscard]] bool at_end() const { return good && left_.empty(); }
    template <class T>
    void plain(T& v) {
        static_assert(std::is_trivially_copyable_v<T>);
        if (left_.size() < sizeof v) {
            good = false;
            return;
        }
        std::memcpy(&v, left_.data(), sizeof v);
        left_.remove_prefix(sizeof v);
    }
    void text(std::string& s) {
        const auto n = count(1);
        s.assign(left_.substr(0, n));
        left_.remove_prefix(n);
    }
    template <class T, class Each>
    void list(std::vector<T>& v, Each each) {
        const auto n = count(1);
        for (std::size_t i = 0; i < n && good; ++i) each(*this, v.emplace_back());
    }
    void floats(std::vector<float>& v) {
        v.resize(count(sizeof(float)));
        if (!v.empty()) std::memcpy(v.data(), left_.data(), v.size() * sizeof(float));
        left_.remove_prefix(v.size() * sizeof(float));
    }
    template <class T, class Each>
    void list(std::optional<T>& v, Each each) {
        bool there = false;
        flag(there);
        if (there) each(*this, v.emplace());
    }
    template <class T>
    void maybe(std::optional<T>& v) {
        bool there = false;
        flag(there);
        if (there) plain(v.emplace());
    }
    void flag(bool& b) {
        unsigned char c = 0;
        plain(c);
        good = good && c <= 1;
        b = c == 1;
    }

  private:
    std::string_view left_;
    /// How many follow, each of at least so many bytes; 0 where the rest could not hold them.
    std::size_t count(std::size_t each) {
        std::uint64_t n = 0;
        plain(n);
        if (n > left_.size() / each) good = false;
        return good ? static_cast<std::size_t>(n) : 0;
    }
};

template <class Io, class R>
void running_fields(Io& io, R& r) {
    io.plain(r.used.first), io.plain(r.used.second);
    io.maybe(r.starts), io.maybe(r.stops);
    io.plain(r.spread), io.plain(r.steepest), io.flag(r.no_engine);
    io.list(r.cranking, [](auto& i, auto& c) { i.plain(c.first), i.plain(c.second); });
    io.plain(r.cranking_speed);
}

template <class Io, class S>
void steadiness_fields(Io& io, S& s) {
    io.plain(s.spread), io.plain(s.interval.first), io.plain(s.interval.second);
    io.list(s.hunting, [](auto& i, auto& h) {
        i.plain(h.period), i.plain(h.interval.first), i.plain(h.interval.second), i.plain(h.swing);
    });
    io.text(s.text);
}

template <class Io, class E>
void evenness_fields(Io& io, E& e) {
    io.maybe(e.unlike);
    io.plain(e.interval.first), io.plain(e.interval.second), io.plain(e.from);
    io.list(e.cylinders, [](auto& i, auto& c) { i.plain(c.level), i.plain(c.plus_minus); });
    io.list(e.numbers, [](auto& i, auto& n) { i.plain(n); });
    io.text(e.text);
}

template <class Io, class S>
void speed_fields(Io& io, S& s) {
    io.maybe(s.mean);
    io.plain(s.interval.first), io.plain(s.interval.second);
    running_fields(io, s.running);
    io.plain(s.low), io.plain(s.high), io.plain(s.confidence);
    io.plain(s.source), io.plain(s.mean_from);
    io.list(s.tag, [](auto& i, auto& t) { i.plain(t.rpm), i.plain(t.plus_minus); });
    io.maybe(s.cylinders), io.flag(s.cylinders_said);
    io.list(s.alternatives,
            [](auto& i, auto& a) { i.plain(a.rpm), i.plain(a.confidence), i.maybe(a.cylinders); });
    io.list(s.track.at, [](auto& i, auto& v) { i.plain(v); });
    io.list(s.track.rpm, [](auto& i, auto& v) { i.plain(v); });
    io.list(s.steadiness, [](auto& i, auto& v) { steadiness_fields(i, v); });
    io.list(s.evenness, [](auto& i, auto& v) { evenness_fields(i, v); });
    io.list(s.remarks, [](auto& i, auto& v) { i.text(v); });
}

template <class Io, class S>
void tone_fields(Io& io, S& t) {
    io.plain(t.step), io.floats(t.power), io.floats(t.floor), io.floats(t.width);
}

template <class Io, class S>
void beat_fields(Io& io, S& b) {
    io.plain(b.low), io.plain(b.high), io.plain(b.step), io.plain(b.width);
    io.floats(b.power), io.floats(b.floor);
    io.plain(b.power_mean);
}

template <class Io, class P>
void portrait_fields(Io& io, P& p) {
    io.plain(p.rate), io.plain(p.duration);
    speed_fields(io, p.speed);
    io.plain(p.hz_low), io.plain(p.hz_high);
    io.plain(p.hz.step), io.floats(p.hz.density), io.plain(p.hz.dof);
    io.list(p.hz.stretches, [](auto& i, auto& v) { i.floats(v); });
    tone_fields(io, p.tones_hz), tone_fields(io, p.tones_ratio);
    io.list(p.beats, [](auto& i, auto& b) { beat_fields(i, b); });
    io.list(p.beats_hz, [](auto& i, auto& b) { beat_fields(i, b); });
    io.list(p.series_bands, [](auto& i, auto& b) { i.plain(b.first), i.plain(b.second); });
    io.plain(p.series_rate);
    io.list(p.series, [](auto& i, auto& v) { i.floats(v); });
    io.plain(p.rpm_spread);
}

template <class Io, class S>
void summary_fields(Io& io, S& s) {
    io.text(s.file);
    io.plain(s.duration), io.plain(s.used.first), io.plain(s.used.second), io.plain(s.rate);
    speed_fields(io, s.speed);
    io.list(s.quality,
            [](auto& i, auto& q) { i.plain(q.code), i.plain(q.severity), i.text(q.text), i.maybe(q.hz); });
}

std::string value_text(const std::optional<Seconds>& s) { return s ? number_text(s->value(), 6) : "-"; }

}  // namespace

std::string portrait_key(const EvidenceRecording& r, const SpeedSettings& s) {
    const std::string tag =
        s.tag ? number_text(s.tag->rpm.value(), 3) + "~" + number_text(s.tag->plus_minus.value(), 3) : "-";
    std::string order = s.fires_evenly ? "even" : "uneven";
    for (const int cylinder : s.firing_order) order += " " + std::to_string(cylinder);
    return cache_key({form, core_build(), r.sha256, value_text(r.from), value_text(r.to), tag,
                      s.cylinders ? std::to_string(*s.cylinders) : "-", std::to_string(s.stroke), order,
                      r.pickup_channel ? std::to_string(*r.pickup_channel) : "-"});
}

std::string to_bytes(const Examined& e) {
    Writer w;
    portrait_fields(w, e.portrait);
    summary_fields(w, e.summary);
    return std::move(w.bytes);
}

std::optional<Examined> from_bytes(std::string_view bytes) {
    Reader r(bytes);
    Examined e;
    portrait_fields(r, e.portrait);
    summary_fields(r, e.summary);
    if (!r.at_end()) return std::nullopt;
    return e;
}

}  // namespace cranknote::job
