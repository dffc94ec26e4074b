// Plans as documents: what is read is what is written, and what lacks a member says where.
#include "fault_of.hpp"

#include "aumbry/contract.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace aumbry::contract {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

/// A sheet of 1000 x 500 mm cut once, a board cut to two lengths, a board ripped, a lift of two
/// steps and a plan of somebody else's module, with every member that any of them may have.
constexpr const char* plans_text = R"([
{"material": "carcase", "supplier": "yard", "sku": "P18", "offer": "yard/P18",
 "sheet": {"length": 1000.0, "width": 500.0}, "grain": "length", "clean_up": 0.0, "kerf": 4.0, "copies": 2,
 "bound": {"sheets": 2, "lower_bound": 1, "proven": false, "method": "area"},
 "placements": [{"line": "side", "x": 0.0, "y": 0.0, "length": 600.0, "width": 500.0, "rotated": true, "blank": 1,
   "finished": {"length": 498.0, "width": 600.0}, "grain": "width", "faces": 2, "section": 1,
   "edges": {"front": "banded", "right": "scribed"}}],
 "cuts": [{"blank": 0, "direction": "length", "position": 600.0, "by": "dealer", "first": 1, "second": 2},
          {"blank": 2, "direction": "width", "position": 499.0, "by": "workshop", "first": 3}],
 "blanks": [{"x": 0.0, "y": 0.0, "length": 1000.0, "width": 500.0},
            {"x": 0.0, "y": 0.0, "length": 600.0, "width": 500.0, "line": "side"},
            {"x": 604.0, "y": 0.0, "length": 396.0, "width": 500.0},
            {"x": 604.0, "y": 0.0, "length": 396.0, "width": 499.0, "offcut": true}],
 "offcuts": [{"x": 604.0, "y": 0.0, "length": 396.0, "width": 499.0, "keep": true}], "demand": "sheet_goods/carcase"},
{"material": "oak", "supplier": "", "sku": "", "offer": "owned/oak",
 "board": {"length": 2400.0, "width": 70.0, "thickness": 28.0}, "kerf": 3.0, "end_trim": 25.0, "copies": 1,
 "pieces": [{"line": "rail", "position": 25.0, "length": 900.0}, {"line": "rail", "position": 928.0, "length": 900.0}],
 "offcut": 544.0, "keep_offcut": true},
{"material": "oak", "supplier": "yard", "sku": "R", "offer": "yard/R",
 "board": {"length": 2400.0, "width": 200.0, "thickness": 32.0}, "at_least": true, "kerf": 3.0, "end_trim": 50.0, "copies": 1,
 "placements": [{"line": "top", "x": 50.0, "y": 0.0, "length": 900.0, "width": 90.0, "rotated": false}],
 "dealer_cuts": [{"position": 1400.0, "kerf": 4.0}]},
{"type": "lift", "start": 0.0, "end": 60.0, "handle": {"along": 900.0, "across": 0.0},
 "masses": [{"name": "lid", "load": "panel", "mass": 12.0, "along": 450.0, "across": 0.0}],
 "springs": [{"model": "GV 300", "count": 2, "force": 300.0, "mounting": "low", "fixed": {"x": 200.0, "y": -100.0},
   "moving_along": 300.0, "moving_across": -20.0}],
 "limits": {"open": 200.0, "close": 200.0, "hold_back": 180.0, "end_hold": 5.0},
 "curve": [{"angle": 0.0, "gravity": -53.0, "springs": 40.0, "net": -13.0, "open": 14.0, "close": -12.0,
   "bare_open": 14.0, "bare_close": -12.0, "most_open": 20.0, "least_open": 8.0, "most_close": -6.0, "least_close": -18.0},
  {"angle": 60.0, "gravity": -26.0, "springs": 30.0, "net": 4.0, "open": -4.0, "close": 6.0,
   "bare_open": -4.0, "bare_close": 6.0, "most_open": 2.0, "least_open": -9.0, "most_close": 9.0, "least_close": 1.0}],
 "side_view": [{"angle": 0.0, "handle": {"x": 900.0, "y": 0.0}, "masses": [{"x": 450.0, "y": 0.0}],
   "fixed": [{"x": 200.0, "y": -100.0}], "moving": [{"x": 300.0, "y": -20.0}]},
  {"angle": 60.0, "handle": {"x": 450.0, "y": 779.4}, "masses": [{"x": 225.0, "y": 389.7}],
   "fixed": [{"x": 200.0, "y": -100.0}], "moving": [{"x": 167.3, "y": 249.8}]}],
 "line": "lid_lift", "title": "Lid", "within_limits": true, "why": "the safest"},
{"type": "glass", "panes": 3, "sheet": "of glass"}
])";

