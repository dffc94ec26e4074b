// Working steps become dates.
#include "aumbry/schedule.hpp"

#include "aumbry/critical_path.hpp"
#include "aumbry/fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <random>

namespace aumbry {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

// 1 March 2027 is a Monday.
const Date monday = make_date(2027, 3, 1);
Date march(int day) {
    return make_date(2027, 3, day);
}
Moment at(int day, int hour, int minute = 0) {
    return {march(day), hour * 60 + minute};
}

Task task(const std::string& id, double hours, std::vector<std::string> after = {}) {
    Task task;
    task.id = id;
    task.title = id;
    task.minutes = hours * 60;
    task.after = std::move(after);
    return task;
}

Worker worker(const std::string& name, std::array<double, 7> hours,
              std::vector<DateRange> holidays = {}) {
    Worker worker;
    worker.name = name;
    worker.calendar = WorkCalendar(hours, std::move(holidays));
    return worker;
}

ScheduleProblem plan(std::vector<Task> tasks) {
    ScheduleProblem problem;
    problem.start = monday;
    problem.workers = {worker("maker", {8, 8, 8, 8, 8, 0, 0})};
    problem.tasks = std::move(tasks);
    return problem;
}

TEST(Schedule, WorkGoesOnTheNextWorkingDay) {
    const Schedule dated = schedule(plan({task("a", 27), task("b", 10, {"a"})}));
    EXPECT_EQ(dated.tasks[0].start, at(1, 8));
    EXPECT_EQ(dated.tasks[0].finish, at(4, 11));
    EXPECT_EQ(dated.tasks[1].start, at(4, 11));
    EXPECT_EQ(dated.tasks[1].finish, at(5, 13));
    EXPECT_EQ(dated.ready, march(5));
    EXPECT_THAT(dated.critical_path, ElementsAre("a", "b"));
}

TEST(Schedule, WorkDoesNotGoOnOverTheWeekend) {
    EXPECT_EQ(schedule(plan({task("a", 41)})).tasks[0].finish, at(8, 9));
}

TEST(Schedule, DryingRunsThroughTheNight) {
    ScheduleProblem problem = plan({task("first coat", 2), task("second coat", 2, {"first coat"})});
    problem.tasks[0].wait_minutes = 16 * 60; // 10:00 to 02:00
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].finish, at(1, 10));
    EXPECT_EQ(dated.tasks[0].done, at(2, 2));
    EXPECT_EQ(dated.tasks[1].start, at(2, 8));
}

TEST(Schedule, DryingRunsThroughTheWeekend) {
    ScheduleProblem problem = plan({task("coat", 40), task("assemble", 1, {"coat"})});
    problem.tasks[0].wait_minutes = 48 * 60; // Friday 16:00 to Sunday 16:00
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].finish, at(5, 16));
    EXPECT_EQ(dated.tasks[1].start, at(8, 8));
}

TEST(Schedule, TheWorkerDoesOtherWorkWhileSomethingDries) {
    ScheduleProblem problem =
        plan({task("coat", 2), task("mount", 2, {"coat"}), task("shelves", 4)});
    problem.tasks[0].wait_minutes = 240;
    const Schedule dated = schedule(problem);
    EXPECT_THAT(dated.order.at("maker"), ElementsAre("coat", "shelves", "mount"));
    EXPECT_EQ(dated.tasks[2].start, at(1, 10));
    EXPECT_EQ(dated.tasks[1].start, at(1, 14));
}

TEST(Schedule, APartTimeWeekHasItsOwnDays) {
    // Mondays and Thursdays, four hours.
    ScheduleProblem problem = plan({task("a", 10)});
    problem.workers = {worker("maker", {4, 0, 0, 4, 0, 0, 0})};
    EXPECT_EQ(schedule(problem).tasks[0].finish, at(8, 10));
}

