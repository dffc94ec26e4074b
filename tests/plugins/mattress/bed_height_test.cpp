#include "mattress/engine/bed_height.hpp"

#include "complaint.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::mattress {
namespace {

using ::testing::HasSubstr;

TEST(BedHeight, LyingHeightIsBasePlusThickness) {
    const BedHeight height = bed_height(330, 400, 180);
    EXPECT_EQ(height.lying, 510);
    EXPECT_EQ(height.above_frame, 110);
    EXPECT_TRUE(height.findings.empty());
}

TEST(BedHeight, ABaseFrom600MillimetresIsAHighBed) {
    // EN 747-1: bunk and high beds have the upper side of their base at 600 mm or more.
    EXPECT_EQ(bed_height(600, 900, 150).findings.at(0).code, "high-bed");
    EXPECT_EQ(bed_height(600, 900, 150).findings.at(0).severity, contract::Severity::warning);
    for (const contract::Finding& finding : bed_height(599, 900, 150).findings)
        EXPECT_NE(finding.code, "high-bed");
}

TEST(BedHeight, UnusualHeightsAndLowRimsAreTold) {
    EXPECT_EQ(bed_height(100, 160, 150).findings.at(0).code, "lying-height");
    EXPECT_EQ(bed_height(560, 600, 200).findings.at(0).code, "lying-height");
    EXPECT_EQ(bed_height(330, 350, 180).findings.at(0).code, "mattress-not-held");
}

TEST(BedHeight, BadFigures) {
    EXPECT_THAT(complaint([] { (void)bed_height(-1, 400, 180); }), HasSubstr("a base at -1 mm"));
    EXPECT_THAT(complaint([] { (void)bed_height(300, 400, 0); }), HasSubstr("a mattress of 0 mm"));
}

} // namespace
} // namespace aumbry::mattress
