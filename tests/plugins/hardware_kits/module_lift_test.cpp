// Lines of kind lift as the host sees them. The kit and its mountings are those of
// catalogs/reference/kits.json (invented), springs are invented too; figures are checked against
// statics.
#include "constants.hpp"
#include "module_help.hpp"

#include "aumbry/plugin_host.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace aumbry::hardware_kits {
namespace {

using contract::Line;
using contract::Offer;
using contract::Severity;
using contract::TakeOffReply;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

/// A slatted base of 33 kg with a mattress, hinged at the head, 2 m long.
Line bed_lift(double base = 33, double mattress = 18, Json more = Json::object()) {
    Json fields = {{"kit", "bed_kit"},
                   {"start_angle", 0.0},
                   {"end_angle", 60.0},
                   {"handle_from_hinge", 1950.0},
                   {"most_springs", 2},
                   {"fewest_springs", 2},
                   {"bedding_mass", 4.0},
                   {"bedding_from_hinge", 1000.0},
                   {"bedding_across", 200.0},
                   {"moving",
                    {{{"line", "bed_base"}, {"from_hinge", 1000.0}},
                     {{"line", "guest_mattress"}, {"from_hinge", 1000.0}, {"across", 100.0}}}}};
    fields.update(more);
    Line line = line_of("lift", "bed_lift", std::move(fields));
    line = with_reference(std::move(line), "kit", "bed_kit", {{"mass", 8.6}});
    line.references.back().fields["model"] = "Ebbstone Lift 60";
    // Two halves make the base.
    line = with_reference(std::move(line), "panel", "bed_base", {{"mass", base / 2}}, 2);
    return with_reference(std::move(line), "mattress", "guest_mattress", {{"mass", mattress}});
}

std::vector<Offer> springs() {
    std::vector<Offer> list;
    for (int force = 500; force <= 1200; force += 100)
        for (const char* shop : {"A", "B"})
            list.push_back(offer_of("spring", shop + std::to_string(force),
                                    {{"model", "GS " + std::to_string(force)},
                                     {"force", static_cast<double>(force)},
                                     {"progression", 1.3},
                                     {"stroke", 400.0},
                                     {"extended_length", 900.0},
                                     {"friction", 20.0},
                                     {"mass", 0.9}}));
    return list;
}

const contract::Demand* demand(const TakeOffReply& reply, const std::string& id) {
    const auto found = std::find_if(reply.demands.begin(), reply.demands.end(),
                                    [&](const contract::Demand& d) { return d.id == id; });
    return found == reply.demands.end() ? nullptr : &*found;
}

Json plan_of(const TakeOffReply& reply) {
    const contract::Demand* swing = demand(reply, "bed_lift.swing");
    return swing == nullptr ? Json() : contract::to_json(swing->ways.at(0).plans.lifts.at(0));
}

TEST(LiftLine, SumsWhatMovesWithItsCommonCentre) {
    Json more;
    more["moving"] = {{{"line", "bed_base"}, {"from_hinge", 900.0}},
                      {{"line", "guest_mattress"}, {"from_hinge", 1100.0}}};
    const auto reply = derive(bed_lift(30, 20, more));
    ASSERT_EQ(reply.lines.size(), 1U);
    EXPECT_EQ(reply.lines[0].values["moving_mass"], 54.0);
    EXPECT_EQ(reply.lines[0].values["panel_mass"], 30.0);
    EXPECT_NEAR(reply.lines[0].values["moving_centre"].get<double>(),
                (30 * 900 + 20 * 1100 + 4 * 1000) / 54.0, 1e-3);
}

TEST(LiftLine, MovingLineWithoutPlaceIsAProblemAndNoSpringIsBought) {
    Json more;
    more["moving"] = {{{"line", "bed_base"}}, {{"line", "guest_mattress"}, {"from_hinge", 1000.0}}};
    const Line line = bed_lift(33, 18, more);
    const auto derived = derive(line);
    ASSERT_NE(finding(derived, "moving-line-without-place"), nullptr);
    EXPECT_EQ(finding(derived, "moving-line-without-place")->severity, Severity::problem);
    EXPECT_EQ(finding(derived, "moving-line-without-place")->line, "bed_lift");
    const auto reply = take_off({line}, springs());
    EXPECT_THAT(codes(reply), Contains("lift-not-chosen"));
    ASSERT_NE(demand(reply, "bed_lift"), nullptr);
    EXPECT_TRUE(demand(reply, "bed_lift")->amount->offers.empty());
}

TEST(LiftLine, MovingLineWithoutMassIsAProblem) {
    Line line = bed_lift();
    line.references[1].derived = Json::object();
    EXPECT_THAT(codes(derive(line)), Contains("moving-line-without-mass"));
}

// A seam under a hinge, a pivot or a spring opens; nobody was told.
TEST(LiftLine, WarnsOfASeamInWhatMoves) {
    Line line = bed_lift();
    EXPECT_EQ(finding(derive(line), "seam-under-hardware"), nullptr);
    line.references[1].fields["seams"] = Json::array({{{"at", 1000.0}}});
    const auto reply = derive(line);
    const auto* seam = finding(reply, "seam-under-hardware");
    ASSERT_NE(seam, nullptr);
    EXPECT_EQ(seam->severity, Severity::warning);
    EXPECT_THAT(seam->text, HasSubstr("has a seam, and hinges, pivots or springs of"));
}

TEST(LiftSprings, AreChosenAndBoughtFromWhoeverOffersThem) {
    const auto reply = take_off({bed_lift()}, springs());
    ASSERT_NE(finding(reply, "springs-chosen"), nullptr);
    const contract::Demand* bought = demand(reply, "bed_lift");
    ASSERT_NE(bought, nullptr);
    EXPECT_EQ(bought->amount->quantity, 2);
    EXPECT_EQ(bought->amount->offers.size(), 2U) << "both shops";
    EXPECT_EQ(bought->amount->offers[0].mass, 0.9);
    const Json plan = plan_of(reply);
    EXPECT_EQ(plan["within_limits"], true);
    EXPECT_EQ("Gas spring " + plan["springs"][0]["model"].get<std::string>(), bought->title);
}

TEST(LiftSprings, KeepTheLimitsOverTheWholeSwing) {
    const Json plan = plan_of(take_off({bed_lift()}, springs()));
    ASSERT_EQ(plan["curve"].size(), 61U);
    for (const Json& point : plan["curve"]) {
        EXPECT_LE(point["most_open"], 150);
        EXPECT_LE(point["most_close"], 150);
        EXPECT_GE(point["least_open"], -100);
        EXPECT_GE(point["least_close"], -100);
    }
    EXPECT_GE(plan["curve"].front()["least_open"], 5) << "stays closed";
    EXPECT_GE(plan["curve"].back()["least_close"], 5) << "stays open";
}

TEST(LiftSprings, AHeavierMattressOrALighterBaseChangesTheChoice) {
    const auto model = [](const TakeOffReply& reply) {
        const Json plan = plan_of(reply);
        return plan["springs"][0]["model"].get<std::string>() +
               plan["springs"][0]["mounting"].get<std::string>();
    };
    const auto usual = take_off({bed_lift(33, 18)}, springs());
    const auto heavy = take_off({bed_lift(33, 26)}, springs());
    const auto light = take_off({bed_lift(25, 18)}, springs());
    ASSERT_NE(finding(heavy, "springs-chosen"), nullptr) << finding(heavy, "no-spring-fits")->text;
    ASSERT_NE(finding(light, "springs-chosen"), nullptr);
    EXPECT_NE(model(usual), model(heavy));
    EXPECT_NE(model(usual), model(light));
}

TEST(LiftSprings, SaysThatNoneDoesAndShowsTheNearest) {
    const auto reply = take_off({bed_lift(90, 40)}, springs());
    ASSERT_NE(finding(reply, "no-spring-fits"), nullptr);
    EXPECT_EQ(finding(reply, "no-spring-fits")->severity, Severity::problem);
    EXPECT_TRUE(demand(reply, "bed_lift")->amount->offers.empty());
    EXPECT_EQ(plan_of(reply)["within_limits"], false);
}

TEST(LiftSprings, TooShortForTheMountingsSaysSo) {
    const auto reply = take_off(
        {bed_lift()},
        {offer_of(
            "spring", "stub",
            {{"model", "stub"}, {"force", 800.0}, {"stroke", 50.0}, {"extended_length", 200.0}})});
    EXPECT_THAT(
        finding(reply, "no-spring-fits")->text,
        HasSubstr(
            "none of 2 can be mounted; the first: spring 'stub' at 'upper hole' is too short"));
}

TEST(LiftSprings, AreAProblemWhenNobodyOffersAny) {
    const auto reply = take_off({bed_lift()}, {});
    EXPECT_EQ(finding(reply, "spring-not-offered")->severity, Severity::problem);
    ASSERT_NE(demand(reply, "bed_lift"), nullptr);
}

TEST(LiftCurve, GravityIsMassTimesArm) {
    const auto reply = take_off({bed_lift()}, springs());
    const Json plan = plan_of(reply);
    // Level: (33 + 18 + 4) kg at 1 m.
    EXPECT_NEAR(plan["curve"][0]["gravity"].get<double>(), -55 * g, 0.01);
    // At 60 deg the arms are cos 60 x 1 m less sin 60 of what lies above the panel.
    const double arm = std::cos(M_PI / 3), up = std::sin(M_PI / 3);
    EXPECT_NEAR(plan["curve"].back()["gravity"].get<double>(),
                -g * (33 * arm + 18 * (arm - 0.1 * up) + 4 * (arm - 0.2 * up)), 0.01);
    EXPECT_EQ(plan["side_view"].size(), plan["curve"].size());
    // The handle swings on a circle about the hinge.
    for (const Json& view : plan["side_view"])
        EXPECT_NEAR(
            std::hypot(view["handle"]["x"].get<double>(), view["handle"]["y"].get<double>()), 1950,
            0.15);
}

TEST(LiftCurve, IsToldEveryTenDegreesWithAndWithoutMattress) {
    const auto reply = take_off({bed_lift()}, springs());
    const contract::Working* table = working(reply, "bed_lift.hand_force");
    ASSERT_NE(table, nullptr);
    EXPECT_EQ(table->inputs.size(), 7U);
    EXPECT_THAT(table->inputs[0].value, HasSubstr("without mattress open"));
    EXPECT_GT(quantity(reply, "bed_lift.bare_close")->value,
              quantity(reply, "bed_lift.hardest_close")->value)
        << "rule of thumb: springs that suit the mattress push a bare panel";
}

TEST(LiftGiven, UniformHatchNeedsHalfItsWeightAtTheEdge) {
    // 12 kg hatch, vertical force at the far edge 6 g at any angle (A-level mechanics exercise):
    // square to the level panel that is the force of the hand.
    Line line = line_of("lift", "hatch",
                        {{"start_angle", 0.0},
                         {"end_angle", 80.0},
                         {"handle_from_hinge", 800.0},
                         {"most_springs", 0},
                         {"end_latched", true},
                         {"moving", {{{"line", "lid"}, {"from_hinge", 400.0}}}}});
    line = with_reference(std::move(line), "panel", "lid", {{"mass", 12.0}});
    const auto reply = take_off({line}, {});
    EXPECT_NEAR(quantity(reply, "hatch.hardest_open")->value, 6 * g, 0.01);
    ASSERT_EQ(reply.demands.size(), 1U) << "no springs are bought";
    EXPECT_EQ(reply.demands[0].plan_type, "lift");
    EXPECT_THAT(reply.demands[0].ways.at(0).uses, IsEmpty());
}

TEST(LiftGiven, FoldUpPanelPivotedNearTheFloorFallsWithoutACoil) {
    // 40 kg at 1 m with the handle at 2 m: level, the hand must hold back 20 g.
    Json fields = {{"start_angle", 90.0},
                   {"end_angle", 0.0},
                   {"handle_from_hinge", 2000.0},
                   {"most_springs", 0},
                   {"moving", {{{"line", "panel"}, {"from_hinge", 1000.0}}}}};
    const Line bare =
        with_reference(line_of("lift", "fold_up", fields), "panel", "panel", {{"mass", 40.0}});
    const auto falls = take_off({bare}, {});
    EXPECT_TRUE(std::any_of(falls.findings.begin(), falls.findings.end(), [](const auto& told) {
        return told.code == "lift-outside-limits" && told.severity == Severity::problem &&
               told.text.find("falls open") != std::string::npos;
    }));
    EXPECT_NEAR(quantity(falls, "fold_up.hardest_close")->value, 20 * g, 0.01);
    // A coil of the panel's own torque when level, nothing when upright, leaves 0 N level.
    fields["torques"] = {{{"name", "coil"}, {"at_start", 0.0}, {"at_end", -40 * g}}};
    const auto held = take_off(
        {with_reference(line_of("lift", "fold_up", fields), "panel", "panel", {{"mass", 40.0}})},
        {});
    EXPECT_NEAR(quantity(held, "fold_up.end_hold")->value, 0, 0.01);
}

TEST(LiftWeighed, TakesThePlaceOfWhatWasReckoned) {
    const auto reply =
        derive(bed_lift(33, 18, {{"weighed_mass", 36.5}, {"weighed_from_hinge", 1010.0}}));
    EXPECT_EQ(reply.lines.at(0).values["panel_mass"], 36.5);
    EXPECT_EQ(reply.lines.at(0).values["moving_mass"], 58.5);
}

TEST(LiftKit, MassAboveTheKitsIsAProblem) {
    // The kit carries up to 190 lb = 86.2 kg; 70 + 26 kg are more.
    EXPECT_THAT(codes(take_off({bed_lift(70, 26)}, springs())),
                Contains("kit-moving-mass-too-large"));
    EXPECT_THAT(codes(take_off({bed_lift(33, 18)}, springs())),
                Not(Contains("kit-moving-mass-too-large")));
}

TEST(LiftSteps, WithoutAKitHangThePanelThenFitSpringsLast) {
    Json more = {{"mountings",
                  {{{"name", "only"},
                    {"fixed_x", 200.0},
                    {"fixed_y", -160.0},
                    {"along", 700.0},
                    {"across", -20.0}}}}};
    Line line = bed_lift(33, 18, more);
    line.fields.erase("kit");
    const auto reply = take_off({line}, springs());
    ASSERT_EQ(reply.steps.size(), 3U);
    EXPECT_EQ(reply.steps[1].phase, contract::Phase::hang);
    EXPECT_EQ(reply.steps[1].people, 2) << "33 kg at 25 kg a person (from memory)";
    EXPECT_EQ(reply.steps[2].phase, contract::Phase::load);
    EXPECT_EQ(reply.steps[2].needs, std::vector<std::string>{"bed_lift"});
}

// "Weigh the panel before the springs are ordered" was said, and nothing in the plan did so.
TEST(LiftSteps, ThePanelIsWeighedBeforeItsSpringsAreOrdered) {
    const auto reply = take_off({bed_lift(33, 18)}, springs());
    const auto bought = std::find_if(reply.demands.begin(), reply.demands.end(),
                                     [](const contract::Demand& each) { return each.amount; });
    ASSERT_NE(bought, reply.demands.end());
    ASSERT_FALSE(reply.steps.empty());
    EXPECT_EQ(reply.steps[0].id, "weigh_bed_lift");
    EXPECT_EQ(reply.steps[0].phase, contract::Phase::fit) << "once it is coated";
    EXPECT_EQ(reply.steps[0].people, 1) << "an end at a time: 16.5 kg of 25";
    EXPECT_EQ(bought->order_after, "weigh_bed_lift");
    // The kit's own step that loads them comes after this one: it did not wait for springs.
    EXPECT_EQ(reply.steps.back().needs, std::vector<std::string>{"bed_lift"});
    EXPECT_LT(reply.steps.back().phase, contract::Phase::load);
    const auto weighed = take_off({bed_lift(33, 18, {{"weighed_mass", 36.5}})}, springs());
    for (const contract::Step& step : weighed.steps) EXPECT_NE(step.operation, "weigh");
    for (const contract::Demand& demand : weighed.demands) EXPECT_EQ(demand.order_after, "");
}

TEST(LiftCautions, AreSaidOnceForTheModule) {
    contract::FollowRequest request;
    Line second = bed_lift();
    second.id = "other_lift";
    request.lines = {bed_lift(), second};
    request.tables = tables();
    const auto reply = HardwareKits().follow(request, Host(&quiet));
    const std::vector<std::string> said = codes(reply);
    for (const char* code : {"maker-and-codes-first", "stored-energy", "crushing-and-entrapment",
                             "falling-panel", "children", "weigh-before-ordering", "electric-work"})
        EXPECT_EQ(std::count(said.begin(), said.end(), code), 1) << code;
    EXPECT_THAT(said, Not(Contains("foldaway-beds")));
}

TEST(LiftCautions, AFoldUpPanelWithoutFixingIsAProblem) {
    contract::FollowRequest request;
    request.lines = {bed_lift(33, 18, {{"start_angle", 90.0}, {"end_angle", 0.0}})};
    request.tables = tables();
    const auto bare = HardwareKits().follow(request, Host(&quiet));
    ASSERT_NE(finding(bare, "lift-without-fixing"), nullptr);
    EXPECT_EQ(finding(bare, "lift-without-fixing")->severity, Severity::problem);
    EXPECT_THAT(codes(bare), Contains("foldaway-beds"));
    request.lines.push_back(line_of("fixing", "bed_fixing", {{"lift", "bed_lift"}}));
    EXPECT_EQ(finding(HardwareKits().follow(request, Host(&quiet)), "lift-without-fixing"),
              nullptr);
}

TEST(LiftModule, PassesTheHostsChecks) {
    const auto folder = std::filesystem::path(testing::TempDir()) / "hardware_kits_lift";
    std::filesystem::create_directories(folder);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "hardware_kits.so",
                               folder / "hardware_kits.so",
                               std::filesystem::copy_options::overwrite_existing);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "kinds.json",
                               folder / "kinds.json",
                               std::filesystem::copy_options::overwrite_existing);
    PluginHost host({folder});
    ASSERT_TRUE(host.refused().empty()) << host.refused().front().reason;
    contract::TakeOffRequest request;
    request.kind = "lift";
    request.lines = {bed_lift()};
    request.offers = springs();
    request.tables = tables();
    const auto reply = host.take_off("hardware_kits", request);
    ASSERT_EQ(reply->demands.size(), 2U);
    EXPECT_EQ(reply->demands[0].amount->offers.size(), 2U);
    contract::FollowRequest follow;
    follow.lines = request.lines;
    follow.tables = tables();
    EXPECT_FALSE(host.follow("hardware_kits", follow)->findings.empty());
}

} // namespace
} // namespace aumbry::hardware_kits
