// The module `finish` as the host sees it: areas, litres, tins, abrasive, steps.
#include "finish/module/finish.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace aumbry::finish {
namespace {

int never(void*) {
    return 0;
}
void no_log(void*, const char*) {}
void no_progress(void*, double) {}
const aumbry_host door{sizeof(aumbry_host), nullptr, no_log, no_progress, never};

contract::Line part(const std::string& id, std::int64_t count) {
    contract::Line line;
    line.id = id;
    line.kind = "panel";
    line.count = count;
    // 2 m x 0.5 m x 20 mm.
    line.derived = {{"area", 1.0}, {"edge_length", 5000.0}, {"thickness", 20.0}};
    return line;
}

contract::Line coating(const Json& coats) {
    contract::Line line;
    line.id = "varnish";
    line.kind = "coating";
    line.fields = {{"parts", {"side"}},
                   {"faces", "both"},
                   {"edges", true},
                   {"substrate", "sealed"},
                   {"coats", coats}};
    line.references = {part("side", 3)};
    return line;
}

contract::Offer tin(const std::string& id, double litres) {
    contract::Offer offer;
    offer.id = id;
    offer.catalog_class = "coating";
    offer.attributes = {
        {"product", "clear"}, {"volume", litres}, {"spread_rate", 10.0}, {"recoat", 120.0}};
    offer.price = "20.00";
    offer.price_unit = "each";
    return offer;
}

double derived_area(const contract::Line& line) {
    contract::DeriveRequest request;
    request.lines = {line};
    return FinishModule().derive(request, Host(&door)).lines.front().values["area"].get<double>();
}

contract::TakeOffReply taken_off(contract::Line line, std::vector<contract::Offer> offers) {
    contract::TakeOffRequest request;
    request.kind = "coating";
    line.derived["area"] = derived_area(line);
    request.lines = {line};
    request.offers = std::move(offers);
    return FinishModule().take_off(request, Host(&door));
}

const Json two_coats = {{{"product", "clear"}, {"coats", 2}, {"loss", 0}}};

// Geometry: 3 parts x (2 faces x 1 m2 + 5 m of edge x 20 mm).
TEST(FinishModule, AreaIsFacesAndEdgesOfAllParts) {
    EXPECT_DOUBLE_EQ(derived_area(coating(two_coats)), 3 * (2 * 1.0 + 0.1));
}

TEST(FinishModule, OneFaceWithoutEdgesIsTheFaceAlone) {
    contract::Line line = coating(two_coats);
    line.fields["faces"] = "one";
    line.fields["edges"] = false;
    EXPECT_DOUBLE_EQ(derived_area(line), 3.0);
}

TEST(FinishModule, GluedFacesDoNotCount) {
    contract::Line line = coating(two_coats);
    line.fields["glued"] = 1.3;
    EXPECT_DOUBLE_EQ(derived_area(line), 5.0);
}

// Practical use = area x factor / theoretical rate (spreading-rate bulletins): 6.3 m2 / 10 m2/L x 2
// coats.
TEST(FinishModule, LitresAreAreaByRateForEveryCoat) {
    const auto reply = taken_off(coating(two_coats), {tin("a/1", 1)});
    ASSERT_EQ(reply.demands.size(), 1U);
    EXPECT_NEAR(reply.demands.front().amount->quantity, 1.26, 1e-9);
}

TEST(FinishModule, TinsOfferTheirContentAndLitrePricesTheirMeasure) {
    contract::Offer by_litre = tin("b/2", 2.5);
    by_litre.price_unit = "L";
    const auto reply = taken_off(coating(two_coats), {tin("a/1", 1), by_litre});
    const auto& offers = reply.demands.front().amount->offers;
    ASSERT_EQ(offers.size(), 2U);
    EXPECT_DOUBLE_EQ(offers[0].content, 1);
    EXPECT_DOUBLE_EQ(offers[0].measure, 0);
    EXPECT_DOUBLE_EQ(offers[1].content, 2.5);
    EXPECT_DOUBLE_EQ(offers[1].measure, 2.5);
}

TEST(FinishModule, EveryCoatIsAStepAfterTheOneBefore) {
    const auto reply = taken_off(coating(two_coats), {tin("a/1", 1)});
    ASSERT_EQ(reply.steps.size(), 2U);
    EXPECT_TRUE(reply.steps[0].after.empty());
    EXPECT_EQ(reply.steps[1].after, std::vector<std::string>{reply.steps[0].id});
    EXPECT_DOUBLE_EQ(reply.steps[0].wait_minutes, 120);
}

contract::Offer paper() {
    contract::Offer offer;
    offer.id = "a/320";
    offer.catalog_class = "abrasive";
    offer.attributes = {{"grit", "320"}, {"covers", 2.0}};
    offer.price = "1.00";
    offer.price_unit = "each";
    return offer;
}

double sanded(const Json& coats) {
    const auto reply = taken_off(coating(coats), {tin("a/1", 1), paper()});
    for (const contract::Demand& demand : reply.demands)
        if (demand.id == "abrasive_320") return demand.amount->quantity;
    return 0;
}

// Four coats were sanded after four times on paper and three times by the clock.
TEST(FinishModule, AbrasiveIsBoughtForTheRoundsThatAreTimed) {
    const Json four = {{{"product", "clear"}, {"coats", 4}, {"grit", "320"}}};
    EXPECT_DOUBLE_EQ(sanded(four), 3 * 6.3);
    // By the clock: 3 min/m2 in three of four rounds, whatever else a round takes.
    const auto with = taken_off(coating(four), {tin("a/1", 1), paper()});
    const auto without =
        taken_off(coating({{{"product", "clear"}, {"coats", 4}}}), {tin("a/1", 1)});
    const auto minutes = [](const contract::TakeOffReply& reply) {
        double sum = 0;
        for (const contract::Step& step : reply.steps) sum += step.minutes;
        return sum;
    };
    EXPECT_NEAR(minutes(with) - minutes(without), 3 * 3 * 6.3, 0.05);
}

TEST(FinishModule, BetweenCoatsIsOneTimeFewerThanCoats) {
    // Two coats of sealer sanded between, then one of varnish: once, not twice.
    const auto coats = [](const char* sanding) {
        return Json{{{"product", "clear"}, {"coats", 2}, {"grit", "320"}, {"sanding", sanding}},
                    {{"product", "clear"}, {"coats", 1}}};
    };
    EXPECT_DOUBLE_EQ(sanded(coats("between coats")), 6.3);
    EXPECT_DOUBLE_EQ(sanded(coats("after each")), 2 * 6.3);
}

TEST(FinishModule, AbrasiveIsInHandWhenTheCoatBeginsThatUsesIt) {
    const auto reply = taken_off(coating({{{"product", "clear"}, {"coats", 2}, {"grit", "320"}}}),
                                 {tin("a/1", 1), paper()});
    ASSERT_EQ(reply.steps.size(), 2U);
    EXPECT_EQ(reply.steps[0].needs, (std::vector<std::string>{"clear"}));
    EXPECT_EQ(reply.steps[1].needs, (std::vector<std::string>{"clear", "abrasive_320"}));
}

TEST(FinishModule, WhatShowsIsWhatThePartsSay) {
    // Three panels of 1 m2 of which one face shows, without edges.
    contract::Line line = coating(two_coats);
    line.fields["faces"] = "what shows";
    line.fields["edges"] = false;
    line.references.front().fields["faces"] = 1;
    EXPECT_DOUBLE_EQ(derived_area(line), 3.0);
    line.references.front().fields["faces"] = 2;
    EXPECT_DOUBLE_EQ(derived_area(line), 6.0);
    line.references.front().kind = "solid";
    line.references.front().fields = Json::object();
    EXPECT_DOUBLE_EQ(derived_area(line), 6.0);
}

TEST(FinishModule, BareWoodIsSandedBeforeItsFirstCoat) {
    contract::Line line = coating(two_coats);
    EXPECT_EQ(taken_off(line, {tin("a/1", 1)}).steps.front().phase, contract::Phase::finish);
    line.fields["substrate"] = "plywood";
    const auto reply = taken_off(line, {tin("a/1", 1)});
    EXPECT_EQ(reply.steps.front().phase, contract::Phase::sand);
    // 6.3 m2 at 3 min a round, grits 120 and 180 (common practice).
    EXPECT_DOUBLE_EQ(reply.steps.front().minutes, 37.8);
    // What comes from a planer has a round with 80 first.
    line.fields["substrate"] = "hardwood";
    EXPECT_DOUBLE_EQ(taken_off(line, {tin("a/1", 1)}).steps.front().minutes, 56.7);
    EXPECT_EQ(taken_off(line, {tin("a/1", 1)}).steps.front().title,
              "varnish: sand what is bare, grit 80, 120, 180");
}

// The rule for cold and damp air stood against the product's own data, which come first.
TEST(FinishModule, DriesByTheProductsOwnData) {
    contract::Offer offer = tin("a/1", 1);
    const auto wait = [&](Json points) {
        offer.attributes["recoat_points"] = std::move(points);
        contract::TakeOffRequest request;
        request.kind = "coating";
        request.lines = {coating(two_coats)};
        request.lines[0].derived = {{"area", 6.3}};
        request.offers = {offer};
        request.settings.workshop = {{"temperature", 10.0}};
        return FinishModule().take_off(request, Host(&door)).steps.front().wait_minutes;
    };
    EXPECT_EQ(wait(Json::array()), 240) << "two hours, twice as long at 10 degrees";
    EXPECT_EQ(wait({"20 degC: 2 h", "10 degC: 3 h"}), 180);
}

TEST(FinishModule, CountsWhatCoatingUsesUp) {
    // 6.3 m2 twice, one roller for 20 m2.
    const auto reply = taken_off(coating(two_coats), {tin("a/1", 1)});
    const auto row = std::find_if(
        reply.quantities.begin(), reply.quantities.end(),
        [](const contract::QuantityRow& each) { return each.ref == "consumable_roller"; });
    ASSERT_NE(row, reply.quantities.end());
    EXPECT_DOUBLE_EQ(row->value, 0.63);
    EXPECT_EQ(reply.demands.size(), 1U);
}

TEST(FinishModule, WithoutSpreadRateTheLineIsAProblem) {
    contract::Offer silent = tin("a/1", 1);
    silent.attributes.erase("spread_rate");
    const auto reply = taken_off(coating(two_coats), {silent});
    EXPECT_TRUE(reply.demands.empty());
    ASSERT_FALSE(reply.findings.empty());
    EXPECT_EQ(reply.findings.front().code, "no-spread-rate");
    EXPECT_EQ(reply.findings.front().severity, contract::Severity::problem);
}

TEST(FinishModule, WithoutCoatsTheLineIsAProblem) {
    const auto reply = taken_off(coating(Json::array()), {tin("a/1", 1)});
    ASSERT_FALSE(reply.findings.empty());
    EXPECT_EQ(reply.findings.front().code, "no-coats");
}

TEST(FinishModule, WhatIsLeftInTheTinsIsTold) {
    contract::FollowRequest request;
    request.lines = {coating(two_coats)};
    contract::Chosen chosen;
    chosen.module = "finish";
    chosen.demand = "clear";
    chosen.content = 2;
    request.chosen = {chosen};
    request.quantities["finish"] = {{"clear.litres", "clear", 1.26, "L", {"varnish"}}};
    const auto reply = FinishModule().follow(request, Host(&door));
    ASSERT_EQ(reply.quantities.size(), 1U);
    EXPECT_NEAR(reply.quantities.front().value, 0.74, 1e-9);
}

} // namespace
} // namespace aumbry::finish
