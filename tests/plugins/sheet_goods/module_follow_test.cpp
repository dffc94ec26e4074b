#include "module_requests.hpp"

#include "aumbry/plugin_host.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <stdexcept>

namespace aumbry::sheet_goods {
namespace {

using namespace module_testing;
using testing::HasSubstr;

const aumbry_host quiet{sizeof(aumbry_host), nullptr, [](void*, const char*) {},
                        [](void*, double) {}, [](void*) { return 0; }};

contract::FollowRequest chosen(const contract::TakeOffRequest& asked,
                               const contract::TakeOffReply& reply) {
    contract::FollowRequest made;
    made.lines = asked.lines;
    made.settings = asked.settings;
    made.tables = asked.tables;
    const contract::Demand& demand = sheets_of(reply);
    contract::Chosen choice;
    choice.module = "sheet_goods";
    choice.demand = demand.id;
    choice.way = demand.ways.at(0).id;
    choice.uses = demand.ways.at(0).uses;
    choice.shares = demand.shares;
    choice.plans = demand.ways.at(0).plans;
    made.chosen.push_back(std::move(choice));
    return made;
}

double quantity(const std::vector<contract::QuantityRow>& rows, const std::string& ref) {
    for (const auto& row : rows) {
        if (row.ref == ref) return row.value;
    }
    ADD_FAILURE() << "no quantity " << ref;
    return -1;
}

TEST(SheetFollow, GivesSheetsWasteAndKeptOffcutsOfWhatWasChosen) {
    const auto asked =
        request({panel("side", 1200, 600, 2)}, {sheet("north", "A", 2500, 1250, "110.00")});
    const auto reply = SheetGoods().follow(chosen(asked, take_off(asked)), Host(&quiet));
    EXPECT_EQ(quantity(reply.quantities, "carcase.sheets"), 1);
    EXPECT_DOUBLE_EQ(quantity(reply.quantities, "carcase.sheet_area"), 3.125);
    EXPECT_NEAR(quantity(reply.quantities, "carcase.waste"), 3.125 - 1.44, 1e-6);
    EXPECT_GE(quantity(reply.quantities, "carcase.offcuts"), 1);
}

TEST(SheetFollow, ExplainsTheSheetCountWithItsBoundAndWhetherItIsProven) {
    auto asked = request({panel("side", 1200, 600, 5), panel("shelf", 700, 300, 4)},
                         {sheet("north", "A", 2500, 1250, "110.00")});
    asked.lines[1].material->id = "shelves"; // of equal specification: cut together
    const auto reply = SheetGoods().follow(chosen(asked, take_off(asked)), Host(&quiet));
    ASSERT_EQ(reply.workings.size(), 2U);
    EXPECT_EQ(reply.workings[0].ref, "carcase.sheets");
    EXPECT_EQ(reply.workings[1].ref, "shelves.sheets");
    EXPECT_THAT(reply.workings[0].source, HasSubstr("at least 2 needed by"));
    EXPECT_THAT(reply.workings[0].source, HasSubstr("proven"));
}

const contract::Step& step(const contract::FollowReply& reply, const std::string& id) {
    for (const contract::Step& step : reply.steps)
        if (step.id == id) return step;
    throw std::out_of_range("no step " + id);
}

// Four shelves of 1100 x 300 side by side: rip 300, crosscut 1100, and trims without a setting.
TEST(SheetFollow, FenceSettingsAreCountedAndTimed) {
    auto asked =
        request({panel("shelf", 1100, 300, 4)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.module["minutes_a_setting"] = 2.0;
    const auto reply = SheetGoods().follow(chosen(asked, take_off(asked)), Host(&quiet));
    EXPECT_DOUBLE_EQ(quantity(reply.quantities, "carcase.settings"), 2);
    EXPECT_EQ(step(reply, "settings.carcase").title, "Set the saw 2 times for 18 mm birch BB/BB");
    EXPECT_DOUBLE_EQ(step(reply, "settings.carcase").minutes, 4);
}

TEST(SheetFollow, ASheetTooHeavyForOneIsDividedByTwo) {
    // 2.5 x 1.25 x 0.018 m at 680 kg/m3 is 38.25 kg.
    auto asked =
        request({panel("side", 1200, 560, 4)}, {sheet("north", "A", 2500, 1250, "110.00")});
    asked.settings.workshop["heaviest_blank"] = 30.0;
    auto reply = SheetGoods().follow(chosen(asked, take_off(asked)), Host(&quiet));
    EXPECT_THAT(finding(reply.findings, "sheet-heavy").text,
                HasSubstr("weighs 38 kg, more than the 30 kg"));
    EXPECT_EQ(step(reply, "divide.carcase").people, 2);
    asked.settings.workshop["heaviest_blank"] = 39.0;
    reply = SheetGoods().follow(chosen(asked, take_off(asked)), Host(&quiet));
    EXPECT_FALSE(has_finding(reply.findings, "sheet-heavy"));
    EXPECT_EQ(finding(reply.findings, "kickback").severity, contract::Severity::warning);
    // A dealer who cuts leaves blanks that one person lifts.
    asked.settings.workshop["heaviest_blank"] = 30.0;
    contract::CuttingService service;
    service.supplier = "north";
    service.offered = true;
    asked.cutting = {service};
    const auto taken = take_off(asked);
    EXPECT_FALSE(has_finding(SheetGoods().follow(chosen(asked, taken), Host(&quiet)).findings,
                             "sheet-heavy"));
    for (const contract::SheetPlan& plan : sheets_of(taken).ways.at(0).plans.sheets) {
        for (const contract::SheetCut& cut : plan.cuts) {
            const contract::Blank& blank = plan.blanks.at(static_cast<std::size_t>(cut.blank));
            if (cut.by == contract::CutBy::workshop) {
                EXPECT_LE(blank.length * blank.width / 1e6 * 0.018 * 680, 30);
            }
        }
    }
}

TEST(SheetFollow, AGrooveWaitsForTheSheetItIsMeasuredBy) {
    auto asked =
        request({panel("side", 700, 300, 2, {{"groove_for", "back"}}), panel("back", 700, 500)},
                {sheet("north", "A", 2500, 1250, "110.00")});
    const auto reply = SheetGoods().follow(chosen(asked, take_off(asked)), Host(&quiet));
    EXPECT_EQ(step(reply, "groove.side").needs, std::vector<std::string>{"carcase.sheets"});
    EXPECT_TRUE(sheets_of(take_off(asked)).decides_sizes);
}

TEST(SheetModule, AnswersThroughTheDoorOfAnyModule) {
    const auto folder = std::filesystem::path(testing::TempDir()) / "sheet_goods_module";
    std::filesystem::create_directories(folder);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "sheet_goods.so",
                               folder / "sheet_goods.so",
                               std::filesystem::copy_options::overwrite_existing);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "kinds.json",
                               folder / "kinds.json",
                               std::filesystem::copy_options::overwrite_existing);
    PluginHost host({folder});
    ASSERT_TRUE(host.refused().empty()) << host.refused().front().reason;
    ASSERT_NE(host.module_of_kind("panel"), nullptr);
    const auto asked =
        request({panel("side", 1200, 600, 5, {{"groove_for", ""}}), panel("shelf", 700, 300, 4)},
                {sheet("north", "A", 2500, 1250, "110.00")});
    contract::DeriveRequest derive_request;
    derive_request.lines = asked.lines;
    derive_request.tables = asked.tables;
    EXPECT_EQ(host.derive("sheet_goods", derive_request)->lines.size(), 2U);
    const auto reply = host.take_off("sheet_goods", asked);
    EXPECT_EQ(contract::to_json(*reply).dump(), contract::to_json(take_off(asked)).dump());
    EXPECT_FALSE(host.follow("sheet_goods", chosen(asked, *reply))->quantities.empty());
}

} // namespace
} // namespace aumbry::sheet_goods