TEST(Schedule, HolidaysAreNotWorkedAndAStartOnOneIsSaid) {
    ScheduleProblem problem = plan({task("a", 1)});
    problem.workers = {worker("maker", {8, 8, 8, 8, 8, 0, 0}, {{march(1), march(2)}})};
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].start, at(3, 8));
    ASSERT_THAT(dated.findings, SizeIs(1));
    EXPECT_EQ(
        dated.findings[0].text,
        "The start, 2027-03-01, is no working day of 'maker'; its work begins on 2027-03-03.");
}

TEST(Schedule, ASecondPairOfHandsWorksOnItsDays) {
    ScheduleProblem problem = plan({task("cut", 4), task("lift", 3, {"cut"})});
    problem.tasks[1].workers = {"Ana"};
    Worker ana = worker("Ana", {8, 8, 8, 8, 8, 0, 0});
    ana.days = {{march(6), 6}}; // a Saturday
    problem.workers.push_back(ana);
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[1].start, at(6, 8));
    EXPECT_EQ(dated.tasks[1].finish, at(6, 11));
    EXPECT_THAT(dated.findings, IsEmpty());
}

TEST(Schedule, MoreWorkThanTheDaysHoldIsSaid) {
    ScheduleProblem problem = plan({task("lift", 9)});
    problem.workers[0].days = {{march(2), 6}};
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].finish, at(3, 11));
    ASSERT_THAT(dated.findings, SizeIs(1));
    EXPECT_EQ(dated.findings[0].severity, contract::Severity::problem);
    EXPECT_EQ(dated.findings[0].text,
              "'maker' has 9 hours of work and is there for 6; the rest is planned after. Agree "
              "on more days or give the work to others.");
}

TEST(Schedule, ADeliveryDecidesTheStartAndHasItsLatestDate) {
    ScheduleProblem problem = plan({task("cut", 8), task("fit", 8, {"cut"}), task("paint", 4)});
    problem.tasks[0].needs = {"sheets"};
    problem.tasks[1].needs = {"kit"};
    problem.arrivals = {{"sheets", march(3)}, {"kit", march(2)}};
    problem.expected = problem.arrivals;
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].start, at(3, 8));
    EXPECT_EQ(dated.tasks[0].waits_for, "arrival sheets");
    EXPECT_EQ(dated.ready, march(4));
    EXPECT_THAT(dated.critical_path, ElementsAre("arrival sheets", "cut", "fit"));
    EXPECT_EQ(dated.latest_arrivals.at("sheets"), march(3));
    EXPECT_EQ(dated.latest_arrivals.at("kit"), march(4));
    // Painted on Monday; half a day on Tuesday would do.
    EXPECT_EQ(dated.tasks[2].start, at(1, 8));
    EXPECT_FALSE(dated.tasks[2].critical);
    EXPECT_EQ(dated.tasks[2].slack_days, 1);
    EXPECT_EQ(dated.tasks[2].latest_start, at(2, 12));
}

TEST(Schedule, TheJobIsNotDoneBeforeEverythingIsThere) {
    ScheduleProblem problem = plan({task("a", 1)});
    problem.arrivals = {{"mattress", march(19)}};
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.ready, march(19));
    EXPECT_THAT(dated.critical_path, ElementsAre("arrival mattress"));
}

TEST(Schedule, ATaskBeginsNotBeforeItsDate) {
    ScheduleProblem problem = plan({task("install", 2)});
    problem.tasks[0].not_before = march(13); // a Saturday
    EXPECT_EQ(schedule(problem).tasks[0].start, at(15, 8));
}

void expect_fault(const ScheduleProblem& problem, const std::string& code,
                  const std::string& sentence) {
    try {
        (void)schedule(problem);
        FAIL() << code;
    } catch (const FaultError& error) {
        EXPECT_EQ(error.faults().front().code, code);
        EXPECT_THAT(error.what(), HasSubstr(sentence));
    }
}

TEST(ScheduleFaults, ALoopIsListed) {
    expect_fault(
        plan({task("cut", 1, {"glue"}), task("glue", 1, {"cut"})}), "task-cycle",
        "the work waits for itself: 'cut' after 'glue' after 'cut'; take one of these out");
}

