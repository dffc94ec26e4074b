// Widths of text on paper. Letters with an accent are as wide as those without, and currency signs
// as wide as figures: a rule of the face's own design (DejaVu Sans, fixed-width figures).
#include "print/drawing.hpp"

#include <gtest/gtest.h>

namespace aumbry::print {
namespace {

// Every letter beyond ASCII counted 0.85 em: \u00e9 and \u20ac were set a third too wide.
TEST(TextWidth, ALetterWithAnAccentIsAsWideAsTheLetter) {
    const std::pair<const char*, const char*> pairs[] = {
        {"\u00e9", "e"}, {"\u00c4", "A"}, {"\u00f6", "o"}, {"\u00fc", "u"},
        {"\u00f1", "n"}, {"\u0161", "s"}, {"\u010d", "c"}, {"\u017b", "Z"},
        {"\u20ac", "0"}, {"\u00a3", "0"}, {"\u00b1", "+"}};
    for (const auto& [accented, plain] : pairs) {
        EXPECT_DOUBLE_EQ(text_width(accented, 10), text_width(plain, 10)) << accented;
        EXPECT_DOUBLE_EQ(text_width(accented, 10, true), text_width(plain, 10, true)) << accented;
    }
}

TEST(TextWidth, AWordIsTheSumOfItsLetters) {
    EXPECT_DOUBLE_EQ(text_width("Caf\u00e9 3 \u20ac", 10),
                     text_width("Cafe", 10) + text_width(" 3 ", 10) + text_width("0", 10));
}

// The ellipsis itself counted 0.85 em and is a whole one: a cut text was wider than its room.
TEST(TextWidth, ACutTextWithItsEllipsisFitsItsRoom) {
    for (const char* text : {"Schr\u00e4nkchen \u00fcber dem Bett",
                             "Oberfl\u00e4chen\u2014lackiert", "\u6728\u5de5\u6728\u5de5"}) {
        for (double room = 12; room < text_width(text, 3); room += 0.7) {
            const std::string cut = shortened(text, 3, room);
            EXPECT_LE(text_width(cut, 3), room) << cut;
            EXPECT_TRUE(cut.ends_with("\u2026")) << cut;
        }
    }
}

TEST(TextWidth, LettersOfOtherScriptsStillHaveRoom) {
    EXPECT_GE(text_width("\u0416", 10), text_width("M", 10) * 0.9);
    EXPECT_DOUBLE_EQ(text_width("\u6728", 10), 10);
}

} // namespace
} // namespace aumbry::print
