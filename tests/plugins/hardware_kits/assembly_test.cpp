#include "hardware_kits/engine/assembly.hpp"

#include "faults.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::hardware_kits {
namespace {

using ::testing::HasSubstr;

std::vector<AssemblyStep> steps() {
    return {{"frame", "Stand the frame", 40, 22, false, false},
            {"anchor", "Fix the frame to the wall", 30, 0, true, false},
            {"panel", "Hang the panel", 30, 34, false, false},
            {"springs", "Mount the springs", 20, 2, false, true}};
}

TEST(Assembly, SpringsAreNeverLoadedOnAnUnanchoredFrame) {
    EXPECT_TRUE(faults_of(steps()).empty());
    std::vector<AssemblyStep> wrong = steps();
    std::swap(wrong[1], wrong[3]);
    const std::vector<Fault> faults = faults_of(wrong);
    ASSERT_EQ(faults.size(), 1u);
    EXPECT_EQ(
        faults[0].sentence(),
        "step 'springs' loads springs on a frame that is not fixed to the building yet; fix the "
        "frame first; an unanchored frame tips over");
}

TEST(Assembly, ASubAssemblyTooHeavyForOneAsksForASecond) {
    EXPECT_EQ(people_for(steps()[0]), 1);
    EXPECT_EQ(people_for(steps()[2]), 2);
    EXPECT_EQ(people_for({"x", "x", 1, 25, false, false}), 1);
    EXPECT_EQ(people_for({"x", "x", 1, 51, false, false}), 3);
    const std::vector<contract::Finding> findings = lifting_findings(steps());
    ASSERT_EQ(findings.size(), 1u);
    EXPECT_THAT(findings[0].text, HasSubstr("step 'Hang the panel' lifts 34 kg"));
}

TEST(Assembly, WhatIsLongOrLargeIsCarriedByTwoHoweverLight) {
    // A poplar panel of 19.7 kg, 2010 x 930 mm, was hung by one; over 2 m or 1.5 m2 two carry it
    // (common practice).
    AssemblyStep hang{"hang", "hang the panel", 30, 19.7, false, false, 2010, 1.87};
    EXPECT_EQ(people_for(hang), 2);
    EXPECT_THAT(lifting_findings({hang}).at(0).text, HasSubstr("a part of 2010 mm"));
    hang.longest = 1990;
    EXPECT_EQ(people_for(hang), 2);
    hang.largest = 1.4;
    EXPECT_EQ(people_for(hang), 1);
    EXPECT_EQ(people_for(hang, {25, 1800, 1.5}), 2);
}

TEST(Assembly, BadFigures) {
    std::vector<AssemblyStep> wrong = steps();
    wrong[1].id = "frame";
    wrong[2].minutes = -1;
    ASSERT_EQ(faults_of(wrong).size(), 2u);
    EXPECT_THAT(complaint([] {
                    (void)people_for(steps()[0], {0, 2000, 1.5});
                }),
                HasSubstr("one person is said to lift 0 kg"));
}

} // namespace
} // namespace aumbry::hardware_kits