TEST(ScheduleFaults, AnImpossibleDuration) {
    expect_fault(plan({task("cut", -1)}), "bad-duration",
                 "task 'cut' takes -60 minutes; durations are from 0 minutes to 5 000 000");
}

TEST(ScheduleFaults, ACalendarWithoutAWorkingDay) {
    ScheduleProblem problem = plan({task("cut", 1)});
    problem.workers = {
        worker("maker", {8, 8, 8, 8, 8, 0, 0}, {{make_date(2027, 1, 1), make_date(2080, 1, 1)}})};
    expect_fault(problem, "no-working-day",
                 "'maker' has no working day on which its work could be done");
}

TEST(ScheduleFaults, TwoTasksOfOneName) {
    expect_fault(plan({task("cut", 1), task("cut", 1)}), "duplicate-task",
                 "two tasks have the id 'cut'");
}

// ---------------------------------------------------------------- what is shared

TEST(Shared, TwoWorkTogetherWhenBothAreThere) {
    ScheduleProblem problem = plan({task("cut", 2), task("lift", 3)});
    problem.tasks[1].workers = {"maker", "Ana"};
    Worker ana = worker("Ana", {8, 8, 8, 8, 8, 0, 0});
    ana.days = {{march(2), 4}};
    problem.workers.push_back(ana);
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[1].start, at(2, 8));
    EXPECT_THAT(dated.order.at("maker"), ElementsAre("cut", "lift"));
    EXPECT_THAT(dated.order.at("Ana"), ElementsAre("lift"));
}

// The maker was planned elsewhere while he carried something in with somebody else.
TEST(Shared, NobodyIsInTwoPlaces) {
    ScheduleProblem problem = plan({task("lift", 3), task("sand", 3)});
    problem.tasks[0].workers = {"Ana", "maker"};
    problem.workers.push_back(worker("Ana", {8, 8, 8, 8, 8, 0, 0}));
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].finish, at(1, 11));
    EXPECT_EQ(dated.tasks[1].start, at(1, 11));
}

TEST(Shared, TheClientsHouseIsOpenOnItsDays) {
    ScheduleProblem problem = plan({task("glue", 2), task("fit", 10, {"glue"})});
    problem.tasks[1].on_site = true;
    Worker house;
    house.name = "the client's house";
    house.day_begins = 0;
    house.days = {{march(4), 24}, {march(9), 24}};
    problem.site = house;
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[1].start, at(4, 8));
    EXPECT_EQ(dated.tasks[1].finish, at(9, 10));
}

TEST(Shared, PeopleWhoAreNeverThereTogetherAreNamed) {
    ScheduleProblem problem = plan({task("lift", 3)});
    problem.tasks[0].workers = {"maker", "Ana"};
    problem.workers.push_back(worker("Ana", {0, 0, 0, 0, 0, 8, 0}));
    expect_fault(problem, "no-working-day",
                 "'maker', 'Ana' are never there at the same time; check the hours of their weeks, "
                 "their dates and their holidays");
}

// A rack of 6 m2 carried 15 m2 on one day.
TEST(Shared, TheRackCarriesNoMoreThanItHolds) {
    ScheduleProblem problem = plan({task("a", 1), task("b", 1), task("c", 1)});
    problem.rack = 6;
    for (Task& coat : problem.tasks) {
        coat.rack = 4;
        coat.wait_minutes = 600; // 09:00 to 19:00
    }
    const Schedule dated = schedule(problem);
    EXPECT_EQ(dated.tasks[0].start, at(1, 8));
    EXPECT_EQ(dated.tasks[1].start, at(2, 8));
    EXPECT_EQ(dated.tasks[1].waits_for, "rack");
    EXPECT_EQ(dated.tasks[2].start, at(3, 8));
    problem.rack = 0; // room for everything
    EXPECT_EQ(schedule(problem).tasks[2].start, at(1, 10));
}

