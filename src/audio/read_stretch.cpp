#include <algorithm>
#include <cmath>
#include <utility>

#include "audio/decode.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

constexpr std::size_t block_frames = 65536;

std::size_t frames_until(Seconds t, SampleRate rate) {
    return static_cast<std::size_t>(std::llround(std::max(0.0, t.value()) * rate.value()));
}

void require_sense(const std::string& path, const Stretch& s) {
    const auto from = s.from.value_or(Seconds{0});
    const bool numbers = std::isfinite(from.value()) && (!s.to || std::isfinite(s.to->value()));
    if (!numbers || from.value() < 0 || from.value() > 1e6 || (s.to && *s.to <= from))
        throw Error("the stretch asked for is empty", path, "let it begin at 0 s or later and end after that",
                    Error::Kind::wrong_call);
}

void go_to(SoundFile& file, std::size_t first, const std::stop_token& stop) {
    while (file.position() < first) {
        if (stop.stop_requested()) throw Stopped("stopped");
        const auto want = std::min<std::size_t>(first - file.position(), 16 * block_frames);
        if (file.skip(want) < want) return;
    }
}

}  // namespace

Reading read_stretch(const std::string& path, const Stretch& stretch, const ReadProgress& progress,
                     std::stop_token stop) {
    require_sense(path, stretch);
    auto file = SoundFile::open(path);
    const auto rate = file.info().rate;
    const auto first = frames_until(stretch.from.value_or(Seconds{0}), rate);
    const auto most = frames_until(Seconds{std::min(stretch.longest.value(), 1e6)}, rate);
    auto last = first + most;
    if (stretch.to) last = std::min(last, frames_until(Seconds{std::min(stretch.to->value(), 2e6)}, rate));

    Reading result;
    go_to(file, first, stop);
    if (file.position() < first)
        throw Error("it ends before the stretch asked for begins", path, "choose a stretch inside the file");
    result.recording.rate = rate;
    result.recording.channels.resize(static_cast<std::size_t>(file.info().channels));
    result.recording.start = Seconds{static_cast<double>(first) / rate.value()};
    while (file.position() < last) {
        if (stop.stop_requested()) throw Stopped("stopped");
        const auto want = std::min(last - file.position(), block_frames);
        const auto block = file.read(want);
        for (std::size_t c = 0; c < block.size(); ++c)
            result.recording.channels[c].insert(result.recording.channels[c].end(), block[c].begin(),
                                                block[c].end());
        if (progress) {
            std::optional<double> share;
            if (file.info().duration) {
                const auto end =
                    std::min(static_cast<double>(last), file.info().duration->value() * rate.value());
                share = std::clamp(static_cast<double>(file.position()) / std::max(end, 1.0), 0.0, 1.0);
            }
            progress(share);
        }
        if (block.front().size() < want) break;
    }
    if (result.recording.samples() == 0)
        throw Error("it holds no sound" + std::string(first > 0 ? " in the stretch asked for" : ""), path,
                    first > 0 ? "choose a stretch inside the file" : "record or copy it again");
    const bool cut_by_limit = !stretch.to || frames_until(*stretch.to, rate) > last;
    result.longer = file.position() == last && cut_by_limit && file.skip(1) == 1;
    result.info = file.info();
    result.damage = file.damage();
    result.broken_at = file.broken_at();
    return result;
}

}  // namespace cranknote