TEST(Plans, AreWrittenAsTheyWereRead) {
    const Json written = parse_json(plans_text);
    const Plans plans = read_plans(written, "plans");
    EXPECT_EQ(plans.sheets.size(), 1U);
    EXPECT_EQ(plans.boards.size(), 2U);
    EXPECT_EQ(plans.lifts.size(), 1U);
    EXPECT_EQ(plans.others.size(), 1U);
    EXPECT_EQ(to_json(plans).dump(), written.dump()); // the same members in the same order
}

TEST(Plans, ACutWhoseRestTheKerfSwallowsHasNoSecondBlank) {
    const Plans plans = read_plans(parse_json(plans_text), "plans");
    const std::vector<SheetCut>& cuts = plans.sheets.at(0).cuts;
    EXPECT_EQ(cuts.at(0).second, 2);
    EXPECT_FALSE(cuts.at(1).second);
    EXPECT_EQ(cuts.at(0).by, CutBy::dealer);
    EXPECT_EQ(cuts.at(1).direction, CutDirection::width);
}

struct Lack {
    int plan;
    const char* key;
};

class PlanThatLacks : public testing::TestWithParam<Lack> {};

TEST_P(PlanThatLacks, SaysWhatAndWhere) {
    Json list = parse_json(plans_text);
    list[static_cast<std::size_t>(GetParam().plan)].erase(GetParam().key);
    const Fault fault = fault_of([&] { (void)read_plans(list, "job"); });
    EXPECT_EQ(fault.code, "missing-key");
    EXPECT_EQ(fault.wrong, std::string("missing key '") + GetParam().key + "'");
    EXPECT_EQ(fault.place.pointer, "/" + std::to_string(GetParam().plan));
    EXPECT_EQ(fault.place.file, "job");
}

INSTANTIATE_TEST_SUITE_P(EachMember, PlanThatLacks,
                         testing::Values(Lack{0, "copies"}, Lack{0, "sheet"}, Lack{0, "cuts"},
                                         Lack{0, "blanks"}, Lack{0, "offcuts"},
                                         Lack{0, "placements"}, Lack{0, "offer"}, Lack{0, "kerf"},
                                         Lack{1, "board"}, Lack{1, "copies"}, Lack{2, "end_trim"},
                                         Lack{3, "curve"}, Lack{3, "limits"}));

TEST(Plans, WrongTypesAndWordsAreSaidWithTheirPlace) {
    Json list = parse_json(plans_text);
    list[0]["copies"] = "two";
    list[0]["cuts"][1]["by"] = "nobody";
    list[0]["cuts"][1]["first"] = 3e9;
    list[1]["board"] = 7;
    list[4] = "a plan";
    std::vector<std::string> said;
    try {
        (void)read_plans(list, "job");
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults())
            said.push_back(fault.place.pointer + " " + fault.wrong);
    }
    EXPECT_THAT(said,
                ElementsAre("/0/copies found the text 'two'", "/0/cuts/1/by unknown value 'nobody'",
                            HasSubstr("/0/cuts/1/first "), HasSubstr("/1/board found "),
                            HasSubstr("/4 found the text 'a plan'")));
}

TEST(Plans, AnIndexBeyondAnyListIsNoOtherIndex) {
    Json list = parse_json(plans_text);
    for (const std::int64_t index : {std::int64_t{1} << 32, -(std::int64_t{1} << 32)}) {
        list[0]["cuts"][0]["first"] = index;
        EXPECT_EQ(fault_of([&] { (void)read_plans(list, "job"); }).code, "too-large") << index;
    }
}

} // namespace
} // namespace aumbry::contract
