// GTIN check digits against published numbers.
#include "aumbry/gtin.hpp"

#include <gtest/gtest.h>

using namespace aumbry;

TEST(Gtin, PublishedCheckDigits) {
    EXPECT_TRUE(gtin_valid("6291041500213")); // GS1, "How to calculate a check digit"
    EXPECT_TRUE(gtin_valid("7300011000017")); // GS1 Sweden
    EXPECT_TRUE(gtin_valid("1234567890128")); // EN 16931 example 2
    EXPECT_TRUE(gtin_valid("1234567890135")); // EN 16931 example 2
}

TEST(Gtin, ValidatesAllLengths) {
    EXPECT_TRUE(gtin_valid("6291041500213"));
    EXPECT_TRUE(gtin_valid("06291041500213")); // a leading zero changes nothing
    EXPECT_TRUE(gtin_valid("012345678905"));   // a GTIN-12 common in textbooks, from memory
    EXPECT_FALSE(gtin_valid("6291041500214"));
    EXPECT_FALSE(gtin_valid("6291041502013")); // two digits swapped
    EXPECT_FALSE(gtin_valid("629104150021"));
    EXPECT_FALSE(gtin_valid("62910415002 3"));
    EXPECT_FALSE(gtin_valid(""));
    EXPECT_FALSE(gtin_valid("123456789"));
}
