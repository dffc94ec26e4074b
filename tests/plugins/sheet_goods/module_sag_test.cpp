#include "sheet_goods/module/sag.hpp"

#include "module_requests.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::sheet_goods {
namespace {

using namespace module_testing;
using testing::HasSubstr;

// Building Construction Handbook, 8th edition, "Joist and Beam Sizing": W 4500 N, L 5000 mm, b 50,
// d 225, E 10 800 N/mm2; printed deflection by bending 14.27 mm (with I rounded to 4.75e7), limit
// 0.003 x 5000 = 15 mm.
TEST(Sag, JoistOfTheBuildingConstructionHandbook) {
    const Beam joist{4500, 5000, 50, 225, 10800};
    EXPECT_NEAR(deflection(joist, Support::both_ends).bending, 14.27, 0.02);
    EXPECT_LT(deflection(joist, Support::both_ends).bending, 0.003 * 5000);
}

// Wood Handbook table 9-1 (FPL-GTR-282): bending 5/384, 1/384 and 1/8, shear 1/8, 1/8 and 1/2 for
// an evenly spread load.
TEST(Sag, SupportsStandInTheProportionOfTheWoodHandbook) {
    const Beam shelf{300, 800, 300, 18, 10048};
    const Deflection ends = deflection(shelf, Support::both_ends);
    const Deflection clamped = deflection(shelf, Support::clamped);
    const Deflection one_end = deflection(shelf, Support::one_end);
    EXPECT_DOUBLE_EQ(ends.bending / clamped.bending, 5);
    EXPECT_DOUBLE_EQ(one_end.bending / ends.bending, 384.0 / 40);
    EXPECT_DOUBLE_EQ(ends.shear, clamped.shear);
    EXPECT_DOUBLE_EQ(one_end.shear / ends.shear, 4);
}

// 18 mm birch plywood, span 800, depth 300, 30 kgf, E 10 048 N/mm2: bending 1.339 mm, shear 0.010
// mm, worked by hand from eq. 9-2 to 9-4 of the Wood Handbook.
TEST(Sag, BirchShelfWorkedByHand) {
    const Deflection sag = deflection({30 * 9.80665, 800, 300, 18, 10048}, Support::both_ends);
    EXPECT_NEAR(sag.bending, 1.339, 0.0005);
    EXPECT_NEAR(sag.shear, 0.010, 0.0005);
}

TEST(Sag, TheShelfOfALineIsTheSameShelf) {
    const auto derived = derive(panel(
        "shelf", 800, 300, 1, {{"load", {{"mass", 30.0}, {"own_mass", false}, {"creep", 1.0}}}}));
    EXPECT_NEAR(derived.values["sag"].get<double>(), 1.349, 0.001);
}

TEST(Sag, CreepMultipliesIt) {
    const auto at_once =
        derive(panel("shelf", 800, 300, 1, {{"load", {{"mass", 30.0}, {"creep", 1.0}}}}));
    const auto later =
        derive(panel("shelf", 800, 300, 1, {{"load", {{"mass", 30.0}, {"creep", 2.0}}}}));
    EXPECT_NEAR(later.values["sag"].get<double>(), 2 * at_once.values["sag"].get<double>(), 1e-3);
}

// Handbook of Finnish Plywood (from memory): 10 048 along and 7 452 N/mm2 across for 18 mm birch.
TEST(Sag, GrainAcrossTheSpanSagsMore) {
    const Json load = {{"mass", 30.0}, {"own_mass", false}, {"creep", 1.0}};
    const auto along = derive(panel("shelf", 800, 300, 1, {{"load", load}}));
    const auto across = derive(panel("shelf", 800, 300, 1, {{"load", load}, {"grain", "width"}}));
    EXPECT_NEAR(across.values["sag"].get<double>() / along.values["sag"].get<double>(),
                10048.0 / 7452, 1e-3);
}

TEST(Sag, OfACheaperGradeThatSagsIsSeen) {
    std::vector<contract::Finding> findings;
    const Json load = {{"mass", 20.0}};
    contract::Line shelf = panel("shelf", 900, 280, 1, {{"load", load}});
    const double birch_sag = derive(shelf, &findings).values["sag"];
    EXPECT_FALSE(has_finding(findings, "shelf-sags")) << birch_sag;
    shelf.material->attributes["species"] = "particleboard";
    const double board_sag = derive(shelf, &findings).values["sag"];
    const auto found = finding(findings, "shelf-sags");
    EXPECT_EQ(found.severity, contract::Severity::problem);
    EXPECT_THAT(found.text, HasSubstr("shelf sags"));
    // EN 312 P2, 13 to 20 mm: 1600 N/mm2.
    EXPECT_GT(board_sag, 5 * birch_sag);
}

TEST(Sag, OfAMaterialThatNobodyKnowsIsNotGuessed) {
    std::vector<contract::Finding> findings;
    contract::Line shelf = panel("shelf", 900, 280, 1, {{"load", {{"mass", 40.0}}}});
    shelf.material->attributes["species"] = "cork";
    const auto derived = derive(shelf, &findings);
    EXPECT_FALSE(derived.values.contains("sag"));
    EXPECT_FALSE(derived.values.contains("mass"));
    EXPECT_THAT(finding(findings, "modulus-unknown").text,
                HasSubstr("state modulus_along and modulus_across"));
    EXPECT_THAT(finding(findings, "density-unknown").text,
                HasSubstr("state the density of material carcase"));
}

} // namespace
} // namespace aumbry::sheet_goods
