#include "hardware_kits/engine/kits/kit.hpp"

#include "faults.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::hardware_kits {
namespace {

using ::testing::HasSubstr;

/// Invented for these tests.
Kit kit() {
    Kit kit;
    kit.name = "lift 140";
    kit.hand = Hand::left;
    kit.contents = {{"gas spring", 2, 0}, {"plate", 4, 0}, {"screw", 26, 2}};
    kit.fit.mattress_width = Range{1380, 1420};
    kit.fit.mattress_length = Range{1900, 2020};
    kit.fit.mattress_thickness = Range{120, 250};
    kit.fit.moving_mass = Range{40, 65};
    kit.fit.material_thickness = Range{15, 19};
    return kit;
}

KitDuty duty() {
    return {1400, 2000, 200, 55, 18, Hand::left};
}

TEST(KitContents, ChangesKeepTheirReason) {
    const std::vector<ContentRow> rows =
        kit_contents(kit(), {{"gas spring", -2, "chosen by the lift"},
                             {"screw", 4, "longer base"},
                             {"clip", 2, "slats"}});
    ASSERT_EQ(rows.size(), 4u);
    EXPECT_EQ(rows[0].used, 0);
    EXPECT_EQ(rows[0].reason, "chosen by the lift");
    EXPECT_EQ(rows[1].used, 4);
    EXPECT_EQ(rows[2].used, 30);
    EXPECT_EQ(rows[3].item, "clip");
    EXPECT_EQ(rows[3].in_box, 0);
    EXPECT_EQ(rows[3].used, 2);
}

TEST(KitContents, BadChanges) {
    const auto with = [](KitChange change) {
        return complaint([&] { (void)kit_contents(kit(), {change}); });
    };
    EXPECT_EQ(
        with({"gas sprng", -1, "x"}),
        "kit 'lift 140' holds no 'gas sprng' that could be left out; did you mean 'gas spring'?");
    EXPECT_EQ(with({"plate", -5, "x"}),
              "5 of 'plate' are left out of kit 'lift 140', which holds 4; leave out no more than "
              "there are");
    EXPECT_THAT(with({"plate", -1, ""}), HasSubstr("has no reason"));
    EXPECT_THAT(with({"plate", 0, "x"}), HasSubstr("has no count"));
    Kit odd = kit();
    odd.contents[0].spares = 3;
    EXPECT_THAT(complaint([&] { (void)kit_contents(odd, {}); }),
                HasSubstr("holds 2 of 'gas spring', 3 of them spares"));
}

TEST(KitFits, WhatSuitsRaisesNothing) {
    EXPECT_TRUE(kit_fits(kit(), duty()).empty());
}

TEST(KitFits, AMattressLargerThanTheFrameIsAProblem) {
    KitDuty large = duty();
    large.mattress_width = 1600;
    const std::vector<contract::Finding> findings = kit_fits(kit(), large);
    ASSERT_EQ(findings.size(), 1u);
    EXPECT_EQ(findings[0].severity, contract::Severity::problem);
    EXPECT_EQ(findings[0].code, "kit-mattress-width-too-large");
    EXPECT_EQ(
        findings[0].text,
        "the mattress width of 1600 mm is more than kit 'lift 140' is made for, 1380 to 1420 mm: "
        "it does not go into the kit's frame; choose a larger kit or a smaller mattress");
}

TEST(KitFits, EveryLimitIsChecked) {
    const std::vector<contract::Finding> findings =
        kit_fits(kit(), {1300, 2100, 300, 70, 22, Hand::right});
    ASSERT_EQ(findings.size(), 6u);
    EXPECT_EQ(findings[0].code, "kit-mattress-width-too-small");
    EXPECT_EQ(findings[1].code, "kit-mattress-length-too-large");
    EXPECT_EQ(findings[2].code, "kit-mattress-thickness-too-large");
    EXPECT_EQ(findings[3].code, "kit-moving-mass-too-large");
    EXPECT_EQ(findings[4].code, "kit-material-thickness-too-large");
    EXPECT_THAT(findings[5].text, HasSubstr("is for the left hand, the piece needs the right"));
}

TEST(KitFits, WhatIsNotKnownIsSaid) {
    KitDuty unknown = duty();
    unknown.moving_mass.reset();
    const std::vector<contract::Finding> findings = kit_fits(kit(), unknown);
    ASSERT_EQ(findings.size(), 1u);
    EXPECT_EQ(findings[0].severity, contract::Severity::note);
    EXPECT_EQ(findings[0].code, "kit-moving-mass-not-checked");
}

} // namespace
} // namespace aumbry::hardware_kits
