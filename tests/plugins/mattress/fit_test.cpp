#include "mattress/engine/fit.hpp"

#include "complaint.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::mattress {
namespace {

using ::testing::HasSubstr;

TEST(MattressFit, TenToTwentyMillimetresOnEachSideFit) {
    // Common practice: 10 to 20 mm on each side of the nominal mattress; tolerance 20 mm (EN 1334,
    // from memory).
    for (double ease = 10; ease <= 20; ease += 2.5) {
        const Fit fit = fit_in_frame(1400, 2000, 1400 + 2 * ease, 2000 + 2 * ease);
        EXPECT_EQ(fit.width.verdict, FitVerdict::fits) << ease;
        EXPECT_EQ(fit.length.verdict, FitVerdict::fits) << ease;
        EXPECT_TRUE(fit.findings.empty()) << ease;
    }
    EXPECT_EQ(fit_in_frame(1400, 2000, 1400 + 2 * 9.9, 2030).width.verdict, FitVerdict::too_tight);
    EXPECT_EQ(fit_in_frame(1400, 2000, 1430, 2000 + 2 * 20.1).length.verdict,
              FitVerdict::too_loose);
}

TEST(MattressFit, EaseIsHalfTheDifferenceAtBothEndsOfTheTolerance) {
    const Fit fit = fit_in_frame(1400, 2000, 1430, 2026);
    EXPECT_EQ(fit.width.ease_at_nominal, 15);
    EXPECT_EQ(fit.width.ease_at_largest, 5);
    EXPECT_EQ(fit.width.ease_at_smallest, 25);
    EXPECT_EQ(fit.length.ease_at_largest, 3);
}

TEST(MattressFit, TooTightAndTooLooseSayWhatToDo) {
    const Fit tight = fit_in_frame(1400, 2000, 1410, 2030);
    ASSERT_EQ(tight.findings.size(), 1u);
    EXPECT_EQ(tight.findings[0].code, "mattress-too-tight");
    EXPECT_EQ(tight.findings[0].severity, contract::Severity::problem);
    EXPECT_THAT(tight.findings[0].text,
                HasSubstr("1420 mm in width, has -5 mm on each side of a frame of 1410 mm"));
    EXPECT_THAT(tight.findings[0].text, HasSubstr("make the frame 1430 mm"));
    const Fit loose = fit_in_frame(1400, 2000, 1430, 2060);
    ASSERT_EQ(loose.findings.size(), 1u);
    EXPECT_EQ(loose.findings[0].code, "mattress-too-loose");
    EXPECT_THAT(loose.findings[0].text, HasSubstr("1980 mm in length, has 40 mm on each side"));
}

TEST(MattressFit, AMattressLargerThanTheFrameIsAProblem) {
    const Fit fit = fit_in_frame(1600, 2000, 1430, 2030);
    ASSERT_EQ(fit.findings.size(), 1u);
    EXPECT_EQ(fit.findings[0].code, "mattress-larger-than-frame");
    EXPECT_EQ(fit.findings[0].severity, contract::Severity::problem);
}

TEST(MattressFit, AToleranceWiderThanTheLimitsIsBothTightAndLoose) {
    EXPECT_EQ(fit_in_frame(1400, 2000, 1430, 2030, 40).width.verdict,
              FitVerdict::too_tight_and_loose);
}

TEST(MattressFit, TheFrameAdvisedFits) {
    for (double nominal : {900.0, 1400.0, 1524.0, 2032.0}) {
        const double frame = frame_for(nominal);
        EXPECT_EQ(fit_in_frame(nominal, nominal, frame, frame).width.verdict, FitVerdict::fits);
    }
}

TEST(MattressFit, BadFigures) {
    EXPECT_THAT(complaint([] { (void)fit_in_frame(0, 2000, 1430, 2030); }),
                HasSubstr("a mattress side of 0 mm"));
    EXPECT_THAT(complaint([] { (void)fit_in_frame(1400, 2000, 0, 2030); }),
                HasSubstr("a frame of 0 mm inside"));
    EXPECT_THAT(complaint([] { (void)fit_in_frame(1400, 2000, 1430, 2030, -1); }),
                HasSubstr("a tolerance of -1 mm"));
    EXPECT_THAT(complaint([] {
                    (void)fit_in_frame(1400, 2000, 1430, 2030, 20, {10, 5});
                }),
                HasSubstr("the least ease (10 mm) is above the most (5 mm)"));
}

} // namespace
} // namespace aumbry::mattress
