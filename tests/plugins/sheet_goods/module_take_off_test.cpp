#include "module_requests.hpp"

#include "sheet_goods/module/shop.hpp"
#include "sheet_plan_check.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

namespace aumbry::sheet_goods {
namespace {

using namespace module_testing;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

std::map<std::string, std::int64_t> counts_of(const std::vector<contract::Line>& lines) {
    std::map<std::string, std::int64_t> counts;
    for (const contract::Line& line : lines) counts[line.id] = line.count;
    return counts;
}

contract::CuttingService cutter(const std::string& supplier, double kerf = 3.2) {
    contract::CuttingService service;
    service.supplier = supplier;
    service.offered = true;
    service.price_per_cut = "1.50";
    service.free_cuts = 0;
    service.kerf = kerf;
    return service;
}

// ---------------------------------------------------------------- ways

TEST(SheetWays, OneForEachSheetThatCanBeBoughtCheapestFirst) {
    const std::vector<contract::Line> lines{panel("side", 1200, 600, 4),
                                            panel("shelf", 800, 300, 6)};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00"),
                                                sheet("south", "B", 2500, 1250, "95.00")}));
    const auto& demand = sheets_of(reply);
    ASSERT_EQ(demand.ways.size(), 2U);
    EXPECT_EQ(demand.ways[0].uses.at(0).offer, "south/B");
    EXPECT_EQ(demand.ways[1].uses.at(0).offer, "north/A");
    for (const contract::Way& way : demand.ways)
        EXPECT_THAT(faults_of_plans(way, lines, counts_of(lines)), IsEmpty());
    // 4 x 0.72 + 6 x 0.24 = 4.32 m2 in parts and 3.05 m2 usable in a sheet: two at least, and two
    // do.
    EXPECT_EQ(demand.ways[0].used, 2);
    EXPECT_EQ(demand.ways[0].lower_bound, 2);
    EXPECT_TRUE(demand.ways[0].proven);
    EXPECT_NEAR(demand.ways[0].yield, 4.32 / 6.25, 1e-4);
}

TEST(SheetWays, ASheetOutOfStockIsLeftOutAndSaid) {
    auto none = sheet("south", "B", 2500, 1250, "95.00");
    none.limit = 0;
    const std::vector<contract::Line> lines{panel("side", 1200, 600, 4)};
    const auto some = take_off(request(lines, {none, sheet("north", "A", 2500, 1250, "110.00")}));
    ASSERT_EQ(sheets_of(some).ways.size(), 1U);
    EXPECT_EQ(sheets_of(some).ways[0].uses.at(0).offer, "north/A");
    EXPECT_EQ(finding(some.findings, "sheet-out-of-stock").text,
              "The sheet south/B (2500 x 1250 mm) is left out: its supplier has none in stock.");
    const auto nothing = take_off(request(lines, {none}));
    EXPECT_EQ(finding(nothing.findings, "sheet-not-offered").text,
              "No supplier has 18 mm birch BB/BB in stock: wait for it, or change the material "
              "carcase.");
}

TEST(SheetWays, PartsThatShowOneFaceComeFromCheaperSheetsOfWhichTheDealerHasSoMany) {
    // Two faces of BB ask for BB/BB; the sides show one and may be cut from BB/CP.
    auto good = sheet("north", "good", 2500, 1250, "84.50");
    auto usual = sheet("north", "usual", 2500, 1250, "66.25", {{"grade", "BB/CP"}});
    good.limit = 12;
    usual.limit = 8;
    std::vector<contract::Line> lines{panel("shelf", 1200, 600, 8, {{"faces", 2}}),
                                      panel("side", 2400, 600, 4, {{"faces", 1}})};
    for (auto& line : lines) line.material = birch({{"grade", "BB/CP"}});
    // Two sheets of each: 2 x 84.50 + 2 x 66.25.
    const auto plenty = take_off(request(lines, {good, usual}));
    std::map<std::string, std::int64_t> bought;
    for (const contract::Use& use : sheets_of(plenty).ways.at(0).uses)
        bought[use.offer] = use.count;
    EXPECT_EQ(bought, (std::map<std::string, std::int64_t>{{"north/good", 2}, {"north/usual", 2}}));
    // With one of the cheaper sheets in stock, no plan takes two.
    usual.limit = 1;
    const auto scarce = take_off(request(lines, {good, usual}));
    ASSERT_FALSE(sheets_of(scarce).ways.empty());
    for (const contract::Way& way : sheets_of(scarce).ways) {
        for (const contract::Use& use : way.uses) {
            if (use.offer == "north/usual") {
                EXPECT_LE(use.count, 1);
            }
        }
    }
}

