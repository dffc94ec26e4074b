#include "sheet_goods/module/grades.hpp"
#include "sheet_goods/module/panel.hpp"

#include "module_requests.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry::sheet_goods {
namespace {

using namespace module_testing;
using testing::HasSubstr;

Panel read(const contract::Line& line) {
    return read_panel(line, Shop());
}

// ---------------------------------------------------------------- finished size and cut size

TEST(PanelCutSize, BandingIsPartOfTheFinishedSize) {
    const auto values = derive(panel("shelf", 800, 300, 1,
                                     {{"edges",
                                       {{"front", {{"treatment", "banded"}, {"thickness", 1.0}}},
                                        {"left", {{"treatment", "banded"}, {"thickness", 2.0}}}}}}))
                            .values;
    EXPECT_EQ(values["cut_length"], 798.0);
    EXPECT_EQ(values["cut_width"], 299.0);
    EXPECT_EQ(values["length"], 800.0);
    EXPECT_EQ(values["banding"], 1100.0);
}

// Alcove scribe 5 to 10 mm a side: common practice.
TEST(PanelCutSize, AScribedEdgeIsCutWithTheScribingAllowance) {
    const auto values =
        derive(panel("shelf", 800, 300, 1,
                     {{"edges",
                       {{"left", {{"treatment", "scribed"}}},
                        {"right", {{"treatment", "scribed"}, {"allowance", 6.0}}}}}}))
            .values;
    EXPECT_EQ(values["cut_length"], 816.0);
    EXPECT_EQ(values["cut_width"], 300.0);
}

TEST(PanelCutSize, LippingCountsLessItsTrimmingAllowance) {
    const auto panel_read = read(
        panel("top", 1000, 500, 1,
              {{"edges",
                {{"front", {{"treatment", "lipped"}, {"thickness", 8.0}, {"allowance", 1.5}}}}}}));
    EXPECT_DOUBLE_EQ(cut_size(panel_read.outer(), panel_read.edges).width, 493.5);
}

// ---------------------------------------------------------------- parts tapered to a wall

// A trapezium has the mean of its two parallel sides times their distance: Euclid.
TEST(PanelTaper, ATaperedShelfHasTheAreaOfATrapeziumAndTheBlankOfItsWiderEnd) {
    const auto values = derive(panel("shelf", 1200, 300, 1, {{"width_right", 340.0}})).values;
    EXPECT_DOUBLE_EQ(values["area"].get<double>(), 1.2 * 0.320);
    EXPECT_EQ(values["cut_width"], 340.0);
    // 18 mm at 680 kg/m3, by its true shape.
    EXPECT_NEAR(values["mass"].get<double>(), 1.2 * 0.320 * 0.018 * 680, 1e-4);
    // The back runs over 1200 with a rise of 40.
    EXPECT_NEAR(values["edge_length"].get<double>(),
                1200 + 300 + 340 + std::sqrt(1200.0 * 1200 + 40.0 * 40), 1e-3);
}

TEST(PanelTaper, AWallOutOfSquareChangesTheLengthAtTheBack) {
    const auto values = derive(panel("shelf", 1000, 400, 1, {{"length_back", 960.0}})).values;
    EXPECT_DOUBLE_EQ(values["area"].get<double>(), 0.98 * 0.4);
    EXPECT_EQ(values["cut_length"], 1000.0);
}

TEST(PanelTaper, AreaAgreesWithTwoTrianglesForAnyQuadrilateral) {
    std::uint32_t state = 7;
    const auto draw = [&] {
        return 100.0 + static_cast<double>((state = state * 1664525U + 1013904223U) >> 16 & 0x3ffU);
    };
    for (int i = 0; i < 500; ++i) {
        const double l = draw();
        const double w = draw();
        const double l2 = draw();
        const double w2 = draw();
        const Panel p = read(panel("p", l, w, 1, {{"length_back", l2}, {"width_right", w2}}));
        // Cut along the diagonal from the front left corner to the opposite one.
        const double triangles = std::abs(l * w2) / 2 + std::abs(l2 * w) / 2;
        EXPECT_NEAR(p.area(), triangles / 1e6, 1e-9);
    }
}

// ---------------------------------------------------------------- seams

TEST(PanelSeam, DividesAPanelIntoSectionsThatMakeItUp) {
    const Panel top = read(
        panel("top", 3600, 600, 1,
              {{"seams", Json::array({{{"at", 2000.0}, {"joint", "tongue"}, {"overlap", 8.0}}})},
               {"edges", {{"left", {{"treatment", "scribed"}, {"allowance", 10.0}}}}}}));
    const auto sections = sections_of(top);
    ASSERT_EQ(sections.size(), 2U);
    EXPECT_DOUBLE_EQ(sections[0].finished.length + sections[1].finished.length, 3600);
    EXPECT_DOUBLE_EQ(sections[0].cut.length,
                     2000 + 10 + 8); // scribed at the left, tongue at the seam
    EXPECT_DOUBLE_EQ(sections[1].cut.length, 1600);
}

TEST(PanelSeam, TakesTheBlankOfEachSectionFromTheTaperedShape) {
    // Width 300 at the left, 500 at the right of 2000: at the middle it is 400.
    const auto sections = sections_of(
        read(panel("top", 2000, 300, 1,
                   {{"width_right", 500.0}, {"seams", Json::array({{{"at", 1000.0}}})}})));
    ASSERT_EQ(sections.size(), 2U);
    EXPECT_DOUBLE_EQ(sections[0].finished.width, 400);
    EXPECT_DOUBLE_EQ(sections[1].finished.width, 500);
}

// By similar triangles; once, each section said the taper of the whole panel.
TEST(PanelSeam, TheTaperOfASectionIsItsOwn) {
    const auto by_length = sections_of(
        read(panel("side", 1976, 400, 1,
                   {{"length_back", 1959.0}, {"seams", Json::array({{{"at", 976.0}}})}})));
    ASSERT_EQ(by_length.size(), 2U);
    EXPECT_DOUBLE_EQ(by_length[0].sides[front], 976);
    EXPECT_DOUBLE_EQ(by_length[0].sides[back], 976);
    EXPECT_DOUBLE_EQ(by_length[1].sides[front], 1000);
    EXPECT_DOUBLE_EQ(by_length[1].sides[back], 983);
    const auto by_width = sections_of(
        read(panel("strip", 2000, 129, 1,
                   {{"width_right", 120.0}, {"seams", Json::array({{{"at", 1000.0}}})}})));
    ASSERT_EQ(by_width.size(), 2U);
    EXPECT_DOUBLE_EQ(by_width[0].sides[left], 129);
    EXPECT_DOUBLE_EQ(by_width[0].sides[right], 124.5);
    EXPECT_DOUBLE_EQ(by_width[1].sides[left], 124.5);
    EXPECT_DOUBLE_EQ(by_width[1].sides[right], 120);
}

TEST(PanelSeam, ALapHasTwoThicknessesAndAHand) {
    auto line =
        panel("side", 3000, 400, 1,
              {{"seams", Json::array({{{"at", 1500.0}, {"joint", "lap"}, {"overlap", 60.0}}})}});
    line.material->attributes["thickness"] = 18.0;
    const Panel side = read(line);
    const auto sections = sections_of(side);
    ASSERT_EQ(sections.size(), 2U);
    EXPECT_EQ(joint_text(sections[0], right, side, "mm"), "lap of 60 mm, 9 mm left at the face");
    EXPECT_EQ(joint_text(sections[1], left, side, "mm"), "lap of 60 mm, 9 mm left at the back");
    EXPECT_EQ(joint_text(sections[0], left, side, "mm"), "");
    EXPECT_DOUBLE_EQ(sections[0].cut.length, 1560);
    EXPECT_DOUBLE_EQ(sections[1].cut.length, 1500);
}

TEST(PanelSeam, OutsideThePanelIsAProblemAndIsNotMade) {
    const auto line = panel("top", 2000, 300, 1, {{"seams", Json::array({{{"at", 2400.0}}})}});
    std::vector<contract::Finding> findings;
    (void)derive(line, &findings);
    EXPECT_THAT(finding(findings, "seam-outside-panel").text, HasSubstr("lies outside the panel"));
    EXPECT_TRUE(read(line).seams.empty());
    EXPECT_EQ(sections_of(read(line)).size(), 1U);
}

// ---------------------------------------------------------------- thickness

// EN 315:2000, sanded plywood (from memory): +(0.2 + 0.03 t) and -(0.4 + 0.03 t), for 18 mm +0.74
// and -0.94.
TEST(PanelGroove, ByNominalThicknessIsCautioned) {
    contract::Line side = panel("side", 700, 300, 2, {{"groove_for", "back"}});
    side.references = {panel("back", 700, 500)};
    std::vector<contract::Finding> findings;
    (void)derive(side, &findings);
    EXPECT_THAT(finding(findings, "groove-by-nominal-thickness").text,
                HasSubstr("0.74 mm more or 0.94 mm less"));
    side.references[0].material->attributes["true_thickness"] = 17.6;
    (void)derive(side, &findings);
    EXPECT_THAT(finding(findings, "groove-by-true-thickness").text,
                HasSubstr("17.6 mm wide, not 18 mm"));
    side.references[0].material->attributes["true_thickness"] = 18.0;
    (void)derive(side, &findings);
    EXPECT_TRUE(findings.empty());
}

TEST(PanelThickness, TheTrueOneDecidesMass) {
    contract::Line line = panel("side", 1000, 1000);
    line.material->attributes["true_thickness"] = 17.5;
    const auto values = derive(line).values;
    EXPECT_EQ(values["thickness"], 17.5);
    EXPECT_NEAR(values["mass"].get<double>(), 0.0175 * 680, 1e-9);
}

// FAO T0269E appendix II: particleboard 0.650 t/m3.
TEST(PanelMass, ComesFromTheCoreOfAFacedBoard) {
    contract::Line line = panel("side", 1000, 1000);
    line.material->attributes["core"] = "particleboard";
    EXPECT_NEAR(derive(line).values["mass"].get<double>(), 0.018 * 650, 1e-9);
}

// ---------------------------------------------------------------- grades

class GradeRanks : public testing::Test {
  protected:
    Json tables_ = reference_tables();
    GradeTable table_{&tables_["sheet_grades"]};
};

TEST_F(GradeRanks, FollowEn635) {
    EXPECT_TRUE(table_.serves("I", "II"));
    EXPECT_TRUE(table_.serves("E", "I"));
    EXPECT_FALSE(table_.serves("III", "II"));
}
TEST_F(GradeRanks, FollowHp1WhereEIsTheLowestFace) {
    EXPECT_TRUE(table_.serves("AA", "A"));
    EXPECT_TRUE(table_.serves("D", "E"));
    EXPECT_FALSE(table_.serves("E", "D"));
    EXPECT_TRUE(table_.serves("1", "2"));
}
TEST_F(GradeRanks, OfDifferentSystemsDoNotCompare) {
    EXPECT_FALSE(table_.serves("A", "BB"));
    EXPECT_FALSE(table_.serves("1", "A"));
}
TEST_F(GradeRanks, ThatNobodyKnowsMustBeEqual) {
    EXPECT_TRUE(table_.serves("shop", "shop"));
    EXPECT_FALSE(table_.serves("select", "shop"));
    EXPECT_TRUE(table_.serves("anything", ""));
}
TEST_F(GradeRanks, ASheetMayBeTurnedOver) {
    EXPECT_TRUE(table_.serves(grades_of("BB/B", "", ""), grades_of("B/BB", "", "")));
    EXPECT_FALSE(table_.serves(grades_of("B/CP", "", ""), grades_of("BB/BB", "", "")));
}
TEST_F(GradeRanks, AreReadFromBothWaysOfWriting) {
    EXPECT_EQ(grades_of("A-1", "", "").back, "1");
    EXPECT_EQ(grades_of("II/III", "", "").face, "II");
    EXPECT_EQ(grades_of("BB", "", "").back, "BB");
    EXPECT_EQ(grades_of("", "I", "IV").back, "IV");
}

} // namespace
} // namespace aumbry::sheet_goods