TEST(Shared, SlackIsInTheTimeThePlanIsKeptIn) {
    ScheduleProblem problem = plan({task("long", 20), task("short", 15)});
    problem.workers.push_back(worker("Ana", {8, 8, 8, 8, 8, 0, 0}));
    problem.tasks[1].workers = {"Ana"};
    const Schedule dated = schedule(problem);
    EXPECT_TRUE(dated.tasks[0].critical);
    EXPECT_EQ(dated.tasks[0].slack_minutes, 0);
    EXPECT_FALSE(dated.tasks[1].critical);
    EXPECT_EQ(dated.tasks[1].slack_minutes, 300);
}

// ---------------------------------------------------------------- against every order

/// The earliest finish of a small job by trying every order in which tasks can be put one after the
/// other, each as early as its hands and the rack allow; hours of the clock, no calendars. Written
/// for this test alone.
class EveryOrder {
  public:
    explicit EveryOrder(const ScheduleProblem& problem) : problem_(problem) {}

    std::int64_t earliest() {
        std::vector<Placed> placed;
        put(placed);
        return best_;
    }

  private:
    struct Placed {
        std::size_t task = 0;
        std::int64_t start = 0, finish = 0, done = 0;
    };

    [[nodiscard]] bool fits(const std::vector<Placed>& placed, std::size_t i,
                            std::int64_t start) const {
        const Task& task = problem_.tasks[i];
        const auto finish = start + static_cast<std::int64_t>(task.minutes);
        const auto done = finish + static_cast<std::int64_t>(task.wait_minutes);
        for (const Placed& other : placed) {
            const Task& its = problem_.tasks[other.task];
            const bool shared =
                std::any_of(task.workers.begin(), task.workers.end(), [&](const std::string& name) {
                    return std::find(its.workers.begin(), its.workers.end(), name) !=
                           its.workers.end();
                });
            if (shared && start < other.finish && other.start < finish) return false;
            if (std::find(task.after.begin(), task.after.end(), its.id) != task.after.end() &&
                start < other.done)
                return false;
        }
        if (task.rack <= 0) return true;
        for (std::int64_t now = start; now < done; now += 30) {
            double lying = task.rack;
            for (const Placed& other : placed)
                if (other.start <= now && now < other.done)
                    lying += problem_.tasks[other.task].rack;
            if (lying > problem_.rack + 1e-9) return false;
        }
        return true;
    }

    void put(std::vector<Placed>& placed) {
        std::int64_t latest = 0;
        for (const Placed& each : placed) latest = std::max(latest, each.done);
        if (latest >= best_) return;
        if (placed.size() == problem_.tasks.size()) {
            best_ = latest;
            return;
        }
        for (std::size_t i = 0; i < problem_.tasks.size(); ++i) {
            const Task& task = problem_.tasks[i];
            const auto is_placed = [&](const std::string& id) {
                return std::any_of(placed.begin(), placed.end(), [&](const Placed& each) {
                    return problem_.tasks[each.task].id == id;
                });
            };
            if (is_placed(task.id) || !std::all_of(task.after.begin(), task.after.end(), is_placed))
                continue;
            std::int64_t start = 0;
            while (!fits(placed, i, start)) start += 30;
            const auto finish = start + static_cast<std::int64_t>(task.minutes);
            placed.push_back(
                {i, start, finish, finish + static_cast<std::int64_t>(task.wait_minutes)});
            put(placed);
            placed.pop_back();
        }
    }

    const ScheduleProblem& problem_;
    std::int64_t best_ = std::numeric_limits<std::int64_t>::max();
};

