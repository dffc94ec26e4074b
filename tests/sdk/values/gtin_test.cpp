// GTIN check digits against published numbers.
#include "aumbry/gtin.hpp"
#include "fault_of.hpp"

#include <gtest/gtest.h>

using namespace aumbry;

TEST(Gtin, PublishedCheckDigits) {
    EXPECT_EQ(gtin_check_digit("629104150021"), '3'); // GS1, "How to calculate a check digit"
    EXPECT_EQ(gtin_check_digit("730001100001"), '7'); // GS1 Sweden
    EXPECT_EQ(gtin_check_digit("123456789012"), '8'); // EN 16931 example 2
    EXPECT_EQ(gtin_check_digit("123456789013"), '5'); // EN 16931 example 2
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

TEST(Gtin, CheckDigitNeedsDigits) {
    EXPECT_EQ(fault_of([] { gtin_check_digit("12345678901x"); }).code, "bad-gtin");
    EXPECT_EQ(fault_of([] { gtin_check_digit("1234"); }).right, "give 7, 11, 12 or 13 digits");
}
