// The module of mattresses as the host sees it.
#include "mattress/module/mattress_module.hpp"

#include "aumbry/plugin_host.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

namespace aumbry::mattress {
namespace {

using contract::DeriveReply;
using contract::Line;
using contract::Offer;
using contract::Severity;
using contract::TakeOffReply;
using testing::HasSubstr;

const aumbry_host quiet{sizeof(aumbry_host), nullptr, [](void*, const char*) {},
                        [](void*, double) {}, [](void*) { return 0; }};

Json tables() {
    Json all = Json::object();
    for (const char* name : {"mattress_sizes", "foam_densities"}) {
        std::ifstream in(std::filesystem::path(AUMBRY_REFERENCE_DIR) /
                         (std::string(name) + ".json"));
        all[name] = Json::parse(in)["rows"];
    }
    return all;
}

Line bed(Json fields, std::string id = "guest_mattress") {
    Line line;
    line.id = std::move(id);
    line.kind = "mattress";
    line.fields = std::move(fields);
    return line;
}

DeriveReply derive(const Line& line, Json settings = Json::object()) {
    contract::DeriveRequest request;
    request.lines = {line};
    request.settings.module = std::move(settings);
    request.tables = tables();
    return MattressModule().derive(request, Host(&quiet));
}

TakeOffReply take_off(Line line, std::vector<Offer> offers) {
    line.derived = derive(line).lines.at(0).values;
    contract::TakeOffRequest request;
    request.kind = "mattress";
    request.lines = {std::move(line)};
    request.offers = std::move(offers);
    request.tables = tables();
    return MattressModule().take_off(request, Host(&quiet));
}

Offer offer(std::string sku, Json attributes) {
    Offer made;
    made.id = "north/" + sku;
    made.supplier = "north";
    made.sku = std::move(sku);
    made.catalog_class = "mattress";
    made.attributes = std::move(attributes);
    made.price = "420.00";
    made.price_unit = "each";
    return made;
}

template <class Reply>
std::vector<std::string> codes(const Reply& reply) {
    std::vector<std::string> list;
    for (const contract::Finding& finding : reply.findings) list.push_back(finding.code);
    return list;
}

TEST(MattressLine, TakesTheNominalSizeOfItsRegion) {
    // 60 x 80 in (secondary source): exact factors of NIST SP 811.
    const auto reply =
        derive(bed({{"region", "US"}, {"size", "queen"}, {"thickness", 254.0}, {"mass", 30.0}}));
    EXPECT_EQ(reply.lines[0].values["width"], 1524.0);
    EXPECT_EQ(reply.lines[0].values["length"], 2032.0);
    EXPECT_EQ(reply.lines[0].values["mass"], 30.0);
    EXPECT_TRUE(reply.findings.empty());
    ASSERT_FALSE(reply.workings.empty());
    EXPECT_EQ(reply.workings[0].ref, "guest_mattress.width");
    EXPECT_THAT(reply.workings[0].source, HasSubstr("secondary source"));
}

TEST(MattressLine, MeasuredSizeWinsOverTheNominalOne) {
    const auto reply = derive(
        bed({{"size", "160 x 200"}, {"width", 1590.0}, {"thickness", 180.0}, {"mass", 20.0}}));
    EXPECT_EQ(reply.lines[0].values["width"], 1590.0);
    EXPECT_EQ(reply.lines[0].values["length"], 2000.0);
}

TEST(MattressLine, MassFollowsFromDensity) {
    // Red Cross items catalogue: 0.9 x 1.9 x 0.15 m of 35 kg/m3, shipped at 9 kg.
    const auto reply = derive(
        bed({{"width", 900.0}, {"length", 1900.0}, {"thickness", 150.0}, {"density", 35.0}}));
    EXPECT_NEAR(reply.lines[0].values["mass"].get<double>(), 8.98, 0.005);
}

TEST(MattressLine, SaysWhenTheMassIsNotKnown) {
    const auto reply = derive(bed({{"size", "160 x 200"}, {"thickness", 180.0}}));
    EXPECT_FALSE(reply.lines[0].values.contains("mass"));
    EXPECT_THAT(codes(reply), testing::ElementsAre("mattress-mass-unknown"));
}

TEST(MattressLine, UnknownSizeIsAProblemWithTheNearestName) {
    const auto reply =
        derive(bed({{"region", "US"}, {"size", "quen"}, {"thickness", 250.0}, {"mass", 30.0}}));
    ASSERT_EQ(reply.findings.size(), 1U);
    EXPECT_EQ(reply.findings[0].severity, Severity::problem);
    EXPECT_EQ(reply.findings[0].text, "guest mattress: no mattress 'quen' is known in region 'US'; "
                                      "did you mean 'queen'? Or give width and length.");
    EXPECT_FALSE(reply.lines[0].values.contains("width"));
}

TEST(MattressFrame, FollowsFromMattressAndEase) {
    const auto reply = derive(bed({{"size", "160 x 200"},
                                   {"thickness", 180.0},
                                   {"mass", 20.0},
                                   {"ease", 12.0},
                                   {"ease_ends", 18.0}}));
    EXPECT_EQ(reply.lines[0].values["frame_width"], 1624.0);
    EXPECT_EQ(reply.lines[0].values["frame_length"], 2036.0);
    // 12 and 18 mm less or plus 10 mm stay within 0 to 30 mm.
    EXPECT_TRUE(reply.findings.empty());
}

TEST(MattressFrame, IsTooTightOrTooLooseAtTheEndsOfTheTolerance) {
    // 20 mm either way (EN 1334, from memory): 10 mm less ease on each side, or 10 mm more.
    const auto tight = derive(bed(
        {{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 20.0}, {"frame_width", 1612.0}}));
    EXPECT_THAT(codes(tight), testing::ElementsAre("mattress-too-tight"));
    EXPECT_EQ(tight.findings[0].severity, Severity::problem);
    const auto loose = derive(bed(
        {{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 20.0}, {"frame_width", 1650.0}}));
    EXPECT_THAT(codes(loose), testing::ElementsAre("mattress-too-loose"));
    const auto measured = derive(
        bed({{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 20.0}, {"frame_width", 1612.0}}),
        {{"tolerance", 0.0}});
    EXPECT_TRUE(measured.findings.empty()) << "nothing is uncertain any more";
}

TEST(MattressFrame, IsToldInInchesToWhoReadsInches) {
    contract::DeriveRequest request;
    request.lines = {bed({{"width", 1524.0},
                          {"length", 2032.0},
                          {"thickness", 254.0},
                          {"mass", 30.0},
                          {"frame_width", 1511.3}})};
    request.settings.length_unit = "in";
    const auto reply = MattressModule().derive(request, Host(&quiet));
    EXPECT_THAT(reply.findings.at(0).text,
                HasSubstr("the mattress is 60 in in width, the frame 59 1/2 in inside"));
}

TEST(MattressHeight, AddsTheThicknessToTheBase) {
    const auto reply = derive(bed({{"size", "160 x 200"},
                                   {"thickness", 180.0},
                                   {"mass", 20.0},
                                   {"base_height", 700.0},
                                   {"frame_height", 760.0}}));
    EXPECT_EQ(reply.lines[0].values["lying_height"], 880.0);
    EXPECT_THAT(codes(reply), testing::ElementsAre("high-bed"));
}

TEST(MattressDemand, CountsMattressesOfTheSizeAndThickness) {
    Line line = bed({{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 20.0}});
    line.count = 2;
    const auto reply = take_off(line, {offer("M18", {{"thickness", 180.0}, {"mass", 20.5}}),
                                       offer("M24", {{"thickness", 240.0}, {"mass", 28.0}})});
    ASSERT_EQ(reply.demands.size(), 1U);
    EXPECT_TRUE(reply.demands[0].decides_sizes);
    EXPECT_EQ(reply.demands[0].amount->quantity, 2);
    ASSERT_EQ(reply.demands[0].amount->offers.size(), 1U);
    EXPECT_EQ(reply.demands[0].amount->offers[0].offer, "north/M18");
    EXPECT_EQ(reply.demands[0].amount->offers[0].mass, 20.5);
    EXPECT_TRUE(reply.findings.empty());
}

TEST(MattressDemand, TellsAMassThatDiffersFromTheList) {
    const auto reply = take_off(bed({{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 18.0}}),
                                {offer("M18", {{"mass", 26.0}})});
    EXPECT_THAT(codes(reply), testing::ElementsAre("mattress-mass-differs"));
}

TEST(MattressDemand, IsAProblemWhenNobodyOffersIt) {
    const auto reply =
        take_off(bed({{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 18.0}}), {});
    ASSERT_EQ(reply.findings.size(), 1U);
    EXPECT_EQ(reply.findings[0].code, "mattress-not-offered");
    EXPECT_THAT(reply.findings[0].text, HasSubstr("Nobody offers a mattress of 1600 mm x 2000 mm"));
}

TEST(MattressStep, ARolledOneRestsAfterItIsUnrolled) {
    // Two days (from memory).
    const auto reply = take_off(
        bed({{"size", "160 x 200"}, {"thickness", 180.0}, {"mass", 20.0}, {"rolled", true}}),
        {offer("M18", Json::object())});
    ASSERT_EQ(reply.steps.size(), 2U);
    EXPECT_EQ(reply.steps[0].phase, contract::Phase::prepare);
    EXPECT_EQ(reply.steps[0].wait_minutes, 2 * 24 * 60);
    EXPECT_EQ(reply.steps[0].needs, std::vector<std::string>{"guest_mattress"});
    EXPECT_EQ(reply.steps[0].measures, std::vector<std::string>{"guest_mattress"});
    EXPECT_EQ(reply.steps[1].phase, contract::Phase::complete);
    EXPECT_EQ(reply.steps[1].wait_minutes, 0);
}

// It was in hand and measured on 4 March and unrolled on the 23rd.
TEST(MattressStep, OneWhoseSizeIsTakenAsStatedRestsWhereItIsToLie) {
    const auto reply = take_off(bed({{"size", "160 x 200"},
                                     {"thickness", 180.0},
                                     {"mass", 20.0},
                                     {"rolled", true},
                                     {"size_known", true}}),
                                {offer("M18", Json::object())});
    ASSERT_EQ(reply.steps.size(), 1U);
    EXPECT_EQ(reply.steps[0].phase, contract::Phase::complete);
    EXPECT_EQ(reply.steps[0].wait_minutes, 2 * 24 * 60);
}

TEST(MattressModule, AnswersThroughTheDoorOfAnyModule) {
    const auto folder = std::filesystem::path(testing::TempDir()) / "mattress_module";
    std::filesystem::create_directories(folder);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "mattress.so",
                               folder / "mattress.so",
                               std::filesystem::copy_options::overwrite_existing);
    std::filesystem::copy_file(std::filesystem::path(PLUGIN_FOLDER) / "kinds.json",
                               folder / "kinds.json",
                               std::filesystem::copy_options::overwrite_existing);
    PluginHost host({folder});
    ASSERT_TRUE(host.refused().empty()) << host.refused().front().reason;
    ASSERT_NE(host.module_of_kind("mattress"), nullptr);
    contract::DeriveRequest request;
    request.lines = {
        bed({{"region", "UK"}, {"size", "king"}, {"thickness", 200.0}, {"construction", "latex"}})};
    request.tables = tables();
    const auto reply = host.derive("mattress", request);
    ASSERT_EQ(reply->lines.size(), 1U);
    EXPECT_EQ(reply->lines[0].values["width"], 1500.0);
    // 1.5 x 2.0 x 0.2 m at 75 kg/m3, the middle of 60 to 90 (common practice).
    EXPECT_EQ(reply->lines[0].values["mass"], 45.0);
}

} // namespace
} // namespace aumbry::mattress
