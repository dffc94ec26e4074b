// Foreign text in sentences stays short, printable and valid UTF-8.
#include "values/excerpt.hpp"

#include <gtest/gtest.h>

using aumbry::excerpt;

TEST(Excerpt, CutsBetweenCharacters) {
    EXPECT_EQ(excerpt("abcdef", 6), "abcdef");
    EXPECT_EQ(excerpt("abcdef", 5), "abcde...");
    EXPECT_EQ(excerpt("ab\u20acd", 4), "ab...");
    EXPECT_EQ(excerpt("ab\u20acd", 5), "ab\u20ac...");
}

TEST(Excerpt, ReplacesWhatCannotBePrinted) {
    EXPECT_EQ(excerpt(std::string_view("a\0b\n\x7f", 5)), "a?b ?");
    // RFC 3629: overlong forms, surrogates, values above U+10FFFF and stray bytes are not UTF-8.
    EXPECT_EQ(excerpt("\xC0\x80"), "??");
    EXPECT_EQ(excerpt("\xE0\x80\x80"), "???");
    EXPECT_EQ(excerpt("\xED\xA0\x80"), "???");
    EXPECT_EQ(excerpt("\xF4\x90\x80\x80"), "????");
    EXPECT_EQ(excerpt("\xE2\x82"), "??");
    EXPECT_EQ(excerpt("\xF0\x9F\x98\x80"), "\xF0\x9F\x98\x80");
}
