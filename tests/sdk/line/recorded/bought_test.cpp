// What is bought already: kept by its plan as long as its parts are the same, else let go.
#include "line/recorded/bought.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// A plan of one sheet with two sides of a length, by which three sheets were bought.
BoughtPlan plan(double length) {
    const contract::Placement side{.line = "side", .length = length, .width = 300};
    contract::SheetPlan sheet;
    sheet.offer = "bought/ply";
    sheet.supplier = "yard";
    sheet.material = "carcase";
    sheet.placements = {side, side};
    BoughtPlan made;
    made.demand = "wood/ply";
    made.shares = {{"side", 2}};
    made.way.id = "three";
    made.way.uses = {{"bought/ply", 3, 0, 0}};
    made.way.dealer_cuts = {{"yard", 4}, {"mill", 1}};
    made.way.plans.sheets = {sheet};
    return made;
}

contract::Demand demand(double length) {
    contract::Demand made;
    made.id = "wood/ply";
    made.title = "Plywood";
    made.shares = {{"side", 2}};
    made.plan_type = "sheet";
    made.ways = {plan(length).way};
    made.ways[0].id = "anew";
    return made;
}

Resolved bought_job() {
    Resolved project;
    project.start = make_date(2027, 3, 1);
    Bought ply;
    ply.id = "ply";
    ply.supplier = "yard";
    ply.count = 3;
    ply.state = Progress::received;
    project.bought = {ply};
    project.as_bought = {plan(720)};
    return project;
}

TEST(Bought, KeepsThePlanAsLongAsItsPartsAreTheSame) {
    std::vector<contract::Demand> demands{demand(720)};
    std::vector<contract::Finding> findings;
    const Loose loose = keep_bought(bought_job(), demands, findings);
    EXPECT_THAT(findings, IsEmpty());
    EXPECT_TRUE(loose.counts.empty());
    ASSERT_EQ(demands[0].ways.size(), 1U);
    EXPECT_EQ(demands[0].ways[0].id, "as_bought");
    // The cuts of the supplier who is paid are in what was paid.
    ASSERT_EQ(demands[0].ways[0].dealer_cuts.size(), 1U);
    EXPECT_EQ(demands[0].ways[0].dealer_cuts[0].supplier, "mill");
}

TEST(Bought, LetsGoOfWhatNoLongerFits) {
    std::vector<contract::Demand> demands{demand(700)};
    std::vector<contract::Finding> findings;
    const Loose loose = keep_bought(bought_job(), demands, findings);
    EXPECT_EQ(loose.counts.at("ply"), 3);
    EXPECT_TRUE(loose.plans.contains("wood/ply"));
    EXPECT_EQ(demands[0].ways[0].id, "anew");
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].severity, contract::Severity::caution);
    EXPECT_THAT(findings[0].text,
                HasSubstr("(2 x side, 720 x 300 mm then, 0 now); it is planned anew"));
}

TEST(Bought, WhatIsCutAlreadyCannotBePlannedAnew) {
    Resolved project = bought_job();
    project.bought[0].state = Progress::cut;
    std::vector<contract::Demand> demands{demand(700)};
    std::vector<contract::Finding> findings;
    const Loose loose = keep_bought(project, demands, findings);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].severity, contract::Severity::problem);
    EXPECT_THAT(bought_as_owned(project, Catalog(), loose), IsEmpty());
}

TEST(Bought, ServesNothingWhenItsDemandIsGone) {
    std::vector<contract::Demand> demands;
    std::vector<contract::Finding> findings;
    const Loose loose = keep_bought(bought_job(), demands, findings);
    EXPECT_EQ(loose.counts.at("ply"), 3);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].code, "bought-for-nothing");
}

TEST(Bought, HandedOverIsPassedByWhenThePlanIsMadeAnew) {
    std::vector<contract::Demand> demands{demand(700)};
    std::vector<contract::Finding> findings;
    Loose handed_over;
    handed_over.plans = {"wood/ply"};
    const Loose loose = keep_bought(bought_job(), demands, findings, handed_over);
    EXPECT_THAT(findings, IsEmpty());
    EXPECT_TRUE(loose.counts.empty());
}

TEST(Bought, GoodsForAnAmountAreOffered) {
    Resolved project = bought_job();
    project.as_bought.clear();
    project.bought[0].serves = {{"paint/oil", 2.5}};
    contract::Demand oil;
    oil.id = "paint/oil";
    oil.amount = contract::Amount{};
    oil.amount->quantity = 4;
    oil.amount->unit = "L";
    std::vector<contract::Demand> demands{oil};
    std::vector<contract::Finding> findings;
    EXPECT_TRUE(keep_bought(project, demands, findings).counts.empty());
    ASSERT_EQ(demands[0].amount->offers.size(), 1U);
    EXPECT_EQ(demands[0].amount->offers[0].offer, "bought/ply");
    EXPECT_EQ(demands[0].amount->offers[0].content, 2.5);
}

TEST(Bought, IsNamedAsItWasBoughtOrAsPlannedAnew) {
    const Resolved project = bought_job();
    EXPECT_EQ(bought_before(project, "bought/ply"), &project.bought[0]);
    EXPECT_EQ(bought_before(project, "owned/bought/ply"), &project.bought[0]);
    EXPECT_EQ(bought_before(project, "owned/ply"), nullptr);
    EXPECT_EQ(bought_before(project, "yard/ply"), nullptr);
}

TEST(Bought, WhatIsLeftIsPlannedFromTheLastRecordedDay) {
    Resolved project = bought_job();
    EXPECT_EQ(planned_from(project), make_date(2027, 3, 1));
    project.bought[0].on = make_date(2027, 3, 4);
    Worked sawn;
    sawn.on = make_date(2027, 3, 9);
    project.worked = {sawn};
    EXPECT_EQ(planned_from(project), make_date(2027, 3, 9));
}

} // namespace
} // namespace aumbry
