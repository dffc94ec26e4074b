#include "shell/fonts.hpp"

#include <cmath>
#include <fontconfig/fontconfig.h>
#include <fstream>

namespace aumbry::gui {

std::string find_font() {
    std::string file;
    if (FcInit() == FcFalse) return file;
    // The signs are asked for, so that a face without them is passed over.
    FcPattern* wanted = FcNameParse(reinterpret_cast<const FcChar8*>("sans-serif:style=Book"));
    FcCharSet* signs = FcCharSetCreate();
    for (const FcChar32 sign : {0x20ACU, 0x2013U, 0x2033U, 0x0141U, 0x2212U})
        FcCharSetAddChar(signs, sign);
    FcPatternAddCharSet(wanted, FC_CHARSET, signs);
    FcPatternAddBool(wanted, FC_SCALABLE, FcTrue);
    FcPatternAddString(wanted, FC_FONTFORMAT, reinterpret_cast<const FcChar8*>("TrueType"));
    FcConfigSubstitute(nullptr, wanted, FcMatchPattern);
    FcDefaultSubstitute(wanted);
    FcResult result = FcResultNoMatch;
    if (FcPattern* found = FcFontMatch(nullptr, wanted, &result)) {
        FcChar8* name = nullptr;
        if (FcPatternGetString(found, FC_FILE, 0, &name) == FcResultMatch)
            file = reinterpret_cast<const char*>(name);
        FcPatternDestroy(found);
    }
    FcCharSetDestroy(signs);
    FcPatternDestroy(wanted);
    return file;
}

bool load_fonts(Theme& theme, const std::string& file) {
    // Latin with all accents, dashes and quotes, primes, currency signs, arrows, minus and
    // multiplied by.
    static const ImWchar ranges[] = {0x0020, 0x017F, 0x2010, 0x2027, 0x2030, 0x203A, 0x20A0, 0x20BF,
                                     0x2190, 0x2193, 0x2212, 0x2212, 0x2264, 0x2265, 0};
    ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
    atlas.Clear();
    const bool readable = !file.empty() && std::ifstream(file).good();
    const auto add = [&](float size) {
        const float pixels = std::floor(size * theme.scale);
        if (readable) {
            if (ImFont* font = atlas.AddFontFromFileTTF(file.c_str(), pixels, nullptr, ranges))
                return font;
        }
        ImFontConfig config;
        config.SizePixels = pixels;
        return atlas.AddFontDefault(&config);
    };
    theme.text = add(TypeScale::text); // the first is the default
    theme.small = add(TypeScale::small);
    theme.figure = add(TypeScale::figure);
    theme.total = add(TypeScale::total);
    ImGui::GetIO().FontDefault = theme.text;
    return readable;
}

} // namespace aumbry::gui