TEST(SheetWays, PricedByTheSquareMetreStateTheMeasureOfASheet) {
    auto offer = sheet("north", "A", 2500, 1250, "30.00");
    offer.price_unit = "m2";
    const auto reply = take_off(request({panel("side", 1200, 600)}, {offer}));
    EXPECT_DOUBLE_EQ(sheets_of(reply).ways.at(0).uses.at(0).measure, 3.125);
}

TEST(SheetWays, SayWhatASheetWeighs) {
    // 2.5 x 1.25 x 0.018 m at 680 kg/m3.
    const auto reply =
        take_off(request({panel("side", 1200, 600)}, {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_NEAR(sheets_of(reply).ways.at(0).uses.at(0).mass, 38.25, 1e-6);
}

TEST(SheetWays, WhatLiesInTheWorkshopIsUsedFirst) {
    auto offcut = sheet("", "offcut_3", 1300, 700, "");
    offcut.owned = true;
    offcut.limit = 1;
    const auto reply = take_off(
        request({panel("side", 1200, 600)}, {offcut, sheet("north", "A", 2500, 1250, "110.00")}));
    ASSERT_FALSE(sheets_of(reply).ways.empty());
    EXPECT_EQ(sheets_of(reply).ways[0].uses.at(0).offer, "owned/offcut_3");
    EXPECT_EQ(sheets_of(reply).ways[0].plans.sheets.at(0).supplier, "");
}

TEST(SheetWays, AMixedOneSavesWhenASmallSheetFinishesTheJob) {
    // One long part for the large sheet and one that fits the small sheet: 110 + 40 against 220.
    const std::vector<contract::Line> lines{panel("long", 2400, 900), panel("square", 1000, 1000)};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00"),
                                                sheet("north", "S", 1250, 1250, "40.00")}));
    const contract::Way& best = sheets_of(reply).ways.at(0);
    ASSERT_EQ(best.uses.size(), 2U);
    EXPECT_THAT(faults_of_plans(best, lines, counts_of(lines)), IsEmpty());
}

TEST(SheetWays, NeverUseMoreThanTheStock) {
    auto limited = sheet("south", "B", 2500, 1250, "50.00");
    limited.limit = 1;
    const std::vector<contract::Line> lines{panel("side", 2400, 1200, 3)};
    const auto reply =
        take_off(request(lines, {limited, sheet("north", "A", 2500, 1250, "110.00")}));
    for (const contract::Way& way : sheets_of(reply).ways) {
        for (const contract::Use& use : way.uses)
            EXPECT_LE(use.offer == "south/B" ? use.count : 0, 1);
    }
    EXPECT_EQ(sheets_of(reply).ways.at(0).uses.size(), 2U); // one cheap, two dear
}

TEST(SheetWays, BuyWholePacks) {
    auto pack = sheet("north", "P", 2500, 1250, "300.00");
    pack.price_unit = "pack";
    pack.pack = 3;
    const auto reply = take_off(request({panel("side", 2400, 1200, 4)}, {pack}));
    EXPECT_EQ(sheets_of(reply).ways.at(0).used, 4);
    EXPECT_EQ(sheets_of(reply).ways.at(0).uses.at(0).count, 2);
}

TEST(SheetWays, AreAtMostTwelveOfManyOffers) {
    std::vector<contract::Offer> offers;
    for (int i = 0; i < 30; ++i)
        offers.push_back(
            sheet("s" + std::to_string(i), "A", 2500 + i, 1250, std::to_string(90 + i)));
    EXPECT_LE(sheets_of(take_off(request({panel("side", 1200, 600, 9)}, offers))).ways.size(), 12U);
}

TEST(SheetWays, AnOfferWithABetterFaceDoesToo) {
    const auto reply =
        take_off(request({panel("side", 1200, 600)},
                         {sheet("north", "A", 2500, 1250, "80.00", {{"grade", "B/BB"}}),
                          sheet("north", "C", 2500, 1250, "60.00", {{"grade", "BB/CP"}})}));
    ASSERT_EQ(sheets_of(reply).ways.size(), 1U);
    EXPECT_EQ(sheets_of(reply).ways[0].uses.at(0).offer, "north/A");
}

TEST(SheetWays, TheSameRequestGetsTheSameReply) {
    const auto asked = request(
        {panel("side", 1180, 560, 5), panel("shelf", 790, 310, 9), panel("rail", 1900, 90, 7)},
        {sheet("north", "A", 2500, 1250, "110.00"), sheet("south", "B", 3050, 1525, "170.00")});
    EXPECT_EQ(contract::to_json(take_off(asked)).dump(), contract::to_json(take_off(asked)).dump());
}