// Placing tasks as early as possible in every order finds an optimum (active schedules; Sprecher,
// Kolisch and Drexl 1995, from memory).
TEST(AgainstEveryOrder, SharedHandsAndRackAreKeptAndLittleTimeIsLost) {
    std::mt19937_64 random(7);
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<std::uint64_t>(high - low + 1));
    };
    int as_early = 0;
    double lost = 0;
    constexpr int jobs = 200;
    for (int job = 0; job < jobs; ++job) {
        ScheduleProblem problem = plan({});
        problem.workers = {worker("maker", {24, 24, 24, 24, 24, 24, 24}),
                           worker("Ana", {24, 24, 24, 24, 24, 24, 24})};
        problem.rack = 6;
        const int count = pick(4, 7);
        for (int i = 0; i < count; ++i) {
            Task one = task("t" + std::to_string(i), 0);
            one.minutes = 30 * pick(1, 8);
            if (pick(0, 2) == 0) {
                one.rack = pick(1, 6);
                one.wait_minutes = 30 * pick(2, 12);
            }
            if (pick(0, 3) == 0) one.workers = {"Ana"};
            if (pick(0, 4) == 0) one.workers = {"maker", "Ana"};
            for (int before = 0; before < i; ++before)
                if (pick(0, 3) == 0) one.after.push_back("t" + std::to_string(before));
            problem.tasks.push_back(std::move(one));
        }
        const std::int64_t best = EveryOrder(problem).earliest();
        const Schedule dated = schedule(problem);
        const std::int64_t ours = (dated.finish.date - monday).count() * 1440 + dated.finish.minute;
        ASSERT_GE(ours, best) << "job " << job;
        if (ours == best) ++as_early;
        lost += static_cast<double>(ours - best) / static_cast<double>(best) / jobs;
    }
    EXPECT_GE(as_early, jobs * 95 / 100);
    EXPECT_LE(lost, 0.01);
}

// ---------------------------------------------------------------- rules that hold for all inputs

class RandomPlan {
  public:
    explicit RandomPlan(std::uint64_t seed) : random_(seed) {}

    int pick(int low, int high) {
        return low + static_cast<int>(random_() % static_cast<std::uint64_t>(high - low + 1));
    }

    ScheduleProblem make(int tasks, int arrivals) {
        ScheduleProblem problem = plan({});
        problem.workers[0].calendar = WorkCalendar({8, 6, 8, 4, 8, 0, 0}, {{march(9), march(11)}});
        Worker helper = worker("helper", {0, 4, 0, 4, 0, 5, 0});
        if (pick(0, 1) == 1)
            for (int day = 1; day < 25; day += pick(1, 4))
                helper.days.push_back({march(day), static_cast<double>(pick(2, 8))});
        problem.workers.push_back(helper);
        for (int i = 0; i < tasks; ++i) {
            Task one = task("t" + std::to_string(i), 0);
            one.minutes = pick(0, 9) == 0 ? 0 : pick(10, 500);
            if (pick(0, 3) == 0) one.wait_minutes = pick(30, 3000);
            if (pick(0, 2) == 0) one.workers = {"helper"};
            for (int k = 0; k < 2; ++k)
                if (i > 0 && pick(0, 1) == 1)
                    one.after.push_back("t" + std::to_string(pick(0, i - 1)));
            if (pick(0, 1) == 1) one.needs.push_back("a" + std::to_string(pick(0, arrivals - 1)));
            if (pick(0, 9) == 0) one.not_before = monday + std::chrono::days{pick(0, 30)};
            problem.tasks.push_back(std::move(one));
        }
        for (int i = 0; i < arrivals; ++i) {
            problem.arrivals["a" + std::to_string(i)] = monday + std::chrono::days{pick(0, 30)};
            problem.expected["a" + std::to_string(i)] = monday + std::chrono::days{pick(0, 10)};
        }
        return problem;
    }

  private:
    std::mt19937_64 random_;
};

TEST(ScheduleProperty, ALaterArrivalNeverGivesAnEarlierFinish) {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        RandomPlan random(seed);
        const ScheduleProblem problem = random.make(12, 4);
        const FinishDate finish_date(problem);
        auto arrivals = problem.arrivals;
        Date before = finish_date(arrivals);
        for (int step = 0; step < 15; ++step) {
            arrivals["a" + std::to_string(random.pick(0, 3))] +=
                std::chrono::days{random.pick(1, 6)};
            const Date after = finish_date(arrivals);
            ASSERT_GE(after, before) << "seed " << seed;
            before = after;
        }
    }
}

