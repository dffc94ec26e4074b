// What hours cost, who pays a minimum charge, and when money must be there.
#include "euros.hpp"
#include "line/estimate/dates.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

const Date monday = make_date(2027, 3, 1);
Date march(int day) {
    return make_date(2027, 3, day);
}
Resolved job() {
    Resolved made;
    made.currency = euro;
    made.start = monday;
    Person maker;
    maker.id = "maker";
    maker.title = "the maker";
    maker.rate = Decimal(50);
    maker.rate_stated = true;
    Person ana;
    ana.id = "ana";
    ana.title = "Ana";
    ana.rate = Decimal(30);
    ana.rate_stated = true;
    ana.min_minutes = 240;
    made.people = {maker, ana};
    return made;
}

void add(WorkPlan& work, const std::string& who, double hours, int day,
         std::vector<std::string> pieces = {}) {
    NetworkStep step;
    step.id = "step" + std::to_string(work.steps.size());
    step.who = {who};
    step.minutes = hours * 60;
    step.pieces = std::move(pieces);
    ScheduledTask task;
    task.id = step.id;
    task.start = {march(day), 480};
    task.finish = task.done = {march(day), 480 + static_cast<int>(hours * 60)};
    work.steps.push_back(step);
    work.schedule.tasks.push_back(task);
    work.schedule.ready = std::max(work.schedule.ready, march(day));
}

Money sum(const std::vector<Charge>& charges) {
    Money total = Money::zero(euro);
    for (const Charge& charge : charges) total += charge.amount;
    return total;
}

TEST(LabourCost, IsHoursAtTheRateOfWhoWorks) {
    WorkPlan work;
    add(work, "maker", 5, 1);
    add(work, "maker", 1.5, 2);
    const Labour labour = labour_of(job(), work);
    EXPECT_EQ(labour.of_steps, (std::vector<Money>{eur("250.00"), eur("75.00")}));
    ASSERT_EQ(labour.hours.size(), 1U); // Ana does not work
    EXPECT_EQ(labour.hours[0].hours, 6.5);
    EXPECT_EQ(labour.hours[0].amount, eur("325.00"));
    EXPECT_EQ(sum(labour.charges), eur("325.00"));
}

// The schedule once counted a minimum charge for the whole job and the estimate one for each day;
// project.hpp says each day.
TEST(LabourCost, AMinimumChargeIsPaidForEachDayWorked) {
    WorkPlan work;
    add(work, "ana", 2, 1);
    add(work, "ana", 1, 2);
    const Labour labour = labour_of(job(), work);
    ASSERT_EQ(labour.hours.size(), 1U);
    EXPECT_EQ(labour.hours[0].hours, 3);
    EXPECT_EQ(labour.hours[0].charged, 8); // two days of four hours
    EXPECT_EQ(labour.hours[0].amount, eur("240.00"));
    EXPECT_EQ(labour.of_steps[1], eur("30.00"));
    EXPECT_EQ(sum(labour.charges), eur("240.00"));
}

TEST(LabourCost, ADayAboveTheMinimumPaysForOneBelow) {
    // Counted over all days: 7 h on one day and 1 h on the other are the 8 h of two days.
    WorkPlan work;
    add(work, "ana", 7, 1);
    add(work, "ana", 1, 2);
    EXPECT_EQ(labour_of(job(), work).hours.at(0).charged, 8);
}

TEST(LabourCost, TwoPeopleCountTwice) {
    WorkPlan work;
    add(work, "maker", 2, 1);
    work.steps[0].people = 2;
    EXPECT_EQ(labour_of(job(), work).hours.at(0).hours, 4);
}

TEST(LabourCost, IsSharedByThePiecesOfAStep) {
    WorkPlan work;
    add(work, "maker", 1, 1, {"bed", "desk", "shelf"});
    std::map<std::string, Money> by_piece;
    for (const Charge& charge : labour_of(job(), work).charges)
        by_piece[charge.cell.second] = charge.amount;
    EXPECT_EQ(by_piece.at("bed"), eur("16.67"));
    EXPECT_EQ(by_piece.at("desk"), eur("16.67"));
    EXPECT_EQ(by_piece.at("shelf"), eur("16.66"));
}

TEST(LabourCost, TimeWorkedAlreadyIsPaidWithTheStep) {
    Resolved project = job();
    Worked past;
    past.step = "step0";
    past.who = "ana";
    past.minutes = 360;
    past.on = march(1);
    project.worked = {past};
    WorkPlan work;
    add(work, "maker", 1, 2);
    const Labour labour = labour_of(project, work);
    EXPECT_EQ(labour.of_steps[0], eur("230.00"));
    EXPECT_EQ(labour.hours.at(1).hours, 6);
}

TEST(Cash, IsThereOnTheDayOnWhichItIsPaid) {
    Resolved project = job();
    Bought oak;
    oak.id = "oak";
    oak.supplier = "yard";
    oak.amount = eur("200.00");
    oak.tax = eur("42.00");
    oak.on = march(2);
    project.bought = {oak};
    EstimateOrder screws;
    screws.name = "The ironmonger";
    screws.total = eur("60.50");
    screws.order_by = march(4);
    WorkPlan work;
    add(work, "maker", 8, 5);
    add(work, "ana", 4, 8);
    PriceBuildUp price;
    price.deposit = eur("300.00");
    price.balance = eur("700.00");
    Provenance from;
    from.supplier_names = {{"yard", "The yard"}};
    const auto rows = cash_of(project, {screws}, work, labour_of(project, work), price, from);
    std::vector<std::string> told;
    for (const EstimateCash& row : rows)
        told.push_back(format_date(row.date) + ' ' + row.what + ' ' + row.amount.str() + ' ' +
                       row.so_far.str());
    EXPECT_THAT(told, ::testing::ElementsAre("2027-03-01 the client's deposit -300.00 -300.00",
                                             "2027-03-02 The yard 242.00 -58.00",
                                             "2027-03-04 The ironmonger 60.50 2.50",
                                             "2027-03-08 Ana 120.00 122.50",
                                             "2027-03-08 the client's balance -700.00 -577.50"));
}

} // namespace
} // namespace aumbry
