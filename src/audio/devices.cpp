#include "audio/devices.hpp"

#include <dlfcn.h>
#include <fcntl.h>
#include <portaudio.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cstdio>

#include "units/error.hpp"

namespace cranknote {
namespace {

std::string lower(std::string s) {
    for (auto& c : s) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return s;
}

std::vector<SoundDevice> devices(bool input) {
    std::vector<SoundDevice> all;
    const auto usual = input ? Pa_GetDefaultInputDevice() : Pa_GetDefaultOutputDevice();
    for (int i = 0; i < Pa_GetDeviceCount(); ++i) {
        const PaDeviceInfo* d = Pa_GetDeviceInfo(i);
        if (d == nullptr || d->name == nullptr) continue;
        const int channels = input ? d->maxInputChannels : d->maxOutputChannels;
        if (channels < 1) continue;
        all.push_back({i, d->name, channels, SampleRate{d->defaultSampleRate}, i == usual});
    }
    return all;
}

std::string names_of(const std::vector<SoundDevice>& all) {
    std::string text;
    for (const auto& d : all) text += (text.empty() ? "" : ", ") + d.name;
    return text;
}

void say_nothing(const char*, int, const char*, int, const char*, ...) {}

/// ALSA, which PortAudio loads, prints on stderr whenever a buffer runs dry; it has a handler for that.
/// Looked up and not linked, as PortAudio may be built without ALSA.
void quieten_alsa() {
    using Handler = void (*)(const char*, int, const char*, int, const char*, ...);
    using SetHandler = int (*)(Handler);
    if (auto* found = ::dlsym(RTLD_DEFAULT, "snd_lib_error_set_handler"); found != nullptr)
        reinterpret_cast<SetHandler>(found)(say_nothing);
}

}  // namespace

QuietStderr::QuietStderr() {
    std::fflush(stderr);
    const int nothing = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
    if (nothing < 0) return;
    kept_ = ::fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 3);
    if (kept_ >= 0) ::dup2(nothing, STDERR_FILENO);
    ::close(nothing);
}

QuietStderr::~QuietStderr() {
    if (kept_ < 0) return;
    std::fflush(stderr);
    ::dup2(kept_, STDERR_FILENO);
    ::close(kept_);
}

SoundSystem::SoundSystem() {
    PaError code = paNoError;
    quieten_alsa();
    {
        const QuietStderr quiet;
        code = Pa_Initialize();
    }
    if (code != paNoError)
        throw Error(std::string("the sound system does not start: ") + Pa_GetErrorText(code), "",
                    "check the machine's sound settings");
}

SoundSystem::~SoundSystem() {
    const QuietStderr quiet;
    Pa_Terminate();
}

std::vector<SoundDevice> inputs(const SoundSystem&) { return devices(true); }
std::vector<SoundDevice> outputs(const SoundSystem&) { return devices(false); }

SoundDevice choose(const std::vector<SoundDevice>& all, const std::string& name) {
    if (all.empty())
        throw Error("this machine has no sound device for that", "",
                    "plug one in, or close the program that holds it");
    if (name.empty()) {
        const auto usual = std::find_if(all.begin(), all.end(), [](const auto& d) { return d.usual; });
        return usual != all.end() ? *usual : all.front();
    }
    for (const auto& d : all)
        if (d.name == name) return d;
    std::vector<SoundDevice> fit;
    for (const auto& d : all)
        if (lower(d.name).find(lower(name)) != std::string::npos) fit.push_back(d);
    if (fit.size() == 1) return fit.front();
    if (fit.empty())
        throw Error("no sound device is called \"" + name + "\"", "", "there are: " + names_of(all),
                    Error::Kind::wrong_call);
    throw Error("more than one sound device fits \"" + name + "\"", "", "name one of: " + names_of(fit),
                Error::Kind::wrong_call);
}

}  // namespace cranknote
