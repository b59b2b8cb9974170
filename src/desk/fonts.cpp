// The typeface in the atlas, rasterized by FreeType.
#include <imgui_freetype.h>

#include <cmath>
#include <filesystem>

#include "desk/look.hpp"
#include "units/error.hpp"

namespace cranknote::desk {

namespace {

using figure::Weight;

/// Latin, the signs of numbers and sentences; other scripts in the body cut alone, where names are typed.
constexpr ImWchar narrow[] = {0x20,   0x17F,  0x2010, 0x2027, 0x202F, 0x202F, 0x2030, 0x2033, 0x2070, 0x2089,
                              0x2190, 0x2193, 0x2212, 0x2212, 0x2248, 0x2248, 0x2264, 0x2265, 0};
constexpr ImWchar wide[] = {0x20,   0x24F,  0x370,  0x3FF,  0x400,  0x4FF,  0x2010, 0x2033, 0x2070, 0x2089,
                            0x2190, 0x2193, 0x2212, 0x2212, 0x2248, 0x2248, 0x2264, 0x2265, 0};

std::string file_of(Weight weight) {
    const char* inter = weight == Weight::bold ? "SemiBold" : weight == Weight::medium ? "Medium" : "Regular";
    const std::string names[] = {std::string("/usr/share/fonts/opentype/inter/Inter-") + inter + ".otf",
                                 weight == Weight::bold
                                     ? "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf"
                                     : "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"};
    for (const auto& name : names)
        if (std::filesystem::exists(name)) return name;
    throw Error("no typeface to write with", names[0],
                "install the package fonts-inter or fonts-dejavu-core");
}

}  // namespace

void load_fonts(Look& look, ImFontAtlas& atlas) {
    atlas.Clear();
    atlas.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
    atlas.FontBuilderFlags = ImGuiFreeTypeBuilderFlags_LightHinting;
    atlas.Flags |= ImFontAtlasFlags_NoPowerOfTwoHeight;
    atlas.TexDesiredWidth = 2048;
    const std::pair<double, Weight> wanted[] = {{body_type, Weight::regular}, {small_type, Weight::regular},
                                                {small_type, Weight::medium}, {small_type, Weight::bold},
                                                {body_type, Weight::medium},  {body_type, Weight::bold},
                                                {lead_type, Weight::bold},    {head_type, Weight::bold}};
    look.cuts.clear();
    for (const auto& [size, weight] : wanted) {
        ImFontConfig config;
        config.OversampleH = config.OversampleV = 1;
        const double px = std::round(size * look.scale);
        const bool is_body = size == body_type && weight == Weight::regular;
        // The library asks for the height of ascent and descent, which is 1.21 em in Inter.
        const float line = static_cast<float>(std::round(px * 1.21));
        auto* font =
            atlas.AddFontFromFileTTF(file_of(weight).c_str(), line, &config, is_body ? wide : narrow);
        if (!font) throw Error("the typeface cannot be read", file_of(weight), "install fonts-inter anew");
        look.cuts.push_back({px, weight, font});
    }
    if (!atlas.Build()) throw Error("the typeface cannot be drawn", "", "install fonts-inter anew");
    unsigned char* pixels = nullptr;
    int width = 0, height = 0;
    atlas.GetTexDataAsRGBA32(&pixels, &width, &height);  // kept for the texture that is made of it
}

}  // namespace cranknote::desk
