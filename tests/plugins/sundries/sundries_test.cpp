#include "sundries/engine/offers.hpp"
#include "sundries/module/sundries.hpp"

#include "aumbry/plugin_host.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

namespace aumbry::sundries {
namespace {

using contract::Line;
using contract::Offer;
using contract::TakeOffReply;
using contract::TakeOffRequest;
using testing::HasSubstr;

const aumbry_host quiet{sizeof(aumbry_host), nullptr, [](void*, const char*) {},
                        [](void*, double) {}, [](void*) { return 0; }};

Line item(std::string id, std::int64_t count, Json fields, std::string kind = "item") {
    Line line;
    line.id = std::move(id);
    line.kind = std::move(kind);
    line.count = count;
    line.fields = std::move(fields);
    return line;
}

Offer offer(std::string id, std::string price_unit, Json attributes, double pack = 1,
            std::string catalog_class = "item") {
    Offer made;
    made.id = "north/" + id;
    made.supplier = "north";
    made.sku = std::move(id);
    made.catalog_class = std::move(catalog_class);
    made.attributes = std::move(attributes);
    made.price = "4.20";
    made.price_unit = std::move(price_unit);
    made.pack = pack;
    return made;
}

TakeOffReply take_off(std::vector<Line> lines, std::vector<Offer> offers) {
    TakeOffRequest request;
    request.kind = lines.front().kind;
    request.lines = std::move(lines);
    request.offers = std::move(offers);
    return Sundries().take_off(request, Host(&quiet));
}

// ---------------------------------------------------------------- how much

TEST(SundriesNeed, CountsItemsOfEqualSpecificationInOneDemand) {
    const auto reply = take_off({item("bed_slats", 14, {{"type", "slat holder"}}),
                                 item("bench_slats", 6, {{"type", "slat holder"}})},
                                {offer("SH10", "pack", {{"type", "slat holder"}}, 10)});
    ASSERT_EQ(reply.demands.size(), 1U);
    ASSERT_TRUE(reply.demands[0].amount);
    EXPECT_EQ(reply.demands[0].amount->quantity, 20);
    EXPECT_EQ(reply.demands[0].amount->unit, "");
    ASSERT_EQ(reply.demands[0].amount->offers.size(), 1U);
    EXPECT_EQ(reply.demands[0].amount->offers[0].content, 10);
    ASSERT_EQ(reply.demands[0].shares.size(), 2U);
    EXPECT_EQ(reply.demands[0].shares[0].weight, 14);
    EXPECT_EQ(reply.demands[0].shares[1].weight, 6);
}

TEST(SundriesNeed, AddsWasteToALengthTimesTheCount) {
    // 3 lengths of 2.4 m and a tenth on top: 7.92 m.
    const auto reply =
        take_off({item("piping", 3, {{"type", "piping"}, {"length", 2400.0}, {"waste", 10.0}})},
                 {offer("P25", "each", {{"type", "piping"}, {"length", 25000.0}})});
    EXPECT_DOUBLE_EQ(reply.demands[0].amount->quantity, 7.92);
    EXPECT_EQ(reply.demands[0].amount->unit, "m");
    EXPECT_DOUBLE_EQ(reply.demands[0].amount->offers[0].content, 25);
}

TEST(SundriesNeed, KeepsLengthsAndCountsApart) {
    const auto reply = take_off({item("cord", 1, {{"type", "cord"}, {"length", 4000.0}}),
                                 item("cord_set", 2, {{"type", "cord"}})},
                                {});
    ASSERT_EQ(reply.demands.size(), 2U);
    EXPECT_EQ(reply.demands[0].amount->unit, "m");
    EXPECT_EQ(reply.demands[1].amount->unit, "");
}

TEST(SundriesNeed, SaysWhenALineStatesTwoMeasures) {
    contract::DeriveRequest request;
    request.lines = {item("felt", 1, {{"type", "felt"}, {"length", 1000.0}, {"area", 0.5}})};
    const auto reply = Sundries().derive(request, Host(&quiet));
    ASSERT_EQ(reply.findings.size(), 1U);
    EXPECT_EQ(reply.findings[0].code, "several-measures");
    EXPECT_EQ(reply.findings[0].text,
              "felt states length and area; keep the one it is sold by, here length is used.");
}

// ---------------------------------------------------------------- what one purchase holds

TEST(SundriesOffer, PricedByTheFootIsSoldByWholeFeet) {
    // 1 ft = 0.3048 m exactly (NIST SP 811, appendix B.8).
    const auto content = content_of(offer("C1", "ft", {}), "m");
    ASSERT_TRUE(content);
    EXPECT_DOUBLE_EQ(content->content, 0.3048);
    EXPECT_EQ(content->measure, 1);
}

TEST(SundriesOffer, PricedByTheSquareMetreInPiecesStatesItsMeasure) {
    const auto content = content_of(offer("F1", "m2", {{"area", 0.6}}, 2), "m2");
    ASSERT_TRUE(content);
    EXPECT_DOUBLE_EQ(content->content, 1.2);
    EXPECT_DOUBLE_EQ(content->measure, 1.2);
}

TEST(SundriesOffer, ByCountButPricedByMassNeedsTheMassOfOne) {
    EXPECT_FALSE(content_of(offer("B1", "kg", {}), ""));
    const auto content = content_of(offer("B1", "kg", {{"mass", 0.25}}), "");
    ASSERT_TRUE(content);
    EXPECT_EQ(content->content, 1);
    EXPECT_DOUBLE_EQ(content->measure, 0.25);
    EXPECT_DOUBLE_EQ(content->mass, 0.25);
}

TEST(SundriesOffer, ThatDoesNotSayHowLongItIsCannotFillALength) {
    EXPECT_FALSE(content_of(offer("R1", "each", {}), "m"));
    const auto reply = take_off({item("piping", 1, {{"type", "piping"}, {"length", 900.0}})},
                                {offer("R1", "each", {{"type", "piping"}})});
    ASSERT_EQ(reply.findings.size(), 1U);
    EXPECT_EQ(reply.findings[0].severity, contract::Severity::problem);
    EXPECT_THAT(reply.findings[0].text,
                HasSubstr("do not sell it by the m or do not say how much one holds"));
    EXPECT_TRUE(reply.demands[0].amount->offers.empty());
}

TEST(SundriesOffer, ADayOfHireIsNoTwentyFourHoursOfWork) {
    EXPECT_FALSE(content_of(offer("H1", "h", {}, 1, "service"), "day"));
    EXPECT_FALSE(content_of(offer("H1", "day", {}, 1, "service"), "h"));
    const auto weekend = content_of(offer("H2", "each", {{"days", 2.0}}, 1, "service"), "day");
    ASSERT_TRUE(weekend);
    EXPECT_EQ(weekend->content, 2);
}

TEST(SundriesOffer, WithAnUnknownPriceUnitIsLeftOutWithoutAFault) {
    EXPECT_FALSE(content_of(offer("X", "furlong", {}), "m"));
}

// ---------------------------------------------------------------- which offers

TEST(SundriesChoice, TakesOnlyTheNumberThatTheLineNames) {
    const auto reply = take_off({item("runner", 4, {{"sku", "DR450"}})},
                                {offer("DR450", "each", {}), offer("DR500", "each", {})});
    ASSERT_EQ(reply.demands[0].amount->offers.size(), 1U);
    EXPECT_EQ(reply.demands[0].amount->offers[0].offer, "north/DR450");
}

TEST(SundriesChoice, ALineThatNamesNothingBuysNothing) {
    const auto reply =
        take_off({item("bits_and_pieces", 4, Json::object())}, {offer("DR450", "each", {})});
    EXPECT_TRUE(reply.demands[0].amount->offers.empty());
    ASSERT_EQ(reply.findings.size(), 1U);
    EXPECT_EQ(reply.findings[0].code, "item-not-specified");
}

TEST(SundriesChoice, AStatedPriceStandsInsteadOfOffers) {
    const auto reply =
        take_off({item("upholsterer", 1,
                       {{"price", "340.00"}, {"quoted_by", "the upholsterer"}, {"lead_days", 12}},
                       "service")},
                 {offer("U1", "each", {}, 1, "service")});
    ASSERT_TRUE(reply.demands[0].amount->stated);
    EXPECT_EQ(reply.demands[0].amount->stated->price, "340.00");
    EXPECT_EQ(reply.demands[0].amount->stated->catalog_class, "service");
    EXPECT_EQ(reply.demands[0].amount->stated->lead_days, 12);
    EXPECT_TRUE(reply.demands[0].amount->offers.empty());
    EXPECT_EQ(reply.findings.at(0).code, "price-stated");
}

TEST(SundriesStep, FittingTakesItsTimeForEachAndWaitsForTheGoods) {
    const auto reply =
        take_off({item("runner", 4, {{"type", "runner"}, {"fitting", 6.0}, {"phase", "install"}})},
                 {offer("R", "each", {})});
    ASSERT_EQ(reply.steps.size(), 1U);
    EXPECT_EQ(reply.steps[0].minutes, 24);
    EXPECT_EQ(reply.steps[0].phase, contract::Phase::install);
    EXPECT_EQ(reply.steps[0].needs, std::vector<std::string>{reply.demands[0].id});
}

// ---------------------------------------------------------------- as a shared object

TEST(SundriesModule, AnswersThroughTheDoorOfAnyModule) {
    const auto folder = std::filesystem::path(testing::TempDir()) / "sundries_module";
    std::filesystem::create_directories(folder);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "sundries.so",
                               folder / "sundries.so",
                               std::filesystem::copy_options::overwrite_existing);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "kinds.json",
                               folder / "kinds.json",
                               std::filesystem::copy_options::overwrite_existing);
    PluginHost host({folder});
    ASSERT_TRUE(host.refused().empty()) << host.refused().front().reason;
    ASSERT_NE(host.module_of_kind("item"), nullptr);
    ASSERT_NE(host.module_of_kind("service"), nullptr);
    TakeOffRequest request;
    request.kind = "service";
    request.lines = {item("skip", 1, {{"type", "skip hire"}, {"days", 3.0}}, "service"),
                     item("helper", 1, {{"price", "22.50"}, {"time", 480.0}}, "service")};
    request.offers = {offer("SK", "day", {{"type", "skip hire"}}, 1, "service")};
    const auto reply = host.take_off("sundries", request);
    ASSERT_EQ(reply->demands.size(), 2U);
    EXPECT_EQ(reply->demands[0].amount->unit, "day");
    EXPECT_EQ(reply->demands[0].amount->quantity, 3);
    EXPECT_EQ(reply->demands[1].amount->unit, "h");
    EXPECT_EQ(reply->demands[1].amount->quantity, 8);
    ASSERT_TRUE(reply->demands[1].amount->stated);
    EXPECT_EQ(reply->demands[1].amount->stated->price, "22.50");
}

} // namespace
} // namespace aumbry::sundries
