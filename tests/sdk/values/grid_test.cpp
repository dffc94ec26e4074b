// The whole-number grid of cutting and fitting.
#include "aumbry/grid.hpp"
#include "aumbry/quantity.hpp"
#include "fault_of.hpp"

#include <gtest/gtest.h>

#include <limits>

using namespace aumbry;

TEST(Grid, A64thOfAnInchIs3175Steps) {
    static_assert(steps_per_inch == 64 * 3175);
    for (int n = 0; n <= 64 * 120; ++n) {
        const double mm = n * 127 / (5.0 * 64);
        ASSERT_EQ(to_grid(mm), n * 3175) << n;
    }
    EXPECT_EQ(to_grid(as<Length>(parse_quantity("1 ft 2 3/8 in"))), 920 * 3175);
}

TEST(Grid, ATenthOfAMillimetreIs800Steps) {
    for (int n = -30000; n <= 30000; ++n) ASSERT_EQ(to_grid(n / 10.0), n * 800) << n;
}

TEST(Grid, StepsSurviveTheWayToMillimetresAndBack) {
    for (const GridLength steps :
         {GridLength{1}, GridLength{-1}, GridLength{3175}, GridLength{19504800},
          GridLength{7999999999999}, GridLength{-7999999999999}})
        EXPECT_EQ(to_grid(to_mm(steps)), steps);
}

TEST(Grid, RefusesWhatIsNoLength) {
    EXPECT_EQ(fault_of([] { to_grid(std::numeric_limits<double>::quiet_NaN()); }).code, "off-grid");
    EXPECT_EQ(fault_of([] { to_grid(std::numeric_limits<double>::infinity()); }).code, "off-grid");
    EXPECT_EQ(fault_of([] { to_grid(-1.1e9); }).code, "off-grid");
}
