// What is checked of a plan beyond its members: every break has its sentence.
#include "modules/plan_check.hpp"

#include <gtest/gtest.h>

#include <functional>
#include <string>

namespace aumbry {
namespace {

/// A sheet of 1000 x 500 mm with a kerf of 4: a side of 600 x 500 and a shelf of 396 x 300.
contract::SheetPlan sheet() {
    contract::SheetPlan plan;
    plan.offer = "yard/P18";
    plan.sheet = {1000, 500};
    plan.kerf = 4;
    plan.placements = {{.line = "side", .length = 600, .width = 500, .blank = 1},
                       {.line = "shelf", .x = 604, .length = 396, .width = 300, .blank = 3}};
    plan.cuts = {{.blank = 0, .position = 600, .first = 1, .second = 2},
                 {.blank = 2,
                  .direction = contract::CutDirection::width,
                  .position = 300,
                  .first = 3,
                  .second = 4}};
    plan.blanks = {{0, 0, 1000, 500},
                   {0, 0, 600, 500, "side"},
                   {604, 0, 396, 500},
                   {604, 0, 396, 300, "shelf"},
                   {604, 304, 396, 196, "", true}};
    plan.offcuts = {{604, 304, 396, 196, true}};
    return plan;
}

contract::BoardPlan board() {
    contract::BoardPlan plan;
    plan.offer = "yard/oak";
    plan.board = {2400, 70, 28};
    plan.kerf = 3;
    plan.pieces = {{"rail", 0, 900}, {"rail", 903, 900}};
    plan.offcut = 594;
    return plan;
}

contract::LiftPlan lift() {
    contract::LiftPlan plan;
    plan.line = "lid";
    plan.masses = {{.name = "panel"}};
    plan.springs = {{.model = "GV 300", .count = 2}};
    plan.curve.resize(2);
    plan.side_view.resize(2);
    for (contract::LiftView& view : plan.side_view) {
        view.masses.resize(1);
        view.fixed.resize(2);
        view.moving.resize(2);
    }
    return plan;
}

contract::Plans sound() {
    contract::Plans plans;
    plans.sheets = {sheet()};
    plans.boards = {board()};
    plans.lifts = {lift()};
    return plans;
}

/// All faults, one a line.
std::string faults_of(const contract::Plans& plans) {
    std::string text;
    const auto is_line = [](const std::string& id) { return id != "ghost"; };
    check_plans(plans, is_line, [&](const PlanFault& fault) {
        text += (text.empty() ? "" : "\n") + fault.pointer + ": " + fault.wrong;
    });
    return text;
}

TEST(PlanCheck, ASoundPlanHasNoFault) {
    EXPECT_EQ(faults_of(sound()), "");
}

TEST(PlanCheck, ACutThatLeavesNoMoreThanTheKerfIsSound) {
    contract::Plans plans = sound();
    plans.sheets[0].cuts[1].position = 498;
    plans.sheets[0].cuts[1].second.reset();
    EXPECT_EQ(faults_of(plans), "");
}

struct Break {
    const char* name;
    std::function<void(contract::Plans&)> make;
    const char* said;
};

class BrokenPlan : public testing::TestWithParam<Break> {};

TEST_P(BrokenPlan, IsSaidInASentenceWithItsPlace) {
    contract::Plans plans = sound();
    GetParam().make(plans);
    EXPECT_EQ(faults_of(plans), GetParam().said);
}

INSTANTIATE_TEST_SUITE_P(
    EachBreak, BrokenPlan,
    testing::Values(
        Break{"NoCopies", [](auto& plans) { plans.sheets[0].copies = 0; },
              "/0/copies: it is cut 0 times"},
        Break{"CopiesBeyondReason", [](auto& plans) { plans.boards[0].copies = 2'000'000; },
              "/1/copies: it is cut 2000000 times"},
        Break{"NegativeKerf", [](auto& plans) { plans.sheets[0].kerf = -1; },
              "/0/kerf: its kerf is negative"},
        Break{"NegativeCleanUp", [](auto& plans) { plans.sheets[0].clean_up = -1; },
              "/0/clean_up: its clean-up is negative"},
        Break{"PartOutside", [](auto& plans) { plans.sheets[0].placements[1].x = 605; },
              "/0/placements/1: part 2 lies outside its sheet of 1000 x 500 mm"},
        Break{"PartWithoutSize", [](auto& plans) { plans.sheets[0].placements[1].width = 0; },
              "/0/placements/1: part 2 lies outside its sheet of 1000 x 500 mm"},
        Break{"PartsOnEachOther", [](auto& plans) { plans.sheets[0].placements[1].x = 590; },
              "/0/placements/1: parts 1 and 2 lie on each other"},
        Break{"UnknownLine", [](auto& plans) { plans.sheets[0].placements[0].line = "ghost"; },
              "/0/placements/0/line: part 1 names the line 'ghost', which is none"},
        Break{"PartOfNoBlank", [](auto& plans) { plans.sheets[0].placements[0].blank = 5; },
              "/0/placements/0/blank: part 1 names blank 5, and the plan has 5 blanks"},
        Break{"BlankOutside", [](auto& plans) { plans.sheets[0].blanks[4].y = 400; },
              "/0/blanks/4: blank 4 lies outside its sheet of 1000 x 500 mm"},
        Break{"OffcutOutside", [](auto& plans) { plans.sheets[0].offcuts[0].y = 400; },
              "/0/offcuts/0: offcut 1 lies outside its sheet of 1000 x 500 mm"},
        Break{"CutOfNoBlank", [](auto& plans) { plans.sheets[0].cuts[1].blank = -1; },
              "/0/cuts/1/blank: cut 2 names blank -1, and the plan has 5 blanks"},
        Break{"CutIntoNoBlank", [](auto& plans) { plans.sheets[0].cuts[1].second = 9; },
              "/0/cuts/1/second: cut 2 names blank 9, and the plan has 5 blanks"},
        Break{"BlankCutTwice", [](auto& plans) { plans.sheets[0].cuts[1].blank = 0; },
              "/0/cuts/1/blank: cut 2 divides blank 0, which is not there by then"},
        Break{"BlankMadeTwice", [](auto& plans) { plans.sheets[0].cuts[1].first = 1; },
              "/0/cuts/1/first: cut 2 leaves blank 1, which is there already"},
        Break{"CutBeyondItsBlank", [](auto& plans) { plans.sheets[0].cuts[1].position = 501; },
              "/0/cuts/1/position: cut 2 is set to 501 mm, and its blank measures 500 mm there"},
        Break{"PieceOutside", [](auto& plans) { plans.boards[0].pieces[1].length = 1500; },
              "/1/pieces/1: piece 2 lies outside its board of 2400 mm"},
        Break{"PiecesOnEachOther", [](auto& plans) { plans.boards[0].pieces[1].position = 890; },
              "/1/pieces/1: piece 2 begins before the one before it ends"},
        Break{"BoardWithoutSize", [](auto& plans) { plans.boards[0].board.thickness = 0; },
              "/1/board: its board has no size"},
        Break{"NegativeOffcut", [](auto& plans) { plans.boards[0].offcut = -3; },
              "/1/offcut: its offcut is negative"},
        Break{"DealerCutsThroughAPart",
              [](auto& plans) {
                  plans.boards[0].dealer_cuts = {{500, 4}};
              },
              "/1/dealer_cuts/0: cut 1 of the dealer divides the part of 'rail'"},
        Break{"DealerCutsBeyondTheBoard",
              [](auto& plans) {
                  plans.boards[0].dealer_cuts = {{2399, 4}};
              },
              "/1/dealer_cuts/0/position: cut 1 of the dealer is set to 2399 mm, and what is left "
              "of its board begins at 0 mm and ends at 2400 mm"},
        Break{"SwingOfOneStep",
              [](auto& plans) {
                  plans.lifts[0].curve.resize(1);
                  plans.lifts[0].side_view.resize(1);
              },
              "/2/curve: its swing has fewer than two steps"},
        Break{"ViewsMissing", [](auto& plans) { plans.lifts[0].side_view.resize(1); },
              "/2/side_view: it has 1 side views for 2 steps"},
        Break{"MassWithoutPlace", [](auto& plans) { plans.lifts[0].side_view[1].masses.clear(); },
              "/2/side_view/1/masses: side view 2 shows 0 masses of 1"},
        Break{"SpringWithOneMount",
              [](auto& plans) { plans.lifts[0].side_view[0].moving.pop_back(); },
              "/2/side_view/0: side view 1 has a spring with one mount only"},
        Break{"NoSprings", [](auto& plans) { plans.lifts[0].springs[0].count = 0; },
              "/2/springs/0/count: its springs 'GV 300' are fewer than one"}),
    [](const auto& test) { return test.param.name; });

/// What is said of a demand that a module answered with these plans.
std::string said_of(const contract::Plans& plans, const std::string& plan_type) {
    contract::TakeOffRequest request;
    for (const char* id : {"side", "shelf", "rail", "lid"}) {
        contract::Line line;
        line.id = id;
        request.lines.push_back(line);
    }
    contract::Offer offer;
    offer.id = "yard/P18";
    request.offers = {offer};
    contract::Demand demand;
    demand.id = "carcase";
    demand.plan_type = plan_type;
    contract::Way way;
    way.id = "yard";
    way.plans = plans;
    demand.ways = {way};
    return fault_of_plans(demand, request);
}

TEST(PlansOfADemand, AreSoundWhenTheyAreOfItsTypeAndOfWhatWasOffered) {
    contract::Plans plans;
    plans.sheets = {sheet()};
    EXPECT_EQ(said_of(plans, "sheet"), "");
    plans.sheets[0].cuts[0].first = 9;
    EXPECT_EQ(said_of(plans, "sheet"),
              "a plan of way 'yard' of demand 'carcase' cannot be cut by (/0/cuts/0/first): cut 1 "
              "names blank 9, and the plan has 5 blanks");
    plans.sheets = {sheet()};
    plans.sheets[0].offer = "shop/P18";
    EXPECT_EQ(said_of(plans, "sheet"), "a plan of way 'yard' of demand 'carcase' cuts the offer "
                                       "'shop/P18', which the module was not given");
}

TEST(PlansOfADemand, OfAnotherTypeThanItSaysAreRefused) {
    contract::Plans plans;
    plans.sheets = {sheet()};
    EXPECT_EQ(said_of(plans, "board"),
              "a plan of way 'yard' of demand 'carcase' is of a sheet, and "
              "the plan type of the demand is 'board'");
    EXPECT_EQ(said_of(plans, ""), "a plan of way 'yard' of demand 'carcase' is of a sheet, and the "
                                  "plan type of the demand is not said");
    plans = {};
    plans.others = {{{"panes", 3}}};
    EXPECT_EQ(said_of(plans, "sheet"), "a plan of way 'yard' of demand 'carcase' has no 'sheet'");
    EXPECT_EQ(said_of(plans, "glass"), "");
}

} // namespace
} // namespace aumbry
