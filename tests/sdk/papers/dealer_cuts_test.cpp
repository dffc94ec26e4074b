// What a supplier is ordered to cut, from plans written down by hand.
#include "aumbry/order.hpp"

#include <gtest/gtest.h>

namespace aumbry {
namespace {

/// One sheet of 2500 x 1250 mm from the yard, whose saw takes 4 mm, planned for the demand
/// "sheet_goods/carcase" and not yet ordered.
Estimate job(std::vector<contract::SheetCut> cuts, std::vector<contract::Blank> blanks) {
    Estimate estimate;
    estimate.currency = currency("EUR");
    const Money zero = Money::zero(estimate.currency);
    contract::SheetPlan plan;
    plan.supplier = "yard";
    plan.sku = "P18";
    plan.offer = "yard/P18";
    plan.demand = "sheet_goods/carcase";
    plan.sheet = {2500, 1250};
    plan.kerf = 4;
    plan.copies = 2;
    plan.cuts = std::move(cuts);
    plan.blanks = std::move(blanks);
    estimate.cutting_plans = {plan};

    EstimatePurchase purchase;
    purchase.supplier = "yard";
    purchase.offer = "yard/P18";
    purchase.sku = "P18";
    purchase.description = "18 mm birch";
    purchase.count = 2;
    purchase.amount = purchase.tax = zero;
    purchase.demands = {"sheet_goods/carcase"};
    estimate.purchases = {purchase};

    EstimateOrder order;
    order.supplier = "yard";
    order.name = "The yard";
    for (Money* amount : {&order.goods, &order.services, &order.cuts, &order.delivery,
                          &order.small_order, &order.tax, &order.total})
        *amount = zero;
    estimate.orders = {order};
    return estimate;
}

using contract::CutBy;
using contract::CutDirection;

// Two rips of 610 and 636 mm from 1250 mm: 1250 - 610 - 4 = 636 is the second piece already, and
// trimming it to 634 mm leaves 2 mm, less than the kerf. Such an order failed with "a cutting plan
// has no number 'second'".
TEST(OrderOfSheetsToCut, ACutOfTheDealersThatLeavesNoMoreThanTheKerfIsOrderedLikeAnyOther) {
    const std::vector<Order> orders =
        orders_of(job({{0, CutDirection::width, 610, CutBy::dealer, 1, 2},
                       {2, CutDirection::width, 634, CutBy::dealer, 3, {}},
                       {1, CutDirection::length, 900, CutBy::workshop, 4, 5}},
                      {{0, 0, 2500, 1250},
                       {0, 0, 2500, 610},
                       {0, 614, 2500, 636},
                       {0, 614, 2500, 634},
                       {0, 0, 900, 610},
                       {904, 0, 1596, 610}}));
    ASSERT_EQ(orders.size(), 1U);
    ASSERT_EQ(orders[0].sheets.size(), 1U);
    const SupplierSheet& sheet = orders[0].sheets[0];
    EXPECT_EQ(sheet.copies, 2);
    EXPECT_EQ(sheet.description, "18 mm birch");
    ASSERT_EQ(sheet.cuts.size(), 2U); // the workshop's own cut is not ordered
    EXPECT_FALSE(sheet.cuts[1].across);
    EXPECT_DOUBLE_EQ(sheet.cuts[1].at, 634);
    EXPECT_DOUBLE_EQ(sheet.cuts[1].width, 636);
    EXPECT_DOUBLE_EQ(sheet.cuts[1].y1, 614 + 634 + 1); // the middle of the 2 mm that are left
    // Handed over are the pieces that the dealer leaves whole; of the dust there is none.
    ASSERT_EQ(sheet.pieces.size(), 2U);
    EXPECT_EQ(sheet.pieces[0].width, 634);
    EXPECT_EQ(sheet.pieces[1].width, 610);
}

// What is left keeps its letter, what comes off gets the next: nobody wipes chalk off a sheet.
TEST(OrderOfSheetsToCut, PiecesHaveLettersAndTheSheetIsNamedAsOnTheCuttingPlan) {
    const std::vector<Order> orders =
        orders_of(job({{0, CutDirection::width, 610, CutBy::dealer, 1, 2},
                       {1, CutDirection::length, 900, CutBy::dealer, 3, 4},
                       {2, CutDirection::width, 634, CutBy::dealer, 5, {}}},
                      {{0, 0, 2500, 1250},
                       {0, 0, 2500, 610},
                       {0, 614, 2500, 636},
                       {0, 0, 900, 610},
                       {904, 0, 1596, 610},
                       {0, 614, 2500, 634}}));
    const SupplierSheet& sheet = orders.at(0).sheets.at(0);
    EXPECT_EQ(sheet.id, "S1");
    std::string told;
    for (const SupplierCut& cut : sheet.cuts)
        told += cut.piece + ">" + cut.cut_off + "+" + cut.left + " ";
    EXPECT_EQ(told, "A>B+A B>C+B A>A+ ");
    told.clear();
    for (const SupplierPiece& piece : sheet.pieces)
        told += piece.letter + std::to_string(static_cast<int>(piece.length)) + " ";
    EXPECT_EQ(told, "A2500 B1596 C900 ");
}

TEST(OrderOfSheetsToCut, WhatIsOrderedAlreadyIsNotOrderedToBeCutAgain) {
    Estimate estimate = job({{0, CutDirection::width, 610, CutBy::dealer, 1, 2}},
                            {{0, 0, 2500, 1250}, {0, 0, 2500, 610}, {0, 614, 2500, 636}});
    EXPECT_EQ(orders_of(estimate).at(0).sheets.size(), 1U);
    estimate.purchases[0].state = Progress::ordered;
    EXPECT_TRUE(orders_of(estimate).at(0).sheets.empty());
}

TEST(OrderOfSheetsToCut, ASheetThatTheDealerDoesNotCutStandsInTheOrderAlone) {
    const std::vector<Order> orders =
        orders_of(job({{0, CutDirection::width, 610, CutBy::workshop, 1, 2}},
                      {{0, 0, 2500, 1250}, {0, 0, 2500, 610}, {0, 614, 2500, 636}}));
    EXPECT_TRUE(orders.at(0).sheets.empty());
    EXPECT_EQ(orders.at(0).positions.size(), 1U);
}

} // namespace
} // namespace aumbry
