// The module `solid_stock` as the host sees it: sizes, and the ways in which parts can be had.
#include "solid_stock/module/section.hpp"
#include "solid_stock/module/solid_stock.hpp"

#include "aumbry/fault.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

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

std::vector<std::string> codes(const contract::TakeOffReply& reply) {
    std::vector<std::string> list;
    for (const contract::Finding& finding : reply.findings) list.push_back(finding.code);
    return list;
}

bool says(const contract::TakeOffReply& reply, const std::string& code) {
    const std::vector<std::string> said = codes(reply);
    return std::find(said.begin(), said.end(), code) != said.end();
}

// Larch from a slipway was sawn with a word on nails in the reckoning of time alone.
TEST(SolidStockDangers, OldWoodMayHoldNailsAndPoison) {
    const Json boards = {{"species", "pine"},
                         {"form", "dressed"},
                         {"thickness", 20.0},
                         {"width", 100.0},
                         {"length", 4000.0}};
    EXPECT_FALSE(says(taken_off(rail(1, 2000, 100, 20), {offer("a/1", boards, "9.00", "each")}),
                      "nails-in-old-wood"));
    Json old = boards;
    old["origin"] = "slipway";
    const auto reply = taken_off(rail(1, 2000, 100, 20), {offer("a/1", old, "9.00", "each")});
    for (const char* code : {"nails-in-old-wood", "old-preservative"}) {
        ASSERT_TRUE(says(reply, code)) << code;
        for (const contract::Finding& finding : reply.findings)
            if (finding.code == code) {
                EXPECT_EQ(finding.severity, contract::Severity::warning);
                EXPECT_EQ(finding.step, reply.steps.front().id);
            }
    }
}

TEST(SolidStockDangers, DustOfHardwoodIsAWarningAndOfSoftwoodIsNot) {
    const Json boards = {
        {"form", "dressed"}, {"thickness", 20.0}, {"width", 100.0}, {"length", 4000.0}};
    const contract::Line pine = rail(1, 2000, 100, 20);
    EXPECT_FALSE(says(taken_off(pine, {offer("a/1", boards, "9.00", "each")}), "hardwood-dust"));
    contract::Line ash = pine;
    ash.material->attributes["species"] = "ash";
    EXPECT_TRUE(says(taken_off(ash, {offer("a/1", boards, "9.00", "each")}), "hardwood-dust"));
}

TEST(SolidStockDangers, PlainSteelStainsOak) {
    contract::FollowRequest request;
    request.lines = {rail(1, 2000, 100, 20)};
    request.lines[0].piece = "bench";
    request.lines[0].material->attributes["species"] = "white oak";
    const auto said = [&] {
        const auto reply = SolidStockModule().follow(request, Host(&door));
        return std::count_if(
            reply.findings.begin(), reply.findings.end(),
            [](const contract::Finding& finding) { return finding.code == "steel-in-tannin"; });
    };
    EXPECT_EQ(said(), 0);
    request.quantities["hardware_kits"] = {{"plain_steel.bench", "screws", 12, "", {}}};
    EXPECT_EQ(said(), 1);
    request.lines[0].material->attributes["species"] = "pine";
    EXPECT_EQ(said(), 0);
}

// A tall bookcase of panels was warned of, one of boards was not.
TEST(SolidStockDangers, ATallPieceOfBoardsThatNothingHoldsTipsOver) {
    // By hand: a child of 27.2 kg 150 mm in front, 40.0 N·m, and its pull of 44.5 N at 1.422
    // m, 63.3 N·m, are 103.3 N·m. Two sides of 12 kg, 300 mm deep, hold 24 x 9.80665 x 0.15 = 35.3
    // N·m.
    contract::FollowRequest request;
    request.lines = {rail(2, 2000, 300, 25)};
    request.lines[0].piece = "case";
    request.lines[0].derived = {{"length", 2000.0}, {"width", 300.0}, {"mass", 12.0}};
    const auto said = [&]() -> std::string {
        for (const contract::Finding& finding :
             SolidStockModule().follow(request, Host(&door)).findings)
            if (finding.code == "tips-over") return finding.text;
        return "";
    };
    EXPECT_EQ(said(), "") << "it is not said to stand";
    request.lines[0].fields["upright"] = true;
    EXPECT_NE(said().find("hold it with 35.3 N·m"), std::string::npos) << said();
    EXPECT_NE(said().find("turns it with 103.3 N·m"), std::string::npos) << said();
    request.quantities["hardware_kits"] = {{"fixings.case", "fixings", 4, "", {}}};
    EXPECT_EQ(said(), "");
    request.quantities.clear();
    request.lines[0].derived["mass"] = 36.0; // 105.9 N·m
    EXPECT_EQ(said(), "");
    request.lines[0].derived["mass"] = 3.0;
    request.lines[0].derived["length"] = 680.0;
    EXPECT_EQ(said(), "") << "lower than 27 in";
}

