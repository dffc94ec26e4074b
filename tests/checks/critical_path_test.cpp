// Published activity networks.
#include "aumbry/critical_path.hpp"

#include "aumbry/fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

namespace aumbry {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

struct Row {
    std::string id;
    double duration;
    std::vector<std::string> after;
    double earliest_start, earliest_finish, latest_start, latest_finish, slack;
};

// Hillier and Lieberman, Introduction to Operations Research, the Reliable Construction Co.
// project: durations and the 44 weeks as published, some predecessors from memory; all rows
// recomputed by hand.
const std::vector<Row> construction = {
    {"A", 2, {}, 0, 2, 0, 2, 0},        {"B", 4, {"A"}, 2, 6, 2, 6, 0},
    {"C", 10, {"B"}, 6, 16, 6, 16, 0},  {"D", 6, {"C"}, 16, 22, 20, 26, 4},
    {"E", 4, {"C"}, 16, 20, 16, 20, 0}, {"F", 5, {"E"}, 20, 25, 20, 25, 0},
    {"G", 7, {"D"}, 22, 29, 26, 33, 4}, {"H", 9, {"E", "G"}, 29, 38, 33, 42, 4},
    {"I", 7, {"C"}, 16, 23, 18, 25, 2}, {"J", 8, {"F", "I"}, 25, 33, 25, 33, 0},
    {"K", 4, {"J"}, 33, 37, 34, 38, 1}, {"L", 5, {"J"}, 33, 38, 33, 38, 0},
    {"M", 2, {"H"}, 38, 40, 42, 44, 4}, {"N", 6, {"K", "L"}, 38, 44, 38, 44, 0},
};

std::vector<Activity> activities(const std::vector<Row>& rows) {
    std::vector<Activity> result;
    for (const Row& row : rows) result.push_back({row.id, row.duration, row.after});
    return result;
}

TEST(CriticalPathOfPublishedNetworks, ConstructionProjectTakes44Weeks) {
    const CriticalPath path = critical_path(activities(construction));
    EXPECT_EQ(path.length, 44);
    EXPECT_THAT(path.path, ElementsAre("A", "B", "C", "E", "F", "J", "L", "N"));
    for (std::size_t i = 0; i < construction.size(); ++i) {
        SCOPED_TRACE(construction[i].id);
        EXPECT_EQ(path.times[i].earliest_start, construction[i].earliest_start);
        EXPECT_EQ(path.times[i].earliest_finish, construction[i].earliest_finish);
        EXPECT_EQ(path.times[i].latest_start, construction[i].latest_start);
        EXPECT_EQ(path.times[i].latest_finish, construction[i].latest_finish);
        EXPECT_EQ(path.times[i].slack, construction[i].slack);
        EXPECT_EQ(path.times[i].critical, construction[i].slack == 0);
    }
}

// Taylor, Introduction to Management Science, solutions to chapter 8, problem 1.
TEST(CriticalPathOfPublishedNetworks, TextbookNetworkTakes20) {
    const std::vector<Row> rows = {
        {"1-2", 7, {}, 0, 7, 2, 9, 2},
        {"1-3", 10, {}, 0, 10, 0, 10, 0},
        {"2-4", 6, {"1-2"}, 7, 13, 9, 15, 2},
        {"3-4", 5, {"1-3"}, 10, 15, 10, 15, 0},
        {"3-5", 4, {"1-3"}, 10, 14, 14, 18, 4},
        {"4-5", 3, {"2-4", "3-4"}, 15, 18, 15, 18, 0},
        {"5-6", 2, {"3-5", "4-5"}, 18, 20, 18, 20, 0},
    };
    const CriticalPath path = critical_path(activities(rows));
    EXPECT_EQ(path.length, 20);
    EXPECT_THAT(path.path, ElementsAre("1-3", "3-4", "4-5", "5-6"));
    for (std::size_t i = 0; i < rows.size(); ++i) {
        SCOPED_TRACE(rows[i].id);
        EXPECT_EQ(path.times[i].earliest_start, rows[i].earliest_start);
        EXPECT_EQ(path.times[i].earliest_finish, rows[i].earliest_finish);
        EXPECT_EQ(path.times[i].latest_start, rows[i].latest_start);
        EXPECT_EQ(path.times[i].latest_finish, rows[i].latest_finish);
        EXPECT_EQ(path.times[i].slack, rows[i].slack);
    }
}

TEST(CriticalPath, ALoopIsListed) {
    try {
        (void)critical_path({{"cut", 1, {"glue"}},
                             {"glue", 1, {"sand"}},
                             {"sand", 1, {"cut"}},
                             {"pack", 1, {"sand"}}});
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_EQ(error.faults().front().code, "task-cycle");
        EXPECT_THAT(
            error.what(),
            HasSubstr("the work waits for itself: 'cut' after 'glue' after 'sand' after 'cut'"));
    }
}

TEST(CriticalPath, AnUnknownPredecessorIsNamedWithTheNearest) {
    try {
        (void)critical_path({{"glue_up", 1, {}}, {"sand", 1, {"glue_upp"}}});
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_THAT(error.what(), HasSubstr("task 'sand' comes after 'glue_upp', which does not "
                                            "exist; did you mean 'glue_up'?"));
    }
}

} // namespace
} // namespace aumbry
