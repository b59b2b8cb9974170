#include "audio/record.hpp"

#include <portaudio.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <deque>
#include <mutex>
#include <thread>

#include "audio/devices.hpp"
#include "audio/growing_wav.hpp"
#include "audio/ring.hpp"
#include "units/error.hpp"

namespace cranknote {
namespace {

using Clock = std::chrono::steady_clock;
constexpr double queue_s = 10;  // how long a disk may stall before sound is lost
constexpr double newest_s = 5;
constexpr auto writer_pause = std::chrono::milliseconds(40);
constexpr auto lost_after = std::chrono::seconds(2);         // without a sample: the device is gone
constexpr auto never_began_after = std::chrono::seconds(6);  // some sound servers take 2 s to begin
constexpr auto sync_every = std::chrono::seconds(1);

/// What the sound card's thread sees.
struct Inlet {
    explicit Inlet(std::size_t capacity) : ring(capacity) {}
    SampleRing ring;
    std::size_t channels = 1;
    std::atomic<std::size_t> overruns{0};
};

/// Runs on the sound card's thread: no lock, no memory, no file.
int take_in(const void* input, void*, unsigned long frames, const PaStreamCallbackTimeInfo*,
            PaStreamCallbackFlags flags, void* user) {
    auto& inlet = *static_cast<Inlet*>(user);
    const bool lost_before = (flags & paInputOverflow) != 0;
    const bool taken =
        input != nullptr && inlet.ring.write({static_cast<const float*>(input),
                                              static_cast<std::size_t>(frames) * inlet.channels});
    if (lost_before || !taken) inlet.overruns.fetch_add(1, std::memory_order_relaxed);
    return paContinue;
}

void check(PaError code, const std::string& device, const std::string& advice) {
    if (code != paNoError)
        throw Error(std::string("cannot record: ") + Pa_GetErrorText(code), device, advice);
}

void require_sense(const RecordSettings& s) {
    if (s.channels != 1 && s.channels != 2)
        throw Error("1 or 2 channels can be recorded", "", two_channel_warning, Error::Kind::wrong_call);
    if (s.rate != SampleRate{44100} && s.rate != SampleRate{48000})
        throw Error("recordings are made at 44100 or 48000 Hz", "", "choose one of them",
                    Error::Kind::wrong_call);
    if (s.stop_after && !(s.stop_after->value() > 0 && s.stop_after->value() <= 6 * 3600.0))
        throw Error("the length must be above 0 s, and 6 hours at most", "", "choose another length",
                    Error::Kind::wrong_call);
}

}  // namespace

struct Recorder::Work {
    Work(const std::string& path, const RecordSettings& s);
    ~Work() { finish(); }
    void open_stream();
    void run(const std::stop_token& stop);
    bool take(const std::vector<float>& interleaved);
    void end_with(RecordEnd how, std::optional<std::string> trouble = std::nullopt);
    void finish();

    RecordSettings settings;
    SoundSystem system;
    SoundDevice device;
    Inlet inlet;
    PaStream* stream = nullptr;
    GrowingWav file;
    EngineWatch engine;

