#include "desk/settings.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "job/disk.hpp"
#include "layout/layout.hpp"

namespace cranknote::desk {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t most_recent = 8;

fs::path place() {
    if (const char* set = std::getenv("XDG_CONFIG_HOME"); set && *set)
        return fs::path(set) / "cranknote" / "desk";
    if (const char* home = std::getenv("HOME"); home && *home)
        return fs::path(home) / ".config" / "cranknote" / "desk";
    return {};
}

}  // namespace

Settings settings_from(const std::string& text) {
    Settings s;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        const auto space = line.find(' ');
        if (space == std::string::npos) continue;
        const auto name = line.substr(0, space), value = line.substr(space + 1);
        if (name == "colours") s.mode = value == "dark" ? figure::Mode::dark : figure::Mode::light;
        if (name == "percent") s.scale = std::clamp(std::atoi(value.c_str()), 80, 300) / 100.0;
        if (name == "job" && s.recent.size() < most_recent) s.recent.push_back(value);
    }
    return s;
}

std::string settings_text(const Settings& s) {
    std::string text = std::string("colours ") + (s.mode == figure::Mode::dark ? "dark" : "light") + "\n";
    if (s.scale > 0.0) text += "percent " + std::to_string(static_cast<int>(s.scale * 100.0 + 0.5)) + "\n";
    for (const auto& job : s.recent)
        if (job.find('\n') == std::string::npos) text += "job " + job + "\n";
    return text;
}

void remember(Settings& settings, const std::string& job) {
    std::erase(settings.recent, job);
    settings.recent.insert(settings.recent.begin(), job);
    if (settings.recent.size() > most_recent) settings.recent.resize(most_recent);
}

Settings read_settings() {
    std::ifstream in(place());
    std::stringstream text;
    text << in.rdbuf();
    return settings_from(text.str());
}

void write_settings(const Settings& settings) {
    const auto file = place();
    if (file.empty()) return;
    std::error_code ignored;
    fs::create_directories(file.parent_path(), ignored);
    try {
        job::write_whole(file, settings_text(settings), job::Sync::fast);
    } catch (const Error&) {
        // Not being remembered is no reason to disturb anyone.
    }
}

std::vector<Preset> find_presets() {
    std::vector<Preset> found;
    std::error_code ignored;
    for (auto at = fs::read_symlink("/proc/self/exe", ignored).parent_path(); at.has_relative_path();
         at = at.parent_path())
        for (const char* place : {"share/cranknote/layouts", "samples/layouts"}) {
            if (!found.empty() || !fs::is_directory(at / place, ignored)) continue;
            for (const auto& entry : fs::directory_iterator(at / place, ignored)) {
                if (entry.path().extension() != ".toml") continue;
                try {
                    const auto text = job::read_file(entry.path(), 1 << 20);
                    found.push_back({parse_layout(text, entry.path().filename().string()).name, text});
                } catch (const Error&) {
                    // A broken preset is not offered.
                }
            }
        }
    std::ranges::sort(found, {}, &Preset::name);
    return found;
}

}  // namespace cranknote::desk
