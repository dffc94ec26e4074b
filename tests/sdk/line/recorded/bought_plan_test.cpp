// The plans that a project keeps of what is bought, and those of both sample projects.
#include "aumbry/catalog.hpp"
#include "aumbry/line.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/recorded.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace aumbry {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

PluginHost& host() {
    static PluginHost shared({AUMBRY_TEST_PLUGINS});
    return shared;
}

/// A project that has bought a sheet; `copies` is a member of its plan, or nothing.
std::string project_with(const std::string& copies, int first = 1) {
    return R"({ "aumbry": 1, "title": "Test", "currency": "EUR", "priced_on": "2027-02-01", "start": "2027-03-01",
"lines": { "rail": { "kind": "item", "type": "rail" } },
"as_bought": { "sheet_goods/carcase.sheets": { "shares": [ { "line": "side", "weight": 1 } ],
  "way": { "id": "yard", "uses": [], "plans": [
    { "material": "carcase", "supplier": "yard", "sku": "P18", "offer": "yard/P18",
      "sheet": { "length": 1000, "width": 500 }, "grain": "none", "clean_up": 0, "kerf": 4, )" +
           copies + R"(
      "placements": [],
      "cuts": [ { "blank": 0, "direction": "length", "position": 600, "by": "workshop", "first": )" +
           std::to_string(first) + R"( } ],
      "blanks": [ { "x": 0, "y": 0, "length": 1000, "width": 500 }, { "x": 0, "y": 0, "length": 600, "width": 500 } ],
      "offcuts": [] } ] } } } })";
}

std::vector<std::string> sentences(const std::string& text) {
    std::vector<std::string> list;
    try {
        (void)estimate(read_project(text, "job.aumbry.json"), host(), Catalog());
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) list.push_back(fault.sentence());
    }
    return list;
}

const std::string the_plan = "/as_bought/sheet_goods~1carcase.sheets/way/plans/0";

// Such a project ended with "[json.exception.out_of_range.403] key 'copies' not found".
TEST(AsBought, APlanWithoutCopiesIsAFaultWithItsPlaceInTheFile) {
    EXPECT_THAT(sentences(project_with("")),
                ElementsAre("job.aumbry.json:5:5: " + the_plan + ": missing key 'copies'"));
}

TEST(AsBought, APlanThatCannotBeCutByIsAFaultWithItsPlaceInTheFile) {
    EXPECT_THAT(sentences(project_with(R"("copies": 0,)")),
                ElementsAre("job.aumbry.json:6:93: " + the_plan +
                            "/copies: the plan cannot be cut by: it is cut 0 times; correct it, or "
                            "take the plan out of \"as_bought\""));
    EXPECT_THAT(sentences(project_with(R"("copies": 1,)", 7)),
                ElementsAre(HasSubstr(the_plan + "/cuts/0/first: the plan cannot be cut by: cut 1 "
                                                 "names blank 7, and the plan has 2 blanks")));
}

TEST(AsBought, APlanThatIsSoundIsNoFault) {
    EXPECT_THAT(sentences(project_with(R"("copies": 1,)")), ElementsAre());
}

TEST(AsBought, APlanIsKeptAsItWasRead) {
    const Json document = parse_json(project_with(R"("copies": 2,)"));
    const Json& entry = document["as_bought"]["sheet_goods/carcase.sheets"];
    const BoughtPlan kept = read_bought_plan(entry);
    ASSERT_EQ(kept.way.plans.sheets.size(), 1U);
    EXPECT_EQ(kept.way.plans.sheets[0].copies, 2);
    const Json written = bought_plan_json(kept.shares, kept.way);
    EXPECT_EQ(written["way"]["plans"], entry["way"]["plans"]);
    EXPECT_EQ(written["shares"], entry["shares"]);
}

class SamplePlans : public testing::TestWithParam<const char*> {};

TEST_P(SamplePlans, AreTheSameWhenTheyAreReadBack) {
    const std::string file =
        std::string(AUMBRY_CATALOGS) + "/projects/" + GetParam() + ".aumbry.json";
    EstimateOptions options;
    options.effort = "draft";
    const Json document =
        to_json(estimate(read_project(read_file(file), file), host(),
                         load_catalog({AUMBRY_CATALOGS}, host().catalog_classes()), options));
    for (const char* key : {"cutting_plans", "board_plans", "further_plans"})
        EXPECT_EQ(contract::to_json(contract::read_plans(document[key], key)).dump(),
                  document[key].dump())
            << key;
    EXPECT_FALSE(document["cutting_plans"].empty());
    EXPECT_FALSE(document["board_plans"].empty());
}

INSTANTIATE_TEST_SUITE_P(Both, SamplePlans, testing::Values("harbour-loft", "orchard-mudroom"));

} // namespace
} // namespace aumbry
