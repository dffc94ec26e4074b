// Lines of kind kit as the host sees them. Figures of the kits' sheets are those of
// catalogs/reference/kits.json, whose makers are invented; inches are 25.4 mm exactly (NIST SP 811,
// appendix B.8).
#include "module_help.hpp"

#include "aumbry/plugin_host.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <numeric>

namespace aumbry::hardware_kits {
namespace {

using contract::Line;
using contract::Phase;
using contract::Severity;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

/// A kit for a mattress of 1600 x 2000 x 180 mm.
Line kit(Json fields, Json mattress = {{"width", 1600}, {"length", 2000}, {"thickness", 180}}) {
    fields["mattress"] = "guest_mattress";
    if (!fields.contains("model")) fields["model"] = "Ebbstone Lift 60";
    return with_reference(line_of("kit", "bed_kit", std::move(fields)), "mattress",
                          "guest_mattress", std::move(mattress));
}

TEST(KitLine, ShiftsOnlyWhatFollowsTheMattress) {
    const auto reply = derive(kit(Json::object()));
    EXPECT_THAT(reply.findings, IsEmpty());
    const Json& values = reply.lines.at(0).values;
    // Plan for 60 x 80 in = 1524 x 2032 mm: 76 mm wider, 32 mm shorter.
    EXPECT_EQ(values["plan_width_shift"], 76.0);
    EXPECT_EQ(values["plan_length_shift"], -32.0);
    // 80 1/2 in = 2044.7 mm less 32, and 60 1/2 in = 1536.7 mm plus 76, to whole mm.
    EXPECT_EQ(values["panel_length"], 2013.0);
    EXPECT_EQ(values["panel_width"], 1613.0);
    // 1 7/8 in is the kit's own: neither shifted nor rounded.
    EXPECT_EQ(values["pivot_setback"], 47.625);
    // 19 lb of 0.45359237 kg.
    EXPECT_NEAR(values["mass"].get<double>(), 8.6183, 1e-4);
}

TEST(KitLine, WithoutMattressKeepsThePlanAsPrinted) {
    const Line line = line_of("kit", "bed_kit", {{"model", "Ebbstone Lift 60"}});
    const auto reply = derive(line, "in");
    EXPECT_EQ(reply.lines.at(0).values["plan_length_shift"], 0.0);
    EXPECT_EQ(reply.lines.at(0).values["panel_length"], 2044.7);
    EXPECT_THAT(codes(take_off({line}, {})), Contains("kit-plan-nominal"));
}

TEST(KitLine, UnknownModelIsAProblemWithTheNearestName) {
    const auto reply = derive(line_of("kit", "bed_kit", {{"model", "Ebbstone Lift 6"}}));
    ASSERT_EQ(reply.findings.size(), 1U);
    EXPECT_EQ(reply.findings[0].severity, Severity::problem);
    EXPECT_EQ(reply.findings[0].text, "bed kit: no data sheet is known of kit 'Ebbstone Lift 6'; "
                                      "did you mean 'Ebbstone Lift 60'?");
}

TEST(KitPlan, EverySizeShowsItsRoundingErrorAndTheChainAddsUp) {
    const auto reply = take_off({kit(Json::object())}, {});
    const auto* panel = working(reply, "bed_kit.plan.3");
    ASSERT_NE(panel, nullptr);
    EXPECT_EQ(panel->result, "2013 mm");
    // 2012.7 mm exactly, cut to 2013.
    EXPECT_THAT(panel->inputs, Contains(testing::Field(&contract::Input::value, "0.3 mm")));
    const auto* worst = quantity(reply, "bed_kit.plan.rounding");
    ASSERT_NE(worst, nullptr);
    EXPECT_GT(worst->value, 0);
    EXPECT_LE(worst->value, 0.5) << "half of a step of 1 mm";
    // Head rail to hinge line, to bracket, to foot rail make the frame's inside length.
    double sum = 0;
    for (const char* part : {"bed_kit.plan.5", "bed_kit.plan.6", "bed_kit.plan.7"})
        sum += quantity(reply, part)->value;
    EXPECT_DOUBLE_EQ(sum, quantity(reply, "bed_kit.plan.1")->value);
}

TEST(KitPlan, TakesAFinerStepWhenAsked) {
    const auto reply = take_off({kit({{"cut_step", "0.1 mm"}})}, {});
    EXPECT_EQ(quantity(reply, "bed_kit.plan.3")->value, 2012.7);
}

TEST(KitContents, ShowWhatIsLeftOutAndAddedWithTheReason) {
    const auto reply =
        take_off({kit({{"changes",
                        {{{"item", "pull strap"}, {"count", -1}, {"reason", "a slot is cut"}},
                         {{"item", "stop buffer"}, {"count", 2}, {"reason", "stone floor"}}}}})},
                 {});
    EXPECT_EQ(quantity(reply, "bed_kit.contents.5")->value, 0);
    EXPECT_EQ(quantity(reply, "bed_kit.contents.6")->value, 8);
    EXPECT_THAT(finding(reply, "kit-part-added")->text, HasSubstr("2 x 'stop buffer'"));
    ASSERT_NE(working(reply, "bed_kit.contents"), nullptr);
    EXPECT_THAT(working(reply, "bed_kit.contents")->inputs[4].value,
                HasSubstr("1 left out: a slot is cut"));
}

TEST(KitContents, ChangeOfWhatIsNotThereIsAProblem) {
    const auto reply = take_off(
        {kit({{"changes", {{{"item", "pul strap"}, {"count", -1}, {"reason", "not needed"}}}}})},
        {});
    EXPECT_THAT(finding(reply, "kit-item-unknown")->text, HasSubstr("did you mean 'pull strap'?"));
}

TEST(KitFits, MattressLargerThanItsFrameIsAProblem) {
    const auto reply = take_off(
        {kit(Json::object(), {{"width", 1800}, {"length", 2000}, {"thickness", 180}})}, {});
    const auto* told = finding(reply, "kit-mattress-width-too-large");
    ASSERT_NE(told, nullptr);
    EXPECT_EQ(told->severity, Severity::problem);
    EXPECT_EQ(told->line, "bed_kit");
}

TEST(KitFits, MaterialOutsideItsRangeIsAProblem) {
    const auto reply = take_off({kit({{"panel_thickness", 30.0}})}, {});
    EXPECT_THAT(codes(reply), Contains("kit-material-thickness-too-large"));
}

TEST(KitDemand, CountsKitsOfTheModelForTheHand) {
    Line line = kit({{"hand", "left"}});
    line.count = 2;
    const auto reply =
        take_off({line}, {offer_of("kit", "L60", {{"model", "Ebbstone Lift 60"}}),
                          offer_of("kit", "L60R", {{"hand", "right"}, {"mass", 9.0}}),
                          offer_of("kit", "L60L", {{"hand", "left"}, {"mass", 9.0}})});
    ASSERT_EQ(reply.demands.size(), 1U);
    EXPECT_EQ(reply.demands[0].amount->quantity, 2);
    EXPECT_TRUE(reply.demands[0].decides_sizes);
    ASSERT_EQ(reply.demands[0].amount->offers.size(), 2U);
    EXPECT_EQ(reply.demands[0].amount->offers[1].offer, "north/L60L");
    EXPECT_EQ(reply.demands[0].amount->offers[1].mass, 9.0);
}

TEST(KitDemand, StaysWithAProblemWhenNobodyOffersIt) {
    const auto reply = take_off({kit(Json::object())}, {});
    ASSERT_EQ(reply.demands.size(), 1U);
    EXPECT_TRUE(reply.demands[0].amount->offers.empty());
    EXPECT_EQ(finding(reply, "kit-not-offered")->severity, Severity::problem);
}

TEST(KitSteps, FollowTheMakersOrderWithSpringsAfterTheAnchors) {
    const auto reply = take_off({kit({{"moving_mass", 62.0}})}, {});
    ASSERT_EQ(reply.steps.size(), 5U);
    EXPECT_EQ(reply.steps[1].id, "bed_kit_anchor");
    EXPECT_EQ(reply.steps[1].phase, Phase::install);
    EXPECT_EQ(reply.steps[2].phase, Phase::hang);
    EXPECT_EQ(reply.steps[3].phase, Phase::hang) << "its sheet says install, after the panel hangs";
    EXPECT_EQ(reply.steps[3].after, std::vector<std::string>{reply.steps[2].id});
    EXPECT_EQ(reply.steps[2].people, 3) << "62 kg at 25 kg a person";
    EXPECT_THAT(codes(reply), Contains("more-hands"));
    EXPECT_EQ(reply.steps[4].id, "bed_kit_springs");
    EXPECT_EQ(reply.steps[4].phase, Phase::load);
    EXPECT_EQ(reply.steps[4].needs, std::vector<std::string>{"bed_kit"});
}

// The mattress is laid last: the panel is hung without it. It was counted as lifted.
TEST(KitSteps, HangThePanelWithoutItsMattress) {
    const Line line =
        kit({{"moving_mass", 62.0}},
            {{"width", 1600.0}, {"length", 2000.0}, {"thickness", 180.0}, {"mass", 20.0}});
    EXPECT_EQ(take_off({line}, {}).steps.at(2).people, 2) << "42 kg at 25 kg a person";
}

TEST(KitModule, AnswersThroughTheDoorOfAnyModule) {
    const auto folder = std::filesystem::path(testing::TempDir()) / "hardware_kits_module";
    std::filesystem::create_directories(folder);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "hardware_kits.so",
                               folder / "hardware_kits.so",
                               std::filesystem::copy_options::overwrite_existing);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "kinds.json",
                               folder / "kinds.json",
                               std::filesystem::copy_options::overwrite_existing);
    PluginHost host({folder});
    ASSERT_TRUE(host.refused().empty()) << host.refused().front().reason;
    ASSERT_NE(host.module_of_kind("kit"), nullptr);
    ASSERT_NE(host.module_of_kind("fastener"), nullptr);
    contract::DeriveRequest request;
    request.lines = {kit(Json::object())};
    request.tables = tables();
    const auto derived = host.derive("hardware_kits", request);
    contract::TakeOffRequest take;
    take.kind = "kit";
    take.lines = request.lines;
    take.lines[0].derived = derived->lines.at(0).values;
    take.offers = {offer_of("kit", "L60", {{"model", "Ebbstone Lift 60"}})};
    take.tables = tables();
    const auto reply = host.take_off("hardware_kits", take);
    ASSERT_EQ(reply->demands.size(), 1U);
    EXPECT_EQ(reply->demands[0].amount->offers.size(), 1U);
}

} // namespace
} // namespace aumbry::hardware_kits