// Two parts from rough ash were reckoned at 8 minutes, as if they were planed already.
TEST(SolidStockModule, RoughWoodIsPlanedAndSquaredBesides) {
    contract::FollowRequest request;
    request.lines = {rail(4, 900, 60, 20)};
    const auto minutes = [&](double thickness) {
        contract::BoardPlan plan;
        plan.board = {2000, 130, thickness};
        plan.copies = 2;
        plan.placements.resize(2);
        for (contract::Placement& piece : plan.placements) piece.line = "rail";
        contract::Chosen chosen;
        chosen.module = "solid_stock";
        chosen.demand = "pine";
        chosen.plans.boards = {plan};
        request.chosen = {chosen};
        double sum = 0;
        for (const contract::Step& step : SolidStockModule().follow(request, Host(&door)).steps)
            sum += step.minutes;
        return sum;
    };
    EXPECT_EQ(minutes(27), 24) << "two boards, two pieces each, 6 min a piece (common practice)";
    EXPECT_EQ(minutes(20), 0) << "dressed";
    request.settings.module = {{"minutes_per_rough_piece", 0.0}};
    EXPECT_EQ(minutes(27), 0);
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

contract::TakeOffRequest rough_request(std::vector<contract::Line> lines,
                                       std::vector<contract::Offer> offers) {
    contract::TakeOffRequest request;
    request.kind = "solid";
    for (contract::Line& line : lines) request.lines.push_back(derived(line));
    request.offers = std::move(offers);
    request.settings.workshop = {{"kerf", 0.0}, {"end_trim", 0.0}};
    request.settings.module = {
        {"length_allowance", 0.0}, {"width_allowance", 0.0}, {"planing", 0.0}};
    request.settings.length_unit = "in";
    return request;
}

contract::Offer rough(const std::string& id, const std::string& grade, double thickness) {
    return offer(id, {{"form", "rough"}, {"grade", grade}, {"thickness", thickness}}, "7.00",
                 "bdft");
}

// No.1 Common: a board is 3 in x 4 ft at least, 1 board foot of 4/4, of which 8 twelfths are clear
// (NHLA, by AHEC's summary): 32 in of it hold one part of 24 x 3 x 1 in.
TEST(SolidStockModule, RoughWoodIsBoughtInWholeBoardsOfTheGrade) {
    const auto reply = SolidStockModule().take_off(
        rough_request({rail(1, 609.6, 76.2, 25.4)}, {rough("mill/1", "No.1 Common", 25.4)}),
        Host(&door));
    ASSERT_EQ(reply.demands.front().ways.size(), 1U);
    const contract::Use& use = reply.demands.front().ways.front().uses.front();
    EXPECT_EQ(use.count, 1);
    EXPECT_EQ(use.measure, 1);
    EXPECT_EQ(use.wanted, "1 board at least 3 in wide and 4 ft long");
    EXPECT_NEAR(use.mass, 500 * 0.002359737216, 1e-4); // of a board foot at 500 kg/m3
}

// A FAS board is 6 in x 8 ft at least: 4 board feet of 4/4 and 8 of 8/4 (AHEC). Two boards of
// one part each used to be ordered as 2 board feet and 2, which no yard has.
TEST(SolidStockModule, NoYardSellsTwoBoardFeetOfFas) {
    contract::Line thin = rail(1, 600, 60, 25.4);
    contract::Line thick = rail(2, 400, 40, 45);
    thick.id = "leg";
    const auto reply =
        SolidStockModule().take_off(rough_request({thin, thick}, {rough("mill/44", "FAS", 25.4),
                                                                  rough("mill/84", "FAS", 50.8)}),
                                    Host(&door));
    ASSERT_EQ(reply.demands.size(), 2U);
    EXPECT_EQ(reply.demands[0].ways.front().uses.front().count, 4);
    EXPECT_EQ(reply.demands[1].ways.front().uses.front().count, 8);
    // Each pays for the wood of its own thickness.
    ASSERT_EQ(reply.demands[0].shares.size(), 1U);
    EXPECT_EQ(reply.demands[0].shares.front().line, "rail");
    ASSERT_EQ(reply.demands[1].shares.size(), 1U);
    EXPECT_EQ(reply.demands[1].shares.front().line, "leg");
}

// Another yard has 8/4 alone and saws both from it; that changes nothing in who pays for what here.
TEST(SolidStockModule, EachThicknessIsPaidByItsOwnParts) {
    contract::Line thick = rail(2, 400, 40, 45);
    thick.id = "leg";
    const auto reply = SolidStockModule().take_off(
        rough_request({rail(1, 600, 60, 25.4), thick},
                      {rough("mill/44", "FAS", 25.4), rough("mill/84", "FAS", 50.8),
                       rough("other/84", "FAS", 50.8)}),
        Host(&door));
    ASSERT_EQ(reply.demands.size(), 1U);
    for (const contract::Way& way : reply.demands.front().ways) {
        for (const contract::Use& use : way.uses) {
            const std::string of = use.offer == "mill/44"   ? "rail"
                                   : use.offer == "mill/84" ? "leg"
                                                            : "";
            if (!of.empty()) {
                EXPECT_EQ(use.lines, std::vector<std::string>{of});
            }
        }
    }
}

// The list's own least board holds before the grade's, and a yard that sells by the cubic metre
// sells boards too: 2.4 m x 140 mm x 30 mm is 0.01008 m3.
TEST(SolidStockModule, TheListsOwnLeastBoardHolds) {
    contract::TakeOffRequest request = rough_request({rail(1, 600, 60, 20)}, {});
    request.settings.length_unit = "mm";
    request.offers = {offer("yard/ash",
                            {{"form", "rough"},
                             {"grade", "A"},
                             {"thickness", 30.0},
                             {"least_width", 140.0},
                             {"least_length", 2400.0}},
                            "1900.00", "m3")};
    const auto reply = SolidStockModule().take_off(request, Host(&door));
    const contract::Use& use = reply.demands.front().ways.front().uses.front();
    EXPECT_EQ(use.count, 1);
    EXPECT_DOUBLE_EQ(use.measure, 0.011);
    EXPECT_EQ(use.wanted, "1 board at least 140 mm wide and 2400 mm long");
}

// Parts of rough boards stand on a plan as the others do.
TEST(SolidStockModule, EveryPartOfARoughBoardHasItsPlace) {
    const auto reply = SolidStockModule().take_off(
        rough_request({rail(5, 609.6, 76.2, 25.4)}, {rough("mill/1", "FAS", 25.4)}), Host(&door));
    std::int64_t placed = 0;
    for (const contract::BoardPlan& plan : reply.demands.front().ways.front().plans.boards) {
        EXPECT_TRUE(plan.at_least);
        placed += plan.copies * static_cast<std::int64_t>(plan.placements.size());
        for (const contract::Placement& part : plan.placements) {
            ASSERT_TRUE(part.finished);
            EXPECT_DOUBLE_EQ(part.finished->length, 609.6);
            EXPECT_LE(part.x + part.length, plan.board.length);
            EXPECT_LE(part.y + part.width, plan.board.width);
        }
    }
    EXPECT_EQ(placed, 5);
}

contract::TakeOffRequest carried_request(const contract::Line& line, double length,
                                         std::optional<contract::Carriage> carriage) {
    contract::TakeOffRequest request;
    request.kind = "solid";
    request.lines = {derived(line)};
    request.offers = {offer(
        "yard/1", {{"form", "dressed"}, {"thickness", 28.0}, {"width", 70.0}, {"length", length}},
        "2.00", "m")};
    request.offers.front().carriage = carriage;
    request.settings.workshop = {{"kerf", 3.0}, {"end_trim", 20.0}};
    request.settings.vehicle = {{"length", 2100.0}, {"width", 1100.0}};
    return request;
}

contract::CuttingService crosscuts() {
    contract::CuttingService service;
    service.supplier = "yard";
    service.offered = true;
    service.price_per_cut = "2.00";
    service.kerf = 4;
    service.accuracy = 1;
    return service;
}

std::vector<std::string> problems_of(const contract::TakeOffReply& reply) {
    std::vector<std::string> problems;
    for (const contract::Finding& finding : reply.findings)
        if (finding.severity == contract::Severity::problem) problems.push_back(finding.text);
    return problems;
}

// Boards of 4.2 m in a vehicle of 2.1 m were collected whole.
TEST(SolidStockModule, LongBoardsAreCrosscutOrDelivered) {
    contract::TakeOffRequest request = carried_request(rail(4, 900, 70, 28), 4200, {});
    request.cutting = {crosscuts()};
    const auto reply = SolidStockModule().take_off(request, Host(&door));
    const std::vector<contract::Way>& ways = reply.demands.front().ways;
    ASSERT_EQ(ways.size(), 2U);
    for (const contract::Way& way : ways) {
        const bool cut = !way.dealer_cuts.empty();
        EXPECT_NE(way.uses.front().must_be_delivered, cut);
        if (!cut) continue;
        for (const contract::BoardPlan& board : way.plans.boards) {
            double start = 0;
            for (const contract::BoardCut& at : board.dealer_cuts) {
                EXPECT_LE(at.position - start, 2100);
                start = at.position + at.kerf;
            }
            EXPECT_LE(board.board.length - start, 2100);
        }
        EXPECT_EQ(way.dealer_cuts.front().cuts,
                  static_cast<std::int64_t>(way.plans.boards.front().dealer_cuts.size()));
        EXPECT_NE(way.uses.front().wanted.find("please crosscut 1 of them at "), std::string::npos);
    }
}

TEST(SolidStockModule, WhatOnlyComesByDeliveryNeedNotFitTheVehicle) {
    const auto reply = SolidStockModule().take_off(
        carried_request(rail(4, 900, 70, 28), 4200, contract::Carriage::delivered), Host(&door));
    ASSERT_EQ(reply.demands.front().ways.size(), 1U);
    EXPECT_TRUE(reply.demands.front().ways.front().dealer_cuts.empty());
    EXPECT_FALSE(reply.demands.front().ways.front().uses.front().must_be_delivered);
}

TEST(SolidStockModule, AMaterialSaysItsOwnCarriage) {
    contract::Line line = rail(4, 900, 70, 28);
    line.material->carriage = contract::Carriage::delivered;
    const auto reply = SolidStockModule().take_off(carried_request(line, 1900, {}), Host(&door));
    EXPECT_TRUE(reply.demands.front().ways.front().uses.front().must_be_delivered);
    EXPECT_FALSE(SolidStockModule()
                     .take_off(carried_request(rail(4, 900, 70, 28), 1900, {}), Host(&door))
                     .demands.front()
                     .ways.front()
                     .uses.front()
                     .must_be_delivered);
}

TEST(SolidStockModule, APartBeyondVehicleAndDealersIsAProblem) {
    contract::TakeOffRequest request =
        carried_request(rail(1, 2500, 70, 28), 3000, contract::Carriage::vehicle);
    request.cutting = {crosscuts()};
    const auto reply = SolidStockModule().take_off(request, Host(&door));
    EXPECT_TRUE(reply.demands.front().ways.empty());
    EXPECT_EQ(problems_of(reply),
              std::vector<std::string>{
                  "rail (2500 mm) is longer than the vehicle takes (2100 mm), and 'yard' does not "
                  "deliver: find a supplier that delivers, or state a longer \"vehicle\"."});
}

TEST(SolidStockModule, APartTooLongForTheVehicleIsNamedForItsWayToTheClient) {
    const auto reply =
        SolidStockModule().take_off(carried_request(rail(1, 2500, 70, 28), 3000, {}), Host(&door));
    ASSERT_FALSE(reply.findings.empty());
    EXPECT_EQ(reply.findings.front().text,
              "rail (2500 mm long) does not fit the vehicle (2100 x 1100 mm) on its way to the "
              "client: hire a larger one, or joint it there.");
}

TEST(SolidStockModule, BoardsThatNobodyCutsOrBringsAreAProblem) {
    const auto reply = SolidStockModule().take_off(
        carried_request(rail(1, 900, 70, 28), 3000, contract::Carriage::vehicle), Host(&door));
    EXPECT_TRUE(reply.demands.front().ways.empty());
    EXPECT_EQ(problems_of(reply),
              std::vector<std::string>{
                  "The boards of pine 28 mm x 70 mm from 'yard' (3000 mm) are longer than the "
                  "vehicle takes (2100 mm), and 'yard' neither crosscuts nor delivers: state "
                  "\"cutting\" or \"delivery\" in its supplier.json, or a longer \"vehicle\"."});
}

// 3 m in two parts of 900 leaves 1194 less two ends of 20: worth keeping from 500 on (common
// practice), or from what the workshop says.
TEST(SolidStockModule, TheWorkshopSaysWhichEndIsWorthKeeping) {
    contract::TakeOffRequest request = carried_request(rail(2, 900, 70, 28), 3000, {});
    request.settings.vehicle = Json::object();
    const auto keeps = [&] {
        return SolidStockModule()
            .take_off(request, Host(&door))
            .demands.front()
            .ways.front()
            .plans.boards.front()
            .keep_offcut;
    };
    EXPECT_TRUE(keeps());
    request.settings.module["least_offcut_length"] = 1200.0;
    EXPECT_FALSE(keeps());
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