TEST(ScheduleProperty, TheFinishIsTheLatestOfWhatEachArrivalAloneLeadsTo) {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const ScheduleProblem problem = RandomPlan(seed).make(12, 4);
        const FinishDate finish_date(problem);
        Date latest = finish_date({});
        for (const auto& [id, date] : problem.arrivals)
            latest = std::max(latest, finish_date({{id, date}}));
        ASSERT_EQ(finish_date(problem.arrivals), latest) << "seed " << seed;
        ASSERT_EQ(schedule(problem).ready, latest) << "seed " << seed;
    }
}

TEST(ScheduleProperty, TheLatestArrivalDoesNotDelayTheFinishAndADayMoreDoes) {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const ScheduleProblem problem = RandomPlan(seed).make(12, 4);
        const Schedule dated = schedule(problem);
        for (const auto& [id, latest] : dated.latest_arrivals) {
            ScheduleProblem moved = problem;
            moved.arrivals[id] = latest;
            ASSERT_EQ(schedule(moved).finish, dated.finish) << "seed " << seed << " " << id;
            moved.arrivals[id] = latest + std::chrono::days{1};
            ASSERT_GT(schedule(moved).finish, dated.finish) << "seed " << seed << " " << id;
        }
    }
}

TEST(ScheduleProperty, WorkFollowsWhatItWaitsForAndOnePairOfHandsDoesOneThingAtATime) {
    for (std::uint64_t seed = 1; seed <= 300; ++seed) {
        const ScheduleProblem problem = RandomPlan(seed).make(15, 4);
        const Schedule dated = schedule(problem);
        std::map<std::string, const ScheduledTask*> by_id;
        for (const ScheduledTask& one : dated.tasks) by_id[one.id] = &one;
        for (const Task& one : problem.tasks) {
            for (const std::string& before : one.after)
                ASSERT_LE(by_id[before]->done, by_id[one.id]->start) << "seed " << seed;
            for (const std::string& need : one.needs)
                ASSERT_LE(problem.arrivals.at(need), by_id[one.id]->start.date) << "seed " << seed;
            ASSERT_LE(by_id[one.id]->start, by_id[one.id]->latest_start) << "seed " << seed;
            ASSERT_LE(by_id[one.id]->done, dated.finish) << "seed " << seed;
        }
        for (const auto& [name, order] : dated.order)
            for (std::size_t i = 1; i < order.size(); ++i)
                ASSERT_LE(by_id[order[i - 1]]->finish, by_id[order[i]]->start) << "seed " << seed;
    }
}

// With days of 24 hours and a pair of hands for each activity nothing is left of calendars.
TEST(ScheduleProperty, WithoutCalendarsItIsThePlainCriticalPath) {
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        RandomPlan random(seed);
        ScheduleProblem problem;
        problem.start = monday;
        std::vector<Activity> activities;
        for (int i = 0; i < 14; ++i) {
            Activity activity{"t" + std::to_string(i), static_cast<double>(random.pick(1, 12)), {}};
            for (int k = 0; k < 2; ++k)
                if (i > 0 && random.pick(0, 1) == 1)
                    activity.after.push_back("t" + std::to_string(random.pick(0, i - 1)));
            problem.workers.push_back(
                worker("w" + std::to_string(i), {24, 24, 24, 24, 24, 24, 24}));
            Task one = task(activity.id, activity.duration, activity.after);
            one.workers = {problem.workers.back().name};
            problem.tasks.push_back(std::move(one));
            activities.push_back(std::move(activity));
        }
        const CriticalPath path = critical_path(activities);
        const Schedule dated = schedule(problem);
        const auto hours = [&](Moment moment) {
            return static_cast<double>((moment.date - monday).count()) * 24 + moment.minute / 60.0;
        };
        EXPECT_EQ(hours(dated.finish), path.length) << "seed " << seed;
        for (std::size_t i = 0; i < activities.size(); ++i) {
            EXPECT_EQ(hours(dated.tasks[i].start), path.times[i].earliest_start) << "seed " << seed;
            EXPECT_EQ(hours(dated.tasks[i].latest_start), path.times[i].latest_start)
                << "seed " << seed;
            EXPECT_EQ(dated.tasks[i].critical, path.times[i].critical) << "seed " << seed;
        }
    }
}

} // namespace
} // namespace aumbry
