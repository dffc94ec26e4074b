// Rounding rules against PS 20 and published examples.
#include "aumbry/rounding.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

using namespace aumbry;

TEST(Rounding, MetricSizesOfPs20RoundHalvesToEven) {
    // PS 20-20, appendix B section B1 and table 3: inches to whole millimetres.
    const double table[][2] = {{0.75, 19}, {1, 25},     {1.25, 32},  {1.5, 38},    {2.5, 64},
                               {3.5, 89},  {4.5, 114},  {5.5, 140},  {6.5, 165},   {7.25, 184},
                               {7.5, 190}, {8.25, 210}, {9.25, 235}, {10.25, 260}, {11.25, 286}};
    for (const auto& [inches, mm] : table)
        EXPECT_EQ(round_half_even(inches * 127 / 5, 0), mm) << inches;
    // The only row that tells the two rules apart.
    EXPECT_EQ(round_to(7.5 * 127 / 5, 0), 191);
}

TEST(Rounding, HalfEvenExamplesOfPs20) {
    EXPECT_EQ(round_half_even(1.25, 1), 1.2);
    EXPECT_EQ(round_half_even(1.35, 1), 1.4);
    EXPECT_EQ(round_half_even(1.251, 1), 1.3);
    EXPECT_EQ(round_half_even(-1.25, 1), -1.2);
}

TEST(Rounding, HalvesGoAwayFromZeroAsWritten) {
    // 24.785 -> 24.79: Slovenia's euro site on Regulation (EC) 1103/97.
    EXPECT_EQ(round_to(24.784, 2), 24.78);
    EXPECT_EQ(round_to(24.785, 2), 24.79);
    // Decimal halves whose nearest double lies below them.
    EXPECT_EQ(round_to(1.005, 2), 1.01);
    EXPECT_EQ(round_to(2.675, 2), 2.68);
    EXPECT_EQ(round_to(-2.675, 2), -2.68);
    EXPECT_EQ(round_to(0.285, 2), 0.29);
    EXPECT_EQ(round_to(1234.5, 0), 1235);
    EXPECT_EQ(round_to(-0.5, 0), -1);
}

TEST(Rounding, TensAndHundreds) {
    EXPECT_EQ(round_to(1250, -2), 1300);
    EXPECT_EQ(round_to(-1249.9, -2), -1200);
    EXPECT_EQ(round_half_even(1250, -2), 1200);
    EXPECT_EQ(round_to(49, -2), 0);
    EXPECT_EQ(round_to(99.96, -1), 100);
}

TEST(Rounding, CarriesThroughNines) {
    EXPECT_EQ(round_to(9.995, 2), 10);
    EXPECT_EQ(round_to(0.9999999999999999, 15), 1);
    EXPECT_EQ(round_to(999999.5, 0), 1000000);
}

TEST(Rounding, NegativeZeroBecomesZero) {
    EXPECT_FALSE(std::signbit(round_to(-0.0001, 2)));
    EXPECT_FALSE(std::signbit(round_to(-0.0, 2)));
    EXPECT_FALSE(std::signbit(round_half_even(-0.5, 0)));
    EXPECT_FALSE(std::signbit(round_to_significant(-0.0, 3)));
}

TEST(Rounding, ValuesWithoutSuchDecimalsStayAsTheyAre) {
    EXPECT_EQ(round_to(1e300, 2), 1e300);
    EXPECT_EQ(round_to(0x1p53 + 2, 3), 0x1p53 + 2);
    EXPECT_EQ(round_to(std::numeric_limits<double>::denorm_min(), 15), 0);
    EXPECT_TRUE(std::isinf(round_to(std::numeric_limits<double>::infinity(), 2)));
    EXPECT_TRUE(std::isnan(round_to(std::numeric_limits<double>::quiet_NaN(), 2)));
}

TEST(Rounding, SignificantDigits) {
    EXPECT_EQ(round_to_significant(0.1 + 0.2, 15), 0.3);
    EXPECT_EQ(round_to_significant(123456, 2), 120000);
    EXPECT_EQ(round_to_significant(-0.00098765, 3), -0.000988);
}

TEST(FormatNumber, FixedDecimals) {
    EXPECT_EQ(format_number(12.5, 2), "12.50");
    EXPECT_EQ(format_number(-0.04, 1), "0.0");
    EXPECT_EQ(format_number(1e15, 0), "1000000000000000");
    EXPECT_EQ(format_number(1.005, 2), "1.01");
    EXPECT_EQ(format_trimmed(12.50, 3), "12.5");
    EXPECT_EQ(format_trimmed(18.0004, 3), "18");
    EXPECT_EQ(format_trimmed(-0.0004, 3), "0");
    EXPECT_EQ(format_trimmed(1200, 0), "1200");
}
