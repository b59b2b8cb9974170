#include "desk/places_file.hpp"

#include <filesystem>
#include <fstream>

namespace cranknote::desk {

void write_places(const std::string& file, const Places& places, const Standing& standing) {
    const std::string part = file + ".part";
    {
        std::ofstream out(part);
        out << "frame " << standing.frame << '\n' << (standing.busy ? "busy" : "idle") << '\n';
        const auto& h = standing.heed;
        out << "pointer " << h.x << ' ' << h.y << '\n';
        out << "keys " << h.keys << "\ncharacters " << h.characters << "\nbuttons " << h.buttons << "\nwheel "
            << h.wheel << '\n';
        out << "said " << standing.said << '\n';
        out << "lit " << standing.lit << '\n';
        out << "reading " << standing.reading << '\n';
        for (const auto& p : places.items)
            out << p.box.x0 << ' ' << p.box.y0 << ' ' << p.box.x1 << ' ' << p.box.y1 << ' ' << p.id << '\n';
        for (const auto& text : places.cut) out << "cut " << text << '\n';
    }
    std::error_code ignored;
    std::filesystem::rename(part, file, ignored);
}

}  // namespace cranknote::desk
