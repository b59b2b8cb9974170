#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "speed_result.hpp"

namespace cranknote::score {

namespace {

using Results = std::vector<SpeedResult>;

/// Wilson's 95 % interval of a share (Wilson 1927), in per cent.
std::string share(int hits, int all) {
    if (all == 0) return "none";
    const double n = all, p = hits / n, z = 1.96;
    const double middle = (p + z * z / (2 * n)) / (1 + z * z / n);
    const double half = z / (1 + z * z / n) * std::sqrt(p * (1 - p) / n + z * z / (4 * n * n));
    return fmt::format("{:5.1f} % ({:.1f} to {:.1f}; {} of {})", 100 * p, 100 * (middle - half),
                       100 * (middle + half), hits, all);
}

template <class Condition>
int count(const Results& r, Condition condition) {
    return static_cast<int>(std::count_if(r.begin(), r.end(), condition));
}

Results those(const Results& r, const std::function<bool(const SpeedResult&)>& keep) {
    Results out;
    std::copy_if(r.begin(), r.end(), std::back_inserter(out), keep);
    return out;
}

void summary(std::ostream& out, const std::string& title, const Results& all) {
    const auto read = those(all, [](const auto& r) { return r.read.has_value(); });
    std::vector<double> error;
    for (const auto& r : read) error.push_back(100.0 * std::abs(r.error()));
    const int n = static_cast<int>(all.size()), m = static_cast<int>(read.size());
    const int right = count(read, [](const auto& r) { return !r.wrong(); });
    const int covered =
        count(read, [](const auto& r) { return !r.wrong() && r.low <= r.truth && r.truth <= r.high; });
    out << fmt::format(
        "{:34} {:4}  withheld {:5.1f} %  wrong {:3}  median {:6.3f} %  within 0.5 % {:5.1f} %  covered "
        "{:5.1f} %\n",
        title, n, n > 0 ? 100.0 * (n - m) / n : 0.0, m - right, quantile(error, 0.5),
        m > 0 ? 100.0 * count(read, [](const auto& r) { return std::abs(r.error()) <= 0.005; }) / m : 0.0,
        right > 0 ? 100.0 * covered / right : 0.0);
}

void by(std::ostream& out, const Results& all, const std::string& what,
        const std::function<std::string(const SpeedResult&)>& key) {
    std::map<std::string, Results> groups;
    for (const auto& r : all) groups[key(r)].push_back(r);
    out << "\nBy " << what << "\n";
    for (const auto& [name, group] : groups) summary(out, "  " + name, group);
}

std::string chain(const SpeedResult& r) {
    std::string s = r.codec.empty() ? "wav" : r.codec;
    if (r.phone.starts_with("8000 ") || r.phone.starts_with("16000 "))
        s += " " + r.phone.substr(0, r.phone.find(' ')) + " Hz";
    if (r.phone.find("noise suppression") != std::string::npos) return "noise suppression";
    return s + (r.phone.find("low cut") != std::string::npos ? ", low cut" : "");
}

void reliability(std::ostream& out, const Results& all) {
    out << "\nOf readings given this confidence, so many are right (95 % interval)\n";
    const double edges[] = {0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0001};
    for (std::size_t i = 0; i + 1 < std::size(edges); ++i) {
        const auto in = those(all, [&](const auto& r) {
            return r.read && r.confidence >= edges[i] && r.confidence < edges[i + 1];
        });
        if (in.empty()) continue;
        double mean = 0.0;
        for (const auto& r : in) mean += r.confidence / static_cast<double>(in.size());
        out << fmt::format(
            "  {:.2f} to {:.2f}  stated {:5.1f} %  right {}\n", edges[i], std::min(edges[i + 1], 1.0),
            100.0 * mean,
            share(count(in, [](const auto& r) { return !r.wrong(); }), static_cast<int>(in.size())));
    }
}

void wrong_ones(std::ostream& out, const Results& all) {
    const auto wrong = those(all, [](const auto& r) { return r.wrong(); });
    if (wrong.empty()) return;
    out << "\nWrong by more than 3 %\n";
    for (const auto& r : wrong)
        out << fmt::format(
            "  {:18} {} cylinders  true {:7.1f}  read {:7.1f} ({:.3f} times)  confidence {:.3f}  {}\n", r.id,
            r.cylinders, r.truth, *r.read, *r.read / r.truth, r.confidence, r.course);
}

}  // namespace

double quantile(std::vector<double> v, double q) {
    if (v.empty()) return 0.0;
    std::sort(v.begin(), v.end());
    return v[std::min(v.size() - 1, static_cast<std::size_t>(q * static_cast<double>(v.size())))];
}

void report(std::ostream& out, const Results& results) {
    const auto running = those(results, [](const auto& r) { return r.runs; });
    const auto read = those(running, [](const auto& r) { return r.read.has_value(); });
    const auto right = those(read, [](const auto& r) { return !r.wrong(); });
    std::vector<double> error, speed, idle_track;
    for (const auto& r : read) error.push_back(100.0 * std::abs(r.error()));
    for (const auto& r : results) speed.push_back(10.0 * r.milliseconds / std::max(r.seconds, 0.1));
    for (const auto& r : right)
        if (r.course == "idle" && r.wander > 0.006 && r.wander < 0.0135)
            idle_track.push_back(100.0 * r.track_rms);
    const int n = static_cast<int>(running.size()), m = static_cast<int>(read.size());
    out << fmt::format("{} recordings of a running engine\n", n);
    out << fmt::format("  error of the mean: median {:.3f} %, 95 % below {:.2f} %\n", quantile(error, 0.5),
                       quantile(error, 0.95));
    out << "  within 0.5 %:        "
        << share(count(read, [](const auto& r) { return std::abs(r.error()) <= 0.005; }), m) << "\n";
    out << "  cannot tell:         " << share(n - m, n) << "\n";
    out << "  wrong at 0.95 and up:"
        << share(count(read, [](const auto& r) { return r.wrong() && r.confidence >= 0.95; }),
                 count(read, [](const auto& r) { return r.confidence >= 0.95; }))
        << "\n";
    out << "  wrong below 0.95:    "
        << share(count(read, [](const auto& r) { return r.wrong() && r.confidence < 0.95; }),
                 count(read, [](const auto& r) { return r.confidence < 0.95; }))
        << "\n";
    out << "  95 % interval holds: "
        << share(count(right, [](const auto& r) { return r.low <= r.truth && r.truth <= r.high; }),
                 static_cast<int>(right.size()))
        << " of those on the right multiple\n";
    out << fmt::format(
        "  track, idles that wander 0.6 to 1.35 %: median rms error {:.2f} %, nine in ten below {:.2f} %\n",
        quantile(idle_track, 0.5), quantile(idle_track, 0.9));
    out << fmt::format("  time for 10 s of sound: median {:.1f} ms\n", quantile(speed, 0.5));
    const auto silent = those(results, [](const auto& r) { return !r.runs; });
    if (!silent.empty())
        out << fmt::format("  of {} in which no engine runs, {} were given a speed\n", silent.size(),
                           count(silent, [](const auto& r) { return r.read.has_value(); }));
    by(out, running, "cylinders", [](const auto& r) { return std::to_string(r.cylinders); });
    by(out, running, "phone chain", chain);
    by(out, running, "course", [](const auto& r) { return r.course; });
    reliability(out, running);
    wrong_ones(out, running);
}

void write_csv(std::ostream& out, const Results& results) {
    out << "id,cylinders,course,phone,truth,read,low,high,confidence,track_rms,wander,ms\n";
    for (const auto& r : results) {
        auto phone = r.phone;
        std::replace(phone.begin(), phone.end(), ',', ';');
        out << fmt::format("{},{},{},{},{:.3f},{},{:.3f},{:.3f},{:.4f},{:.5f},{:.4f},{:.1f}\n", r.id,
                           r.cylinders, r.course, phone, r.truth,
                           r.read ? fmt::format("{:.3f}", *r.read) : "", r.low, r.high, r.confidence,
                           r.track_rms, r.wander, r.milliseconds);
    }
}

}  // namespace cranknote::score