TEST(SheetWays, AHigherEffortIsNeverWorse) {
    auto asked = request({panel("side", 1180, 560, 7), panel("shelf", 790, 310, 13),
                          panel("rail", 1900, 90, 11), panel("door", 640, 480, 9)},
                         {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.effort = "draft";
    const auto quick = sheets_of(take_off(asked)).ways.at(0).used;
    asked.settings.effort = "normal";
    EXPECT_LE(sheets_of(take_off(asked)).ways.at(0).used, quick);
}

// ---------------------------------------------------------------- plans of drawn orders

TEST(SheetPlans, OfDrawnOrdersCanBeCut) {
    std::uint64_t state = 20270301;
    const auto draw = [&](std::int64_t from, std::int64_t to) {
        state = state * 6364136223846793005ULL + 1442695040888963407ULL;
        return from +
               static_cast<std::int64_t>((state >> 33) % static_cast<std::uint64_t>(to - from + 1));
    };
    for (int order = 0; order < 60; ++order) {
        std::vector<contract::Line> lines;
        const std::int64_t kinds = draw(1, 7);
        for (std::int64_t i = 0; i < kinds; ++i) {
            Json more = {{"grain", std::array{"length", "width",
                                              "any"}[static_cast<std::size_t>(draw(0, 2))]}};
            if (draw(0, 3) == 0) {
                more["match"] = "bank";
                more["grain"] = "length";
                more["match_run"] = "width";
            }
            if (draw(0, 3) == 0)
                more["edges"] = {{"front", {{"treatment", "banded"}, {"thickness", 0.6}}},
                                 {"left", {{"treatment", "scribed"}}}};
            lines.push_back(
                panel("p" + std::to_string(i),
                      static_cast<double>(draw(120, 1000)) + 0.25 * static_cast<double>(draw(0, 3)),
                      static_cast<double>(draw(60, 380)), draw(1, 3), more));
        }
        auto asked =
            request(lines, {sheet("north", "A", 2500, 1250, "110.00"),
                            sheet("south", "B", 1250, 2500, "100.00", {{"grain", "width"}})});
        asked.settings.effort = "draft";
        PlanRules rules;
        if (draw(0, 1) == 0) {
            rules = {1900, 1050};
            asked.settings.vehicle = {{"length", 1900.0}, {"width", 1050.0}};
            asked.cutting = {cutter("north", 4), cutter("south")};
        }
        const auto reply = take_off(asked);
        for (const contract::Way& way : sheets_of(reply).ways) {
            const bool too_large =
                std::any_of(way.uses.begin(), way.uses.end(),
                            [](const contract::Use& use) { return use.must_be_delivered; });
            EXPECT_THAT(
                faults_of_plans(way, lines, counts_of(lines), too_large ? PlanRules{} : rules),
                IsEmpty())
                << "order " << order << ", way " << way.id;
            EXPECT_GE(way.used, way.lower_bound);
        }
        EXPECT_FALSE(sheets_of(reply).ways.empty()) << order;
    }
}

// ---------------------------------------------------------------- match groups

TEST(SheetMatch, PartsOfAGroupLieSideBySideInOrder) {
    // A bank of three drawer fronts with upright grain: the grain runs up through all three.
    std::vector<contract::Line> lines;
    for (const auto& [id, height, place] :
         {std::tuple("low", 240.0, 3), std::tuple("top", 140.0, 1), std::tuple("middle", 190.0, 2)})
        lines.push_back(panel(id, 500, height, 1,
                              {{"grain", "width"}, {"match", "bank"}, {"match_place", place}}));
    lines.push_back(panel("side", 900, 500, 2));
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00")}));
    const contract::Way& way = sheets_of(reply).ways.at(0);
    EXPECT_THAT(faults_of_plans(way, lines, counts_of(lines)), IsEmpty());
    std::map<std::string, Json> placed;
    const Json plan = plans_of(way).at(0);
    for (const Json& part : plan["placements"]) placed[part["line"].get<std::string>()] = part;
    // Grain along the sheet's length and across the fronts: they follow one another along the
    // sheet.
    EXPECT_TRUE(placed["top"]["rotated"].get<bool>());
    EXPECT_NEAR(placed["middle"]["x"].get<double>(), placed["top"]["x"].get<double>() + 140 + 3.2,
                1e-3);
    EXPECT_NEAR(placed["low"]["x"].get<double>(), placed["middle"]["x"].get<double>() + 190 + 3.2,
                1e-3);
    EXPECT_EQ(placed["top"]["y"], placed["low"]["y"]);
}

TEST(SheetMatch, LinesOfEqualCountMakeAsManyGroups) {
    std::vector<contract::Line> lines{panel("top", 500, 140, 2, {{"match", "bank"}}),
                                      panel("low", 500, 240, 2, {{"match", "bank"}})};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00")}));
    const contract::Way& way = sheets_of(reply).ways.at(0);
    EXPECT_THAT(faults_of_plans(way, lines, counts_of(lines)), IsEmpty());
    // Each top has a low right after it along the length, in the same row.
    std::vector<Json> tops;
    std::vector<Json> lows;
    const Json plan = plans_of(way).at(0);
    for (const Json& part : plan["placements"])
        (part["line"] == "top" ? tops : lows).push_back(part);
    ASSERT_EQ(tops.size(), 2U);
    for (const Json& top : tops) {
        EXPECT_TRUE(std::any_of(lows.begin(), lows.end(), [&](const Json& low) {
            return low["y"] == top["y"] &&
                   std::abs(low["x"].get<double>() - top["x"].get<double>() - 503.2) < 1e-3;
        }));
    }
}

TEST(SheetMatch, AGroupTooLargeForASheetIsCutOneByOneAndSaysSo) {
    std::vector<contract::Line> lines{panel("front", 1000, 400, 4, {{"match", "run"}})};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_THAT(finding(reply.findings, "match-group-too-large").text, HasSubstr("cut one by one"));
    EXPECT_THAT(faults_of_plans(sheets_of(reply).ways.at(0), lines, counts_of(lines)), IsEmpty());
}

// ---------------------------------------------------------------- seams

TEST(SheetSeam, APanelLargerThanASheetIsCutInSections) {
    const std::vector<contract::Line> lines{panel(
        "top", 3600, 600, 1, {{"seams", Json::array({{{"at", 1800.0}, {"cover_strip", true}}})}})};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_THAT(faults_of_plans(sheets_of(reply).ways.at(0), lines, {{"top", 2}}), IsEmpty());
    EXPECT_THAT(finding(reply.findings, "seam").text,
                HasSubstr("by a butt joint under a cover strip"));
    const auto strip =
        std::find_if(reply.quantities.begin(), reply.quantities.end(),
                     [](const auto& row) { return row.ref == "carcase.cover_strip"; });
    ASSERT_NE(strip, reply.quantities.end());
    EXPECT_DOUBLE_EQ(strip->value, 0.6);
}

// Once, a seam that was left out as lying outside the panel was put together all the same, and its
// 20 minutes charged.
TEST(SheetSeam, OutsideThePanelIsNeitherToldNorCharged) {
    const std::vector<contract::Line> lines{
        panel("top", 2000, 300, 1, {{"seams", Json::array({{{"at", 2400.0}}})}})};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_TRUE(std::none_of(reply.findings.begin(), reply.findings.end(),
                             [](const auto& found) { return found.code == "seam"; }));
    EXPECT_TRUE(std::none_of(reply.steps.begin(), reply.steps.end(),
                             [](const auto& step) { return step.id.rfind("join", 0) == 0; }));
}

TEST(SheetSeam, APanelIsWholeBeforeItsEdgesAreBanded) {
    const std::vector<contract::Line> lines{
        panel("top", 3600, 600, 1,
              {{"seams", Json::array({{{"at", 1800.0}}})},
               {"edges", {{"front", {{"treatment", "rounded"}}}}}})};
    const auto reply = take_off(request(lines, {sheet("north", "A", 2500, 1250, "110.00")}));
    const auto step = [&](const std::string& begin) -> const contract::Step& {
        return *std::find_if(reply.steps.begin(), reply.steps.end(),
                             [&](const auto& each) { return each.id.rfind(begin, 0) == 0; });
    };
    EXPECT_EQ(step("join").phase, contract::Phase::join);
    EXPECT_EQ(step("edge").phase, contract::Phase::edge);
}

// ---------------------------------------------------------------- faces that show

TEST(SheetFaces, APartThatShowsBothComesFromASheetWithTwoGoodFaces) {
    auto line = panel("door", 700, 450, 4, {{"faces", 2}});
    line.material->attributes["grade"] = "B/CP";
    const auto reply =
        take_off(request({line}, {sheet("north", "CP", 2500, 1250, "80.00", {{"grade", "B/CP"}}),
                                  sheet("north", "BB", 2500, 1250, "120.00", {{"grade", "B/B"}})}));
    ASSERT_EQ(sheets_of(reply).ways.size(), 1U);
    EXPECT_EQ(sheets_of(reply).ways[0].uses.at(0).offer, "north/BB");
}

TEST(SheetFaces, PartsThatShowOneFaceStayOnTheCheaperSheetWhenThatSaves) {
    std::vector<contract::Line> lines{panel("door", 700, 450, 1, {{"faces", 2}}),
                                      panel("side", 2400, 1200, 5)};
    for (auto& line : lines) line.material->attributes["grade"] = "B/CP";
    const auto reply =
        take_off(request(lines, {sheet("north", "CP", 2500, 1250, "80.00", {{"grade", "B/CP"}}),
                                 sheet("north", "BB", 2500, 1250, "120.00", {{"grade", "B/B"}})}));
    const auto& ways = sheets_of(reply).ways;
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_EQ(ways[0].uses.size(), 2U); // one good sheet and five cheap ones: 520 against 720
    EXPECT_EQ(ways[1].uses.size(), 1U);
    for (const auto& way : ways)
        EXPECT_THAT(faults_of_plans(way, lines, counts_of(lines)), IsEmpty());
    EXPECT_FALSE(ways[0].proven); // the doors might have gone on a sheet with the sides
}

TEST(SheetFaces, AGradeThatNobodyHasIsAProblem) {
    auto line = panel("door", 700, 450, 4, {{"faces", 2}});
    line.material->attributes["grade"] = "B/CP";
    const auto reply =
        take_off(request({line}, {sheet("north", "CP", 2500, 1250, "80.00", {{"grade", "B/CP"}})}));
    EXPECT_THAT(finding(reply.findings, "face-grade-not-offered").text,
                HasSubstr("door shows two faces and needs B on both"));
    EXPECT_EQ(sheets_of(reply).ways.size(), 1U);
}

// ---------------------------------------------------------------- the dealer's first cuts

TEST(SheetDealer, CutsUntilEveryBlankLiesInTheVehicle) {
    const std::vector<contract::Line> lines{panel("side", 1800, 560, 4),
                                            panel("shelf", 700, 300, 8)};
    auto asked = request(lines, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.vehicle = {{"length", 1900.0}, {"width", 1050.0}};
    asked.cutting = {cutter("north", 4)};
    asked.cutting[0].free_cuts = 1;
    asked.cutting[0].accuracy = 1;
    const auto reply = take_off(asked);
    const contract::Way& way = sheets_of(reply).ways.at(0);
    EXPECT_THAT(faults_of_plans(way, lines, counts_of(lines), {1900, 1050}), IsEmpty());
    std::int64_t cuts = 0;
    for (const Json& plan : plans_of(way)) {
        for (const Json& cut : plan["cuts"]) {
            // The stated saws: his of 4 mm and 1 mm inaccurate, the workshop's of 3.2 mm.
            EXPECT_EQ(cut["kerf"], cut["by"] == "dealer" ? 4.0 : 3.2);
            EXPECT_EQ(cut.value("accuracy", 0.0), cut["by"] == "dealer" ? 1.0 : 0.0);
        }
        cuts += plan["copies"].get<std::int64_t>() *
                std::count_if(plan["cuts"].begin(), plan["cuts"].end(),
                              [](const Json& cut) { return cut["by"] == "dealer"; });
    }
    EXPECT_GE(cuts, way.used);
    ASSERT_EQ(way.dealer_cuts.size(), cuts > way.used ? 1U : 0U);
    if (cuts > way.used) {
        EXPECT_EQ(way.dealer_cuts[0].cuts, cuts - way.used);
    }
}

TEST(SheetDealer, SheetsOfAPartThatCannotBeCarriedComeWholeAndDelivered) {
    const std::vector<contract::Line> lines{panel("top", 2300, 600)};
    auto asked = request(lines, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.vehicle = {{"length", 1900.0}, {"width", 1050.0}};
    asked.cutting = {cutter("north")};
    auto reply = take_off(asked);
    ASSERT_EQ(sheets_of(reply).ways.size(), 1U);
    EXPECT_TRUE(sheets_of(reply).ways[0].uses[0].must_be_delivered);
    EXPECT_TRUE(sheets_of(reply).ways[0].dealer_cuts.empty());
    EXPECT_FALSE(has_finding(reply.findings, "part-larger-than-vehicle"));
    // Finished it is as large.
    EXPECT_EQ(finding(reply.findings, "finished-larger-than-vehicle").text,
              "top (2300 x 600 mm) does not fit the vehicle (1900 x 1050 mm) on its way to the "
              "client: hire a larger one, or put it together there.");
    asked.offers[0].carriage = contract::Carriage::vehicle; // nobody brings it
    reply = take_off(asked);
    const auto found = finding(reply.findings, "part-larger-than-vehicle");
    EXPECT_EQ(found.severity, contract::Severity::problem);
    EXPECT_EQ(
        found.text,
        "top (2300 x 600 mm) does not fit the vehicle (1900 x 1050 mm), and no supplier of 18 "
        "mm birch BB/BB delivers: split it at a seam, state a larger \"vehicle\", or find a "
        "supplier that delivers.");
}

TEST(SheetDealer, CutsNoStripNarrowerThanHeCutsButMayTrimWaste) {
    // 1230 mm of usable width take two parts of 600 and leave a sliver: waste.
    auto asked =
        request({panel("side", 1800, 600, 2)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.vehicle = {{"length", 1900.0}, {"width", 700.0}};
    asked.cutting = {cutter("north")};
    asked.cutting[0].least_strip = 200;
    EXPECT_FALSE(has_finding(take_off(asked).findings, "strip-too-narrow"));
    asked.cutting[0].least_strip = 650;
    EXPECT_THAT(finding(take_off(asked).findings, "strip-too-narrow").text,
                HasSubstr("ask north for a strip narrower than it cuts"));
}

// 2426 x 284 mm of a sheet were waste because they were 16 mm narrower than the rule.
TEST(SheetShop, AnOffcutIsKeptForItsSidesOrForItsArea) {
    Shop shop;
    EXPECT_TRUE(shop.keeps(600, 300));
    EXPECT_TRUE(shop.keeps(284, 2426));
    EXPECT_FALSE(shop.keeps(599, 300));
    EXPECT_FALSE(shop.keeps(3000, 140)); // large enough, too narrow
    shop.least_offcut_area = 1;
    EXPECT_FALSE(shop.keeps(284, 2426));
}

TEST(SheetDealer, AKerfOfNothingOrOfTooMuchNamesWhatToSet) {
    auto asked = request({panel("side", 1800, 560)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.vehicle = {{"length", 1900.0}, {"width", 1050.0}};
    asked.cutting = {cutter("north", 0)};
    EXPECT_EQ(finding(take_off(asked).findings, "kerf-not-stated").text,
              "north cuts, and its kerf is not stated, so its cuts are planned as if they took "
              "nothing: set \"kerf\" under \"cutting\" in its supplier.json (3 to 5 mm is usual).");
    asked.cutting = {cutter("north", 40)};
    EXPECT_EQ(finding(take_off(asked).findings, "kerf-too-wide").text,
              "The kerf of north is 40 mm, wider than any blade for panels: set \"kerf\" under "
              "\"cutting\" in its supplier.json (3 to 5 mm is usual).");
    asked.cutting = {cutter("north", 4)};
    asked.settings.workshop["kerf"] = 0.0;
    EXPECT_EQ(finding(take_off(asked).findings, "kerf-not-stated").text,
              "The workshop's kerf is 0, so parts are planned as if the blade took nothing: set "
              "\"kerf\" of the workshop to what yours takes (2.2 to 3.2 mm is usual).");
    asked.settings.workshop["kerf"] = 32.0;
    EXPECT_EQ(finding(take_off(asked).findings, "kerf-too-wide").text,
              "The workshop's kerf is 32 mm, wider than any blade for panels: set \"kerf\" of the "
              "workshop to what yours takes (2.2 to 3.2 mm is usual).");
}

TEST(SheetDealer, OneWhoDoesNotCutHasToDeliver) {
    auto asked = request({panel("side", 1800, 560)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.vehicle = {{"length", 1900.0}, {"width", 1050.0}};
    auto reply = take_off(asked);
    EXPECT_TRUE(sheets_of(reply).ways.at(0).uses.at(0).must_be_delivered);
    EXPECT_FALSE(has_finding(reply.findings, "sheet-needs-delivery"));
    asked.offers[0].carriage = contract::Carriage::vehicle;
    reply = take_off(asked);
    EXPECT_EQ(finding(reply.findings, "sheet-needs-delivery").text,
              "The sheets of 18 mm birch BB/BB do not fit the vehicle (1900 x 1050 mm), and north "
              "neither cuts nor delivers: state \"cutting\" or \"delivery\" in supplier.json, or a "
              "larger \"vehicle\".");
    EXPECT_TRUE(sheets_of(reply).ways.at(0).dealer_cuts.empty());
}

// One dealer without a saw used to switch the rule off for all: whole sheets were then bought of
// the other and fetched in a vehicle that they do not fit.
TEST(SheetDealer, ASupplierThatIsNotBoughtFromChangesNothingForOthers) {
    auto asked = request({panel("side", 1005, 930)}, {sheet("north", "A", 1525, 1525, "45.00")});
    asked.settings.vehicle = {{"length", 1600.0}, {"width", 1000.0}};
    asked.cutting = {cutter("north")};
    const auto of_north = [](const contract::TakeOffReply& reply) {
        for (const contract::Way& way : sheets_of(reply).ways)
            if (way.uses.size() == 1 && way.uses[0].offer == "north/A") return way;
        return contract::Way{};
    };
    const contract::Way alone = of_north(take_off(asked));
    ASSERT_FALSE(alone.plans.sheets.empty());
    asked.offers.push_back(sheet("south", "B", 1525, 1525, "44.00"));
    const contract::Way beside = of_north(take_off(asked));
    EXPECT_FALSE(beside.uses.at(0).must_be_delivered);
    EXPECT_EQ(to_json(contract::Plans{beside.plans}), to_json(contract::Plans{alone.plans}));
    EXPECT_FALSE(beside.plans.sheets.front().cuts.empty());
    EXPECT_EQ(beside.plans.sheets.front().cuts.front().by, contract::CutBy::dealer);
}

TEST(SheetDealer, WhatComesByDeliveryIsNotCutForTheVehicle) {
    auto asked = request({panel("side", 1005, 930)}, {sheet("north", "A", 1525, 1525, "45.00")});
    asked.settings.vehicle = {{"length", 1600.0}, {"width", 1000.0}};
    asked.cutting = {cutter("north")};
    asked.offers[0].carriage = contract::Carriage::delivered;
    contract::Way way = sheets_of(take_off(asked)).ways.at(0);
    EXPECT_TRUE(way.dealer_cuts.empty());
    EXPECT_FALSE(way.uses.at(0).must_be_delivered);
    // The material says so: it may not be collected.
    asked.offers[0].carriage.reset();
    asked.lines[0].material->carriage = contract::Carriage::delivered;
    way = sheets_of(take_off(asked)).ways.at(0);
    EXPECT_TRUE(way.dealer_cuts.empty());
    EXPECT_TRUE(way.uses.at(0).must_be_delivered);
}

TEST(SheetDealer, AVehicleWithoutAHeightIsAskedForIt) {
    auto asked = request({panel("side", 1005, 930)}, {sheet("north", "A", 1525, 1525, "45.00")});
    asked.settings.vehicle = {{"length", 1600.0}, {"width", 1000.0}};
    EXPECT_EQ(
        finding(take_off(asked).findings, "vehicle-without-height").text,
        "Sheets of 18 mm birch BB/BB would stand in the vehicle on edge if it is high enough: "
        "state its \"height\" under \"vehicle\" to have them fetched so.");
    asked.settings.vehicle["height"] = 1550.0;
    const auto reply = take_off(asked);
    EXPECT_FALSE(has_finding(reply.findings, "vehicle-without-height"));
    EXPECT_FALSE(sheets_of(reply).ways.at(0).uses.at(0).must_be_delivered);
}

TEST(SheetDealer, MakesTheCutsThatAreTooLongForTheWorkshop) {
    auto asked =
        request({panel("side", 1200, 560, 4)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.workshop["longest_rip"] = 1300.0;
    asked.cutting = {cutter("north")};
    const auto reply = take_off(asked);
    for (const Json& plan : plans_of(sheets_of(reply).ways.at(0))) {
        for (const Json& cut : plan["cuts"]) {
            const Json& blank = plan["blanks"][cut["blank"].get<std::size_t>()];
            const double long_way = cut["direction"] == "length" ? blank["width"] : blank["length"];
            if (cut["by"] == "workshop") {
                EXPECT_LE(long_way, 1300);
            }
        }
    }
}

// ---------------------------------------------------------------- banding

TEST(SheetEdging, IsBoughtByTheMetreWithItsOverhang) {
    auto roll = sheet("north", "E22", 50000, 22, "18.00");
    roll.catalog_class = "edging";
    roll.attributes = {
        {"species", "birch"}, {"thickness", 0.5}, {"width", 22.0}, {"length", 50000.0}};
    auto narrow = roll;
    narrow.id = "north/E19";
    narrow.attributes["width"] = 19.0;
    const auto reply = take_off(
        request({panel("shelf", 800, 300, 5,
                       {{"edges", {{"front", {{"treatment", "banded"}, {"overhang", 1.0}}}}}})},
                {sheet("north", "A", 2500, 1250, "110.00"), roll, narrow}));
    const auto& demand = reply.demands.at(1);
    EXPECT_EQ(demand.id, "carcase.edging");
    // Five times 800 mm, at each end 1 mm and 25 mm to be trimmed (common practice), which a strip
    // cut to the edge's own length lacks; 18 mm and 1 mm on each face want 20 mm of width.
    EXPECT_DOUBLE_EQ(demand.amount->quantity, 4.26);
    ASSERT_EQ(demand.amount->offers.size(), 1U);
    EXPECT_EQ(demand.amount->offers[0].offer, "north/E22");
    EXPECT_EQ(demand.amount->offers[0].content, 50);
    EXPECT_EQ(reply.steps.at(1).id, "edge.carcase.bed");
    EXPECT_EQ(reply.steps.at(1).needs, std::vector<std::string>{"carcase.edging"});
}

TEST(SheetEdging, ThatNobodyOffersIsAProblem) {
    const auto reply = take_off(
        request({panel("shelf", 800, 300, 5, {{"edges", {{"front", {{"treatment", "banded"}}}}}})},
                {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_THAT(finding(reply.findings, "edging-not-offered").text,
                HasSubstr("Nobody offers 0.5 mm birch edging, at least 18 mm wide"));
}

// ---------------------------------------------------------------- what cannot be

TEST(SheetFaults, APartLargerThanEverySheetLessItsCleanUp) {
    // 2500 less 10 at both ends leaves 2480.
    const auto reply = take_off(request({panel("top", 2481, 600), panel("side", 1200, 600)},
                                        {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_EQ(finding(reply.findings, "part-larger-than-sheet").text,
              "top (2481 x 600 mm) is larger than every sheet; the largest sheet of 18 mm birch "
              "BB/BB is 2500 x 1250 mm less 10 mm clean-up all round: state a seam, say along the "
              "length at 1240 mm, or add a larger format.");
    ASSERT_EQ(reply.demands.size(), 2U);
    EXPECT_EQ(reply.demands[1].id, "carcase.not_cut");
    EXPECT_TRUE(reply.demands[1].ways.empty());
    EXPECT_EQ(reply.demands[1].shares.at(0).line, "top");
    EXPECT_EQ(reply.demands[0].shares.size(), 1U); // the rest is planned
    EXPECT_FALSE(has_finding(
        take_off(request({panel("top", 2480, 600)}, {sheet("north", "A", 2500, 1250, "110.00")}))
            .findings,
        "part-larger-than-sheet"));
}

TEST(SheetFaults, AGrainDirectionThatFitsNoSheet) {
    const auto reply =
        take_off(request({panel("door", 600, 2000)}, {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_THAT(finding(reply.findings, "grain-fits-no-sheet").text,
                HasSubstr("door (600 x 2000 mm) fits no sheet with its grain along its length: let "
                          "the grain be 'any'"));
}

TEST(SheetFaults, AKerfLargerThanAPart) {
    auto asked = request({panel("strip", 500, 3)}, {sheet("north", "A", 2500, 1250, "110.00")});
    EXPECT_EQ(finding(take_off(asked).findings, "kerf-larger-than-part").text,
              "The kerf of 3.2 mm is larger than strip (500 x 3 mm): check the unit of the kerf.");
}

TEST(SheetFaults, ANegativeKerf) {
    auto asked = request({panel("side", 500, 300)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.workshop["kerf"] = -3.0;
    const auto reply = take_off(asked);
    EXPECT_EQ(finding(reply.findings, "kerf-negative").text,
              "The kerf is -3 mm; a kerf is 0 or more, and 0 is used.");
    EXPECT_EQ(sheets_of(reply).ways.at(0).used, 1);
}

TEST(SheetFaults, ACountOfAMillion) {
    const auto reply = take_off(
        request({panel("block", 50, 50, 1'000'000)}, {sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_EQ(finding(reply.findings, "too-many-parts").text,
              "block asks for 1000000 parts; at most 100000 parts of one material are planned at "
              "once: check its count.");
}

TEST(SheetFaults, AnOffcutSmallerThanTheCleanUp) {
    auto offcut = sheet("", "sliver", 600, 20, "");
    offcut.owned = true;
    offcut.limit = 1;
    const auto reply = take_off(
        request({panel("side", 500, 300)}, {offcut, sheet("north", "A", 2500, 1250, "110.00")}));
    EXPECT_EQ(finding(reply.findings, "offcut-smaller-than-clean-up").text,
              "The offcut owned/sliver (600 x 20 mm) is left out: cleaning up its edges by 10 mm "
              "leaves nothing.");
    EXPECT_EQ(sheets_of(reply).ways.at(0).used, 1);
}

TEST(SheetFaults, AMaterialThatNobodyOffers) {
    const auto reply = take_off(request({panel("side", 500, 300)}, {}));
    EXPECT_EQ(finding(reply.findings, "sheet-not-offered").text,
              "No supplier offers 18 mm birch BB/BB: add it to a price list, or change the "
              "material carcase.");
    ASSERT_EQ(reply.demands.size(), 1U);
    EXPECT_TRUE(reply.demands[0].ways.empty());
}

TEST(SheetFaults, StockThatIsNotEnough) {
    auto limited = sheet("south", "B", 2500, 1250, "50.00");
    limited.limit = 1;
    const auto reply = take_off(request({panel("side", 2400, 1200, 3)}, {limited}));
    EXPECT_TRUE(has_finding(reply.findings, "not-enough-sheets"));
    EXPECT_TRUE(sheets_of(reply).ways.empty());
}

TEST(SheetFaults, AreSaidInInchesWhereTheProjectIs) {
    auto asked = request({panel("top", 100 * 25.4, 24 * 25.4)},
                         {sheet("north", "A", 96 * 25.4, 48 * 25.4, "110.00")});
    asked.settings.length_unit = "in";
    EXPECT_THAT(finding(take_off(asked).findings, "part-larger-than-sheet").text,
                HasSubstr("top (100 x 24 in) is larger than every sheet"));
}

} // namespace
} // namespace aumbry::sheet_goods
