// What can be read, and what the window remembers.
#include "window.hpp"

#include "shell/fonts.hpp"

#include <gtest/gtest.h>

namespace aumbry::gui::test {

// WCAG 2.1, success criterion 1.4.3: text has a contrast of at least 4.5 to 1.
TEST(Look, EveryInkCanBeReadOnItsPaperInBothPalettes) {
    for (const Palette* palette : {&light_palette(), &dark_palette()}) {
        for (const Reading& reading : readings()) {
            EXPECT_GE(contrast(palette->*reading.ink, palette->*reading.paper), 4.5)
                << reading.name << (palette == &dark_palette() ? ", dark" : ", light");
        }
    }
}

// WCAG 2.1, definitions of contrast ratio and relative luminance: black on white is 21 to 1, and
// #777777 on white falls just short of 4.5 (a well-known pair).
TEST(Look, ContrastIsAsDefined) {
    EXPECT_NEAR(contrast({0, 0, 0}, {255, 255, 255}), 21, 1e-9);
    EXPECT_NEAR(contrast({255, 255, 255}, {255, 255, 255}), 1, 1e-9);
    EXPECT_NEAR(contrast({0x77, 0x77, 0x77}, {255, 255, 255}), 4.48, 0.005);
}

TEST(Look, WithoutAFontTheBuiltInLettersAreUsed) {
    ImGui::CreateContext();
    Theme theme;
    EXPECT_FALSE(load_fonts(theme, ""));
    EXPECT_FALSE(load_fonts(theme, "/nowhere/at/all.ttf"));
    unsigned char* pixels = nullptr;
    int width = 0;
    int height = 0;
    ImGui::GetIO().Fonts->GetTexDataAsAlpha8(&pixels, &width, &height);
    EXPECT_NE(pixels, nullptr);
    ASSERT_NE(theme.text, nullptr);
    EXPECT_GT(theme.text->CalcTextSizeA(16, 1e9F, 0, "Total").x, 0);
    ImGui::DestroyContext();
}

TEST(Look, TheSystemsFontHasTheSignsOfOurTexts) {
    const std::string font = find_font();
    ASSERT_FALSE(font.empty());
    ImGui::CreateContext();
    Theme theme;
    ASSERT_TRUE(load_fonts(theme, font));
    unsigned char* pixels = nullptr;
    int width = 0;
    int height = 0;
    ImGui::GetIO().Fonts->GetTexDataAsAlpha8(&pixels, &width, &height);
    constexpr ImWchar signs[] = {0x20AC, 0x2013, 0x2033, 0x0141,
                                 0x2212}; // euro, dash, inch, L stroke, minus
    for (const ImWchar sign : signs)
        EXPECT_NE(theme.text->FindGlyphNoFallback(sign), nullptr) << std::hex << sign;
    ImGui::DestroyContext();
}

TEST(Settings, ComeBackAsTheyWereWritten) {
    const Folder folder;
    const auto file = folder.path() / "deep" / "window.json";
    Settings settings;
    settings.dark = true;
    settings.text_scale = 1.25F;
    settings.width = 1440;
    settings.height = 900;
    note_recent(settings, folder.path() / "a.aumbry.json");
    note_recent(settings, folder.path() / "b.aumbry.json");
    note_recent(settings, folder.path() / "a.aumbry.json");
    write_settings(settings, file);
    const Settings back = read_settings(file);
    EXPECT_EQ(back.dark, true);
    EXPECT_EQ(back.text_scale, 1.25F);
    EXPECT_EQ(back.width, 1440);
    EXPECT_EQ(back.height, 900);
    ASSERT_EQ(back.recent.size(), 2U);
    EXPECT_EQ(back.recent.front(), (folder.path() / "a.aumbry.json").string());
}

TEST(Settings, NonsenseIsPassedOver) {
    const Folder folder;
    const auto file = folder.path() / "window.json";
    for (const char* text : {"", "[]", "{", R"({"dark": 3, "text_scale": "big", "width": -1})"}) {
        write_text(file, text);
        const Settings settings = read_settings(file);
        EXPECT_FALSE(settings.dark) << text;
        EXPECT_EQ(settings.text_scale, 1) << text;
        EXPECT_GE(settings.width, 640) << text;
    }
    EXPECT_EQ(read_settings(folder.path() / "missing.json").recent.size(), 0U);
}

TEST(Settings, AFolderThatCannotBeWrittenStopsNobody) {
    write_settings({}, "/dev/null/nowhere/window.json");
    write_settings({}, "");
}

} // namespace aumbry::gui::test
