// What differs between two estimates, made by hand and by the line.
#include "fault_of.hpp"
#include "line/small_job.hpp"

#include "aumbry/study.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;

const Currency euro{"EUR", 2};

EstimateLine line(const char* id, const char* cost) {
    EstimateLine made;
    made.id = made.title = id;
    made.kind = "panel";
    made.material = "carcase";
    made.fields = {{"length", 600.0}};
    made.derived = {{"mass", 2.5}};
    made.cost = Money::parse(cost, euro);
    return made;
}

Estimate of(std::vector<EstimateLine> lines) {
    Estimate made;
    made.currency = euro;
    made.lines = std::move(lines);
    return made;
}

std::string told(const LineDifference& difference) {
    std::string text =
        difference.line + (difference.kind == LineDifference::Kind::added     ? " added"
                           : difference.kind == LineDifference::Kind::removed ? " removed"
                                                                              : " changed");
    for (const ValueDifference& value : difference.values)
        text += "; " + value.name + " " + value.before.dump() + " -> " + value.after.dump();
    return text + "; " + difference.cost_before.str() + " -> " + difference.cost_after.str() +
           "; " + difference.why;
}

std::vector<std::string> told(const std::vector<LineDifference>& list) {
    std::vector<std::string> all;
    for (const LineDifference& difference : list) all.push_back(told(difference));
    return all;
}

TEST(DifferingLines, AreNoneBetweenAnEstimateAndItself) {
    const Estimate same = of({line("side", "20.00"), line("top", "30.00")});
    EXPECT_THAT(differing_lines(same, same, {}), IsEmpty());
}

TEST(DifferingLines, TellWhatIsAddedRemovedAndChanged) {
    EstimateLine longer = line("side", "25.00");
    longer.fields = {{"length", 750.0}};
    longer.derived = {{"mass", 3.125}};
    longer.count = 2;
    EstimateLine dearer = line("back", "31.00");
    const Estimate base = of(
        {line("side", "20.00"), line("back", "30.00"), line("lid", "8.00"), line("top", "1.00")});
    const Estimate other = of({longer, dearer, line("top", "1.00"), line("plinth", "9.00")});
    EXPECT_THAT(told(differing_lines(base, other, {})),
                ElementsAre("side changed; count 1 -> 2; length 600.0 -> 750.0; mass 2.5 -> "
                            "3.125; 20.00 -> 25.00; "
                            "follows from what it depends on",
                            "back changed; 30.00 -> 31.00; bought together with others",
                            "plinth added; 0.00 -> 9.00; added here",
                            "lid removed; 8.00 -> 0.00; removed here"));
}

TEST(DifferingLines, ADerivedValueThatAFieldGivesIsToldOnce) {
    EstimateLine before = line("side", "20.00");
    before.fields = {{"mass", 2.0}};
    before.derived = {{"mass", 2.0}};
    EstimateLine after = before;
    after.fields = after.derived = {{"mass", 3.0}};
    const std::vector<LineDifference> list = differing_lines(of({before}), of({after}), {});
    ASSERT_THAT(list, SizeIs(1));
    EXPECT_THAT(list[0].values, SizeIs(1));
}

TEST(Compare, SetsAlternativesBesideTheBase) {
    PriceLists lists;
    lists.dealer("north", "EUR", "30.00",
                 "HINGE,item,Hinge,10.00,each,0,hinge\r\nOIL,item,Oil,8.00,each,0,oil\r\n");
    const Project base = job("Box", item("hinges", "hinge", 5), R"("alternatives": {
        "more": {"title": "More", "changes": {"lines": {"hinges": {"count": 7}}}},
        "oiled": {"title": "Oiled", "changes": {"lines": {"oil": {"kind": "item", "piece": "box", "type": "oil"}}}},
        "odd": {"title": "Odd", "changes": {"lines": {"hinges": {"count": -1}}}}})");
    const Catalog catalog = lists.catalog();
    std::vector<std::size_t> done;
    const Comparison comparison =
        compare(base, host(), catalog, {}, {},
                [&](std::size_t columns, std::size_t) { done.push_back(columns); });
    ASSERT_THAT(comparison.columns, SizeIs(4));
    ASSERT_TRUE(comparison.columns[0].estimate && comparison.columns[1].estimate &&
                comparison.columns[2].estimate);
    EXPECT_EQ(comparison.columns[0].estimate->totals.total.str(), "80.00");
    EXPECT_EQ(comparison.columns[1].title, "More");
    EXPECT_EQ(comparison.columns[1].estimate->totals.total.str(), "100.00");
    EXPECT_THAT(told(comparison.columns[1].lines),
                ElementsAre("hinges changed; count 5 -> 7; 80.00 -> 100.00; changed here"));
    EXPECT_EQ(comparison.columns[2].estimate->totals.total.str(), "88.00");
    // An alternative at fault stands beside the others with its fault.
    EXPECT_FALSE(comparison.columns[3].estimate);
    EXPECT_THAT(comparison.columns[3].faults, SizeIs(1));
    EXPECT_FALSE(done.empty());

    // Every sound column has the same figures, and the column of one run equals a run of its own.
    for (std::size_t i = 1; i < 3; ++i) {
        ASSERT_EQ(comparison.columns[i].figures.size(), comparison.columns[0].figures.size());
        for (std::size_t f = 0; f < comparison.columns[0].figures.size(); ++f)
            EXPECT_EQ(comparison.columns[i].figures[f].name, comparison.columns[0].figures[f].name);
    }
    PluginHost fresh({AUMBRY_TEST_PLUGINS});
    EXPECT_EQ(to_json(estimate(with_alternative(base, "more"), fresh, catalog)).dump(),
              to_json(*comparison.columns[1].estimate).dump());

    const Comparison one = compare(base, host(), catalog, {}, {"oiled"});
    ASSERT_THAT(one.columns, SizeIs(2));
    EXPECT_EQ(one.columns[1].id, "oiled");
    EXPECT_EQ(fault_of([&] { (void)compare(base, host(), catalog, {}, {"oild"}); }).code,
              "unknown-alternative");
}

} // namespace
} // namespace aumbry