    mutable std::mutex mutex;  // between the writer and the caller; the sound card's thread never takes it
    RecordState state;
    std::vector<LevelMeter> meters;
    std::vector<std::deque<float>> newest;
    std::jthread writer;  // last: it uses all of the above
};

Recorder::Work::Work(const std::string& path, const RecordSettings& s)
    : settings((require_sense(s), s)),
      device(choose(inputs(system), s.input)),
      inlet(static_cast<std::size_t>(queue_s * s.rate.value()) * static_cast<std::size_t>(s.channels)),
      file((open_stream(), path), s.rate, s.channels),
      engine(s.rate),
      meters(static_cast<std::size_t>(s.channels), LevelMeter(s.rate)),
      newest(static_cast<std::size_t>(s.channels)) {
    PaError code = paNoError;
    {
        const QuietStderr quiet;
        code = Pa_StartStream(stream);
    }
    if (code != paNoError) ::unlink(path.c_str());  // nothing was recorded
    check(code, device.name, "close the other program that uses it");
    writer = std::jthread([this](const std::stop_token& stop) { run(stop); });
}

void Recorder::Work::open_stream() {
    if (device.channels < settings.channels)
        throw Error("it has only one channel", device.name, "choose another input, or 1 channel",
                    Error::Kind::wrong_call);
    inlet.channels = static_cast<std::size_t>(settings.channels);
    PaStreamParameters in{};
    in.device = device.index;
    in.channelCount = settings.channels;
    in.sampleFormat = paFloat32;
    const auto* about = Pa_GetDeviceInfo(device.index);
    in.suggestedLatency = about != nullptr ? about->defaultHighInputLatency : 0.1;
    const QuietStderr quiet;
    check(Pa_OpenStream(&stream, &in, nullptr, settings.rate.value(), paFramesPerBufferUnspecified, paNoFlag,
                        take_in, &inlet),
          device.name, "try another input or the other sample rate");
}

/// Writes and measures; false when the recording is over.
bool Recorder::Work::take(const std::vector<float>& interleaved) {
    const auto channels = static_cast<std::size_t>(settings.channels);
    auto frames = interleaved.size() / channels;
    bool full = false;
    if (settings.stop_after) {
        const auto most =
            static_cast<std::size_t>(std::llround(settings.stop_after->value() * settings.rate.value()));
        full = file.frames() + frames >= most;
        frames = std::min(frames, most - std::min(most, file.frames()));
    }
    try {
        file.append(std::span(interleaved).first(frames * channels));
    } catch (const Error& e) {
        end_with(RecordEnd::no_room, e.what());
        return false;
    }
    std::vector<float> one(frames);
    const std::lock_guard lock(mutex);
    for (std::size_t c = 0; c < channels; ++c) {
        for (std::size_t i = 0; i < frames; ++i) one[i] = interleaved[i * channels + c];
        meters[c].feed(one);
        if (c == 0) engine.feed(one);
        auto& last = newest[c];
        last.insert(last.end(), one.begin(), one.end());
        const auto keep = static_cast<std::size_t>(newest_s * settings.rate.value());
        if (last.size() > keep) last.erase(last.begin(), last.end() - static_cast<std::ptrdiff_t>(keep));
    }
    state.recorded = Seconds{static_cast<double>(file.frames()) / settings.rate.value()};
    state.overruns = inlet.overruns.load(std::memory_order_relaxed);
    if (full)
        state.end = RecordEnd::length_reached;
    else if (settings.stop_when_engine_stops && engine.stopped())
        state.end = RecordEnd::engine_stopped;
    return state.end == RecordEnd::running;
}

void Recorder::Work::end_with(RecordEnd how, std::optional<std::string> trouble) {
    const std::lock_guard lock(mutex);
    state.end = how;
    state.trouble = std::move(trouble);
}

void Recorder::Work::run(const std::stop_token& stop) {
    auto last_sound = Clock::now(), last_sync = last_sound;
    std::vector<float> block;
    for (bool stopping = false; !stopping;) {
        stopping = stop.stop_requested();  // before taking: what came until then is still written
        block.clear();
        const auto now = Clock::now();
        if (inlet.ring.read_all(block) > 0) {
            last_sound = now;
            if (!take(block)) return;
        } else if (!stopping && (now - last_sound > (file.frames() > 0 ? lost_after : never_began_after) ||
                                 Pa_IsStreamActive(stream) != 1)) {
            end_with(RecordEnd::device_lost,
                     device.name + ": the device is gone; what was recorded until then is kept");
            return;
        }
        if (now - last_sync > sync_every) {
            file.sync();
            last_sync = now;
        }
        if (!stopping) std::this_thread::sleep_for(writer_pause);
    }
    end_with(RecordEnd::asked);
}

void Recorder::Work::finish() {
    if (stream != nullptr) {
        const QuietStderr quiet;
        // Abort, not stop: a device that is gone would be waited for. Nothing of the recording is lost by it.
        Pa_AbortStream(stream);
        writer.request_stop();
        if (writer.joinable()) writer.join();
        Pa_CloseStream(stream);
        stream = nullptr;
        file.sync();
    }
}

Recorder::Recorder(const std::string& path, const RecordSettings& settings)
    : work_(std::make_unique<Work>(path, settings)) {}
Recorder::~Recorder() = default;

RecordState Recorder::state() const {
    const std::lock_guard lock(work_->mutex);
    auto s = work_->state;
    for (const auto& m : work_->meters) s.levels.push_back(m.level());
    return s;
}

std::vector<float> Recorder::newest(std::size_t channel, std::size_t count) const {
    const std::lock_guard lock(work_->mutex);
    if (channel >= work_->newest.size()) return {};
    const auto& last = work_->newest[channel];
    const auto n = std::min(count, last.size());
    return {last.end() - static_cast<std::ptrdiff_t>(n), last.end()};
}

const std::string& Recorder::device() const { return work_->device.name; }

RecordState Recorder::stop() {
    work_->finish();
    return state();
}

}  // namespace cranknote
