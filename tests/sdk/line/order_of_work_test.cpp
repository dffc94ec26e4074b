// Orders, work and the client's days as dates, on jobs that can be worked out by hand.
#include "line/small_job.hpp"

#include "aumbry/fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::StartsWith;

// 1 March 2027, the start of the jobs, is a Monday.

/// A hinge that takes five working days to come, and a task that waits for it.
struct Waiting {
    PriceLists lists;

    Waiting() { lists.dealer("north", "EUR", "0", "HINGE,item,Hinge,8.00,each,5,hinge\r\n"); }

    [[nodiscard]] Estimate priced(const std::string& more = "",
                                  const std::string& task = R"("hours": "2 h")") const {
        return estimate(
            job("Box", item("hinges", "hinge", 2),
                R"("tasks": {"hang": {"title": "Hang the lid", "piece": "box", "after": ["hinges"], )" +
                    task + "}}" + (more.empty() ? "" : ", " + more)),
            host(), lists.catalog());
    }
};

std::vector<std::string> problems(const Estimate& made) {
    std::vector<std::string> texts;
    for (const EstimateFinding& finding : made.findings)
        if (finding.severity == contract::Severity::problem) texts.push_back(finding.text);
    return texts;
}

const EstimateTask& task(const Estimate& made, const std::string& id) {
    for (const EstimateTask& each : made.schedule.tasks)
        if (each.id == id) return each;
    throw std::out_of_range(id);
}

TEST(OrdersFrom, ADayOfTheirOwnBeforeWorkBegins) {
    const Waiting job;
    EXPECT_EQ(job.priced().schedule.ready, make_date(2027, 3, 8));
    const Estimate early = job.priced(R"("orders_from": "2027-02-19")");
    EXPECT_EQ(early.schedule.ready, make_date(2027, 3, 1));
    EXPECT_EQ(early.schedule.orders_from, make_date(2027, 2, 19));
    // In hand on Friday the 26th; ordered on the 22nd it would be on Monday, as work begins.
    EXPECT_EQ(early.schedule.accept_by, make_date(2027, 2, 22));
}

TEST(OrdersFrom, AfterTheStartIsAFault) {
    try {
        (void)Waiting().priced(R"("orders_from": "2027-03-02")");
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_THAT(error.what(),
                    HasSubstr("orders go out on 2027-03-02, after work begins on 2027-03-01; leave "
                              "it out, or order before the start"));
    }
}

TEST(WantedBy, IsNotMentionedWhenItIsKept) {
    EXPECT_THAT(problems(Waiting().priced(R"("wanted_by": "2027-03-08")")), IsEmpty());
}

TEST(WantedBy, ByHowMuchItIsMissedAndWhatWouldMeetIt) {
    EXPECT_THAT(problems(Waiting().priced(R"("wanted_by": "2027-03-05")")),
                Contains("The job is ready on 2027-03-08, 3 days after the client's wish, "
                         "2027-03-05. Goods decide it: with all of them in hand at the start it is "
                         "ready on 2027-03-01; order earlier (\"orders_from\") or elsewhere."));
    EXPECT_THAT(
        problems(Waiting().priced(R"("wanted_by": "2027-03-02")", R"("hours": "30 h")")),
        Contains("The job is ready on 2027-03-11, 9 days after the client's wish, 2027-03-02. Work "
                 "decides it: even with all goods in hand at the start it is ready on 2027-03-04; "
                 "begin 2 days earlier (\"start\"), or give some of it to a helper (\"people\")."));
}

TEST(Site, WorkThereWaitsUntilItIsOpen) {
    const Waiting job;
    const std::string there = R"("hours": "2 h", "phase": "install")";
    EXPECT_EQ(job.priced(R"("site": {"dates": ["2027-03-12"]})", there).schedule.ready,
              make_date(2027, 3, 12));
    EXPECT_EQ(job.priced(R"("site": {"weekdays": ["wednesday"]})", there).schedule.ready,
              make_date(2027, 3, 10));
    EXPECT_EQ(job.priced(R"("site": {"dates": ["2027-03-12"]})").schedule.ready,
              make_date(2027, 3, 8))
        << "assembled in the workshop";
}

TEST(Site, WorkBeyondItsDaysIsAProblem) {
    EXPECT_THAT(problems(Waiting().priced(R"("site": {"dates": ["2027-03-10"]})",
                                          R"("hours": "12 h", "phase": "install")")),
                Contains(StartsWith("Work at the client's house goes on until 2027-03-11, and the "
                                    "last day on which it is open is 2027-03-10")));
}

TEST(Trips, AreWorkThatGoodsWaitFor) {
    PriceLists lists;
    lists.dealer("north", "EUR", "50.00", "HINGE,item,Hinge,8.00,each,0,hinge\r\n");
    const std::string or_collect = R"(50.00", "collect": {"cost": "4.00"}, "x-note": ")";
    lists.dealer("west", "EUR", or_collect, "KNOB,item,Knob,3.00,each,0,knob\r\n");
    const std::string vehicle =
        R"("vehicle": {"length": "2 m", "width": "1 m", "trip": "45 min"}, "pricing": {"rate": "40"})";
    const Estimate made = estimate(
        job("Box", item("hinges", "hinge", 2) + ", " + item("knobs", "knob", 2),
            R"("tasks": {"hang": {"piece": "box", "hours": "1 h", "after": ["knobs"]}}, )" +
                vehicle),
        host(), lists.catalog());
    const EstimateTask& trip = task(made, "fetch/west");
    EXPECT_EQ(trip.minutes, 45);
    EXPECT_EQ(trip.cost.str(), "30.00");
    EXPECT_THAT(task(made, "hang").after, Contains("fetch/west"));
    EXPECT_THROW((void)task(made, "fetch/north"), std::out_of_range) << "it is brought";
}

