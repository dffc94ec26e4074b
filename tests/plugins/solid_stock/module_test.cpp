// The module `solid_stock` as the host sees it: sizes, and the ways in which parts can be had.
#include "solid_stock/module/section.hpp"
#include "solid_stock/module/solid_stock.hpp"

#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

namespace aumbry::solid_stock {
namespace {

int never(void*) {
    return 0;
}
void no_log(void*, const char*) {}
void no_progress(void*, double) {}
const aumbry_host door{sizeof(aumbry_host), nullptr, no_log, no_progress, never};

contract::Line rail(std::int64_t count, double length, double width, double thickness) {
    contract::Line line;
    line.id = "rail";
    line.kind = "solid";
    line.count = count;
    line.material = contract::Material{"pine", "solid", {{"species", "pine"}, {"density", 500.0}}};
    line.fields = {{"length", length}, {"width", width}, {"thickness", thickness}};
    return line;
}

contract::Line derived(contract::Line line) {
    contract::DeriveRequest request;
    request.lines = {line};
    line.derived = SolidStockModule().derive(request, Host(&door)).lines.front().values;
    return line;
}

contract::Offer offer(const std::string& id, Json attributes, const std::string& price,
                      const std::string& unit) {
    contract::Offer made;
    made.id = id;
    made.supplier = id.substr(0, id.find('/'));
    made.catalog_class = "solid";
    made.attributes = std::move(attributes);
    made.price = price;
    made.price_unit = unit;
    return made;
}

contract::TakeOffReply taken_off(const contract::Line& line, std::vector<contract::Offer> offers) {
    contract::TakeOffRequest request;
    request.kind = "solid";
    request.lines = {derived(line)};
    request.offers = std::move(offers);
    request.settings.workshop = {{"kerf", 3.0}, {"end_trim", 0.0}};
    return SolidStockModule().take_off(request, Host(&door));
}

// Geometry and density: 2 m x 0.1 m x 0.02 m x 500 kg/m3.
TEST(SolidStockModule, MassIsVolumeByDensity) {
    const contract::Line line = derived(rail(1, 2000, 100, 20));
    EXPECT_DOUBLE_EQ(line.derived["volume"].get<double>(), 0.004);
    EXPECT_DOUBLE_EQ(line.derived["mass"].get<double>(), 2.0);
}

// PS 20-20, table 3, dry: 1x4 is 3/4 x 3 1/2 in, 2x6 is 1 1/2 x 5 1/2 in, 5/4 is 1 in thick.
TEST(NominalSize, IsDressedByTheSoftwoodStandard) {
    EXPECT_EQ(nominal_size("1x4").dressed, (CrossSection{to_grid(19.05), to_grid(88.9)}));
    EXPECT_EQ(nominal_size("2x6").dressed, (CrossSection{to_grid(38.1), to_grid(139.7)}));
    EXPECT_EQ(nominal_size("5/4x6").dressed.thickness, to_grid(25.4));
    EXPECT_THROW((void)nominal_size("four by two"), FaultError);
}

// Three 900 mm pieces with two 3 mm kerfs need 2706 mm: one board of 3 m, or two of 2 m.
TEST(SolidStockModule, LengthsAreCutWithTheKerf) {
    const auto reply = taken_off(
        rail(3, 900, 70, 28),
        {offer("yard/3",
               {{"form", "dressed"}, {"thickness", 28.0}, {"width", 70.0}, {"length", 3000.0}},
               "2.00", "m")});
    ASSERT_EQ(reply.demands.size(), 1U);
    ASSERT_EQ(reply.demands.front().ways.size(), 1U);
    const contract::Way& way = reply.demands.front().ways.front();
    EXPECT_EQ(way.uses.front().count, 1);
    EXPECT_DOUBLE_EQ(way.uses.front().measure, 3.0);
    EXPECT_TRUE(way.proven);
}

TEST(SolidStockModule, EverySupplierIsAWayOfItsOwn) {
    const Json section = {
        {"form", "dressed"}, {"thickness", 28.0}, {"width", 70.0}, {"length", 3000.0}};
    const auto reply = taken_off(rail(3, 900, 70, 28), {offer("dear/1", section, "3.00", "m"),
                                                        offer("near/1", section, "2.00", "m")});
    const auto& ways = reply.demands.front().ways;
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_EQ(ways[0].uses.front().offer, "near/1"); // cheapest by listed price first
    EXPECT_EQ(ways[1].uses.front().offer, "dear/1");
}

// AHEC: a board foot is 144 cubic inches. No.1 Common yields 66 2/3 % for parts within its cuttings
// (NHLA), so one part of 24 x 3 x 1 in without allowances, 0.5 board feet, needs 0.75, and yards
// sell whole board feet.
TEST(SolidStockModule, RoughBoardsAreBoughtByBoardFeetOverYield) {
    contract::Line line = rail(4, 609.6, 76.2, 25.4);
    contract::TakeOffRequest request;
    request.kind = "solid";
    request.lines = {derived(line)};
    request.offers = {offer("mill/1",
                            {{"form", "rough"}, {"grade", "No.1 Common"}, {"thickness", 25.4}},
                            "7.00", "bdft")};
    request.settings.workshop = {{"kerf", 0.0}};
    request.settings.module = {
        {"length_allowance", 0.0}, {"width_allowance", 0.0}, {"planing", 0.0}};
    const auto reply = SolidStockModule().take_off(request, Host(&door));
    ASSERT_EQ(reply.demands.front().ways.size(), 1U);
    EXPECT_EQ(reply.demands.front().ways.front().uses.front().count, 3); // 4 x 0.75
    EXPECT_NEAR(reply.demands.front().ways.front().yield, 2.0 / 3, 1e-4);
}

TEST(SolidStockModule, OwnedBoardsAreAWayThatBuysNothing) {
    contract::Offer owned = offer("owned/old",
                                  {{"form", "rough"},
                                   {"thickness", 40.0},
                                   {"width", 120.0},
                                   {"length", 2500.0},
                                   {"bad_ends", 50.0}},
                                  "", "pack");
    owned.supplier.clear();
    owned.owned = true;
    owned.limit = 2;
    const auto reply = taken_off(rail(2, 900, 70, 28), {owned});
    ASSERT_EQ(reply.demands.front().ways.size(), 1U);
    EXPECT_EQ(reply.demands.front().ways.front().uses.front().offer, "owned/old");
}

TEST(SolidStockModule, PartLongerThanAnyBoardIsAProblem) {
    const auto reply = taken_off(
        rail(1, 3500, 70, 28),
        {offer("yard/3",
               {{"form", "dressed"}, {"thickness", 28.0}, {"width", 70.0}, {"length", 3000.0}},
               "2.00", "m")});
    ASSERT_FALSE(reply.demands.empty());
    EXPECT_TRUE(reply.demands.front().ways.empty());
    bool problem = false;
    for (const contract::Finding& finding : reply.findings)
        problem = problem || finding.severity == contract::Severity::problem;
    EXPECT_TRUE(problem);
}

} // namespace
} // namespace aumbry::solid_stock