// One hundred and the tax that the maker cannot claim back are cost, and the client is charged tax
// on both: 100 x 1.21 x 1.21. The tax paid was missing, and the total 121.00.
TEST(QuotedPrice, CarriesTax) {
    PriceLists lists;
    lists.dealer("north", "EUR", "0", "HINGE,item,Hinge,8.00,each,0,hinge\r\n");
    const auto total = [&](const std::string& said) {
        return estimate(job("Box",
                            R"("cushion": {"kind": "item", "piece": "box", "price": "100", )"
                            R"("quoted_by": "an upholsterer")" +
                                said + "}",
                            R"("pricing": {"tax_recoverable": false, "tax_charged": 21})"),
                        host(), lists.catalog())
            .totals.total.str();
    };
    EXPECT_EQ(total(""), "146.41");
    EXPECT_EQ(total(R"(, "tax": 0)"), "121.00");
    EXPECT_EQ(total(R"(, "tax": 9)"), "131.89");
    EXPECT_EQ(total(R"(, "tax": 25, "tax_included": true)"), "121.00");
}

TEST(Services, AreThereForTheWorkThatNeedsThem) {
    PriceLists lists;
    lists.dealer("hire", "EUR", "0", "SAW,service,Track saw,40.00,each,2,track saw\r\n");
    const Estimate made = estimate(
        job("Box",
            R"("saw": {"kind": "service", "piece": "box", "type": "track saw", "phase": "cut"})",
            R"("tasks": {"cut": {"piece": "box", "hours": "1 h", "phase": "cut"},)"
            R"( "glue": {"piece": "box", "hours": "20 h"}})"),
        host(), lists.catalog());
    EXPECT_EQ(task(made, "cut").start, make_date(2027, 3, 3));
    EXPECT_EQ(made.purchases.at(0).order_by, make_date(2027, 3, 1)) << "not by the last day";
}

TEST(Cash, HasStagesAndTheTaxThatIsOwed) {
    PriceLists lists;
    lists.dealer("north", "EUR", "0", "HINGE,item,Hinge,50.00,each,0,hinge\r\n");
    const Estimate made =
        estimate(job("Box", item("hinges", "hinge", 2),
                     R"("pricing": {"tax_charged": 20}, "quote": {"stages": [)"
                     R"({"title": "with the order", "percent": 50},)"
                     R"( {"title": "when it is painted", "percent": 25, "on": "2027-03-03"}]})"),
                 host(), lists.catalog());
    std::vector<std::string> told;
    for (const EstimateCash& row : made.cash)
        told.push_back(format_date(row.date) + ' ' + row.what + ' ' + row.amount.str());
    EXPECT_THAT(told,
                ::testing::UnorderedElementsAre(
                    "2027-03-01 north 100.00", "2027-03-01 the client pays: with the order -60.00",
                    "2027-03-03 the client pays: when it is painted -30.00",
                    "2027-03-01 the client pays the rest -30.00",
                    "2027-03-01 tax charged, to be paid over 20.00"));
}

// 60 hours of eight a day from Monday, 1 March 2027: five days, and two and a half of the next
// week.
TEST(Weeks, HaveTheMakersOwnHoursBesideTheMoney) {
    PriceLists lists;
    lists.dealer("north", "EUR", "0", "HINGE,item,Hinge,50.00,each,0,hinge\r\n");
    const Estimate made =
        estimate(job("Box", item("hinges", "hinge", 2),
                     R"("tasks": {"build": {"piece": "box", "hours": "60 h"},)"
                     R"( "hang": {"piece": "box", "hours": "3 h", "who": ["mate"]}},)"
                     R"( "people": {"mate": {"rate": "20"}}, "pricing": {"deposit": 50},)"
                     R"( "orders_from": "2027-02-26")"),
                 host(), lists.catalog());
    std::vector<std::string> told;
    for (const EstimateWeek& week : made.weeks)
        told.push_back(format_date(week.from) + " out " + week.out.str() + " in " + week.in.str() +
                       " hours " + std::to_string(week.hours).substr(0, 4));
    // The hinges are 100.00, the mate 60.00: 160.00, of which half comes with the orders.
    EXPECT_THAT(told, ::testing::ElementsAre("2027-02-22 out 0.00 in 80.00 hours 0.00",
                                             "2027-03-01 out 60.00 in 0.00 hours 40.0",
                                             "2027-03-08 out 100.00 in 80.00 hours 20.0"));
}

TEST(NotCounted, AreTripsThatTakeNoTime) {
    PriceLists lists;
    const std::string collect = R"(50.00", "collect": {"cost": "4.00"}, "x-note": ")";
    lists.dealer("west", "EUR", collect, "KNOB,item,Knob,3.00,each,0,knob\r\n");
    const auto not_counted = [&](const std::string& trip) {
        return estimate(
                   job("Box", item("knobs", "knob", 2),
                       R"("vehicle": {"length": "2 m", "width": "1 m", "trip": ")" + trip + "\"}"),
                   host(), lists.catalog())
            .not_counted;
    };
    EXPECT_THAT(not_counted("45 min"), IsEmpty());
    EXPECT_THAT(not_counted("0 min"), ::testing::ElementsAre("fetching what is collected"));
}

} // namespace
} // namespace aumbry
