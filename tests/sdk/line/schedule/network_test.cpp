// From steps of modules and tasks of the project to the network that is dated.
#include "line/schedule/network.hpp"

#include "aumbry/fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using contract::Phase;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::IsSupersetOf;
using ::testing::UnorderedElementsAre;

const Date first_monday = make_date(2027, 3, 1);
const Date saturday = make_date(2027, 3, 6);

ResolvedLine line(const std::string& id, const std::string& piece) {
    ResolvedLine made;
    made.line.id = id;
    made.line.piece = piece;
    return made;
}

Person person(const std::string& id) {
    Person made;
    made.id = id;
    return made;
}

/// A bed and a desk of one line each.
Resolved network_job() {
    Resolved made;
    made.start = first_monday;
    made.pieces = {{"bed", "Bed"}, {"desk", "Desk"}};
    made.lines = {line("side", "bed"), line("top", "desk")};
    made.people = {person("maker")};
    return made;
}

ModuleStep step(const std::string& id, Phase phase, std::vector<std::string> lines,
                std::vector<std::string> after = {}) {
    ModuleStep made;
    made.module = "wood";
    made.step.id = "wood/" + id;
    made.step.title = id;
    made.step.phase = phase;
    made.step.lines = std::move(lines);
    made.step.minutes = 60;
    for (const std::string& other : after) made.step.after.push_back("wood/" + other);
    return made;
}

const NetworkStep& named(const std::vector<NetworkStep>& steps, const std::string& id) {
    for (const NetworkStep& each : steps) {
        if (each.id == id) return each;
    }
    throw std::out_of_range(id);
}

std::vector<NetworkStep> network(const Resolved& project, const std::vector<ModuleStep>& steps) {
    std::vector<contract::Finding> findings;
    std::vector<NetworkStep> made = network_of(project, steps, {}, findings);
    EXPECT_THAT(findings, IsEmpty());
    return made;
}

TEST(Phases, AStepWaitsForTheNearestEarlierPhaseOfItsPiece) {
    const auto steps = network(network_job(), {step("cut_side", Phase::cut, {"side"}),
                                               step("glue_side", Phase::assemble, {"side"}),
                                               step("oil_side", Phase::finish, {"side"}),
                                               step("cut_top", Phase::cut, {"top"}),
                                               step("oil_top", Phase::finish, {"top"})});
    EXPECT_THAT(named(steps, "wood/cut_side").after, IsEmpty());
    EXPECT_THAT(named(steps, "wood/glue_side").after, ElementsAre("wood/cut_side"));
    EXPECT_THAT(named(steps, "wood/oil_side").after, ElementsAre("wood/glue_side"));
    EXPECT_THAT(named(steps, "wood/oil_top").after, ElementsAre("wood/cut_top"));
}

TEST(Phases, AStepOfTheWholeJobStandsInEveryPiece) {
    const auto steps =
        network(network_job(),
                {step("fetch", Phase::prepare, {}), step("cut_side", Phase::cut, {"side"}),
                 step("cut_top", Phase::cut, {"top"}), step("oil_top", Phase::finish, {"top"}),
                 step("sweep", Phase::complete, {})});
    EXPECT_THAT(named(steps, "wood/cut_side").after, ElementsAre("wood/fetch"));
    EXPECT_THAT(named(steps, "wood/cut_top").after, ElementsAre("wood/fetch"));
    EXPECT_THAT(named(steps, "wood/sweep").after, IsSupersetOf({"wood/cut_side", "wood/oil_top"}));
}

// The contract lets a step say that it comes after one of a later phase. It was put before and
// after that one at once, and the loop was said to stand in the user's tasks.
TEST(Phases, AStepThatComesAfterALaterPhaseStandsInThatPhase) {
    const Resolved project = network_job();
    const auto steps = network(project, {step("drill", Phase::machine, {"side"}, {"glue"}),
                                         step("glue", Phase::assemble, {"side"}),
                                         step("oil", Phase::finish, {"side"})});
    EXPECT_THAT(named(steps, "wood/glue").after, IsEmpty());
    EXPECT_THAT(named(steps, "wood/drill").after, ElementsAre("wood/glue"));
    EXPECT_THAT(named(steps, "wood/oil").after, UnorderedElementsAre("wood/drill", "wood/glue"));
    const Schedule dated = schedule(schedule_problem(project, steps, {}));
    EXPECT_THAT(dated.order.at("maker"), ElementsAre("wood/glue", "wood/drill", "wood/oil"));
}

TEST(Phases, ACoatBelongsToThePiecesOfAllPartsThatItsLineNames) {
    Resolved project = network_job();
    ResolvedLine coating = line("oil", "bed");
    for (const ResolvedLine& part : project.lines) coating.line.references.push_back(part.line);
    project.lines.push_back(coating);
    const auto steps = network(
        project, {step("coat", Phase::finish, {"oil"}), step("fit_top", Phase::install, {"top"})});
    EXPECT_THAT(named(steps, "wood/fit_top").after, ElementsAre("wood/coat"));
}

/// A bed of two parts, and a line that names them.
Resolved two_parts(const std::string& naming) {
    Resolved project = network_job();
    project.lines.push_back(line("head", "bed"));
    ResolvedLine names = line(naming, "bed");
    for (const ResolvedLine& part : project.lines)
        if (part.line.piece == "bed") names.line.references.push_back(part.line);
    project.lines.push_back(names);
    return project;
}

// Hinge plates went on before the box was glued, knobs before the fronts were varnished.
TEST(Phases, HardwareGoesOntoWhatIsPutTogetherAndCoated) {
    const auto steps =
        network(two_parts("varnish"),
                {step("knobs", Phase::fit, {"varnish"}), step("coat", Phase::finish, {"varnish"}),
                 step("glue", Phase::assemble, {"varnish"}), step("cut_head", Phase::cut, {"head"}),
                 step("cut_side", Phase::cut, {"side"})});
    EXPECT_THAT(named(steps, "wood/glue").after,
                UnorderedElementsAre("wood/cut_head", "wood/cut_side"));
    EXPECT_THAT(named(steps, "wood/coat").after, ElementsAre("wood/glue"));
    EXPECT_THAT(named(steps, "wood/knobs").after, ElementsAre("wood/coat"));
}

TEST(Phases, APartDoesNotWaitForAnotherPartOfItsPiece) {
    const auto steps = network(two_parts("glue"), {step("cut_head", Phase::cut, {"head"}),
                                                   step("cut_side", Phase::cut, {"side"}),
                                                   step("edge_side", Phase::edge, {"side"})});
    EXPECT_THAT(named(steps, "wood/edge_side").after, ElementsAre("wood/cut_side"));
}

TEST(Phases, WhatIsCarriedInIsCarriedWhole) {
    const auto steps = network(two_parts("frame"), {step("cut_head", Phase::cut, {"head"}),
                                                    step("cut_side", Phase::cut, {"side"}),
                                                    step("fix", Phase::install, {"side"})});
    EXPECT_THAT(named(steps, "wood/fix").after,
                UnorderedElementsAre("wood/cut_head", "wood/cut_side"));
}

// The panel was hung before the frame was fixed to the wall when the lines stood in that order.
TEST(Phases, FixingHangingAndSpringsComeInThatOrderWhateverTheOrderOfLines) {
    std::vector<ModuleStep> given = {
        step("springs", Phase::load, {"frame"}), step("hang", Phase::hang, {"frame"}),
        step("fix", Phase::install, {"frame"}), step("cut_side", Phase::cut, {"side"})};
    for (int i = 0; i < 24; ++i) {
        std::next_permutation(given.begin(), given.end(),
                              [](const auto& a, const auto& b) { return a.step.id < b.step.id; });
        const auto steps = network(two_parts("frame"), given);
        EXPECT_THAT(named(steps, "wood/fix").after, ElementsAre("wood/cut_side"));
        EXPECT_THAT(named(steps, "wood/hang").after, ElementsAre("wood/fix"));
        EXPECT_THAT(named(steps, "wood/springs").after, ElementsAre("wood/hang"));
    }
}

// Found by comparing every step with every other for every piece: a job of a thousand pieces took
// minutes.
TEST(Phases, AThousandPiecesAreNoTrouble) {
    Resolved project = network_job();
    project.pieces.clear();
    project.lines.clear();
    std::vector<ModuleStep> steps;
    for (int i = 0; i < 1000; ++i) {
        const std::string id = std::to_string(i);
        project.pieces.push_back({"p" + id, ""});
        project.lines.push_back(line("l" + id, "p" + id));
        steps.push_back(step("cut" + id, Phase::cut, {"l" + id}));
        steps.push_back(step("glue" + id, Phase::assemble, {"l" + id}));
    }
    for (int i = 0; i < 300; ++i)
        steps.push_back(step("sweep" + std::to_string(i), Phase::complete, {}));
    const auto made = network(project, steps);
    EXPECT_EQ(named(made, "wood/sweep299").after.size(), 1000U);
    EXPECT_THAT(named(made, "wood/glue999").after, ElementsAre("wood/cut999"));
}

TEST(Tasks, ATaskSaysWhatItWaitsForBesideWhatItsPhaseSays) {
    Resolved project = network_job();
    ProjectTask hang;
    hang.id = "hang";
    hang.piece = "bed";
    hang.phase = Phase::hang;
    hang.after = {"wood/cut_top"};
    project.tasks = {hang};
    const auto steps = network(
        project, {step("cut_top", Phase::cut, {"top"}), step("oil_side", Phase::finish, {"side"})});
    EXPECT_THAT(named(steps, "hang").after, ElementsAre("wood/cut_top", "wood/oil_side"));
}

TEST(Tasks, ATaskSaysWhatMustNotBeginBeforeIt) {
    Resolved project = network_job();
    ProjectTask carry;
    carry.id = "carry";
    carry.piece = "bed";
    carry.phase = Phase::carry_in;
    carry.before = {"wood/wait_for_me", "nobody"};
    project.tasks = {carry};
    std::vector<contract::Finding> findings;
    const auto steps =
        network_of(project, {step("wait_for_me", Phase::prepare, {"top"})}, {}, findings);
    EXPECT_THAT(named(steps, "wood/wait_for_me").after, ElementsAre("carry"));
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].text, "The task 'carry' comes before 'nobody', which is no task or step; "
                                "take it out");
}

TEST(Tasks, ARingOfBeforeAndAfterNamesTheRing) {
    Resolved project = network_job();
    ProjectTask paint;
    paint.id = "paint";
    paint.after = {"hang"};
    paint.before = {"hang"};
    ProjectTask hang;
    hang.id = "hang";
    project.tasks = {paint, hang};
    try {
        (void)schedule(schedule_problem(project, network(project, {}), {}));
        FAIL();
    } catch (const FaultError& error) {
        EXPECT_STREQ(error.what(), "the work waits for itself: 'paint' after 'hang' after 'paint'; "
                                   "take one of these out");
    }
}

TEST(Tasks, ANameThatMeansNothingIsAFindingWithTheNearest) {
    Resolved project = network_job();
    ProjectTask hang;
    hang.id = "hang";
    hang.after = {"sied"};
    project.tasks = {hang};
    std::vector<contract::Finding> findings;
    (void)network_of(project, {}, {}, findings);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].text, "The task 'hang' waits for 'sied', which is no task, step or line; "
                                "did you mean 'side'?");
}

/// The hours of a helper on the days on which it is there.
std::vector<double> hours_there(const WorkCalendar& calendar, const std::vector<Date>& dates) {
    Resolved project = network_job();
    Person helper = person("ana");
    helper.calendar = calendar;
    helper.dates = dates;
    project.people.push_back(helper);
    const ScheduleProblem problem = schedule_problem(project, {}, {});
    std::vector<double> hours;
    for (const Worker::Day& day : problem.workers.at(1).days) hours.push_back(day.hours);
    return hours;
}

// A helper of four hours a day was planned for eight on the days on which it is there.
TEST(People, AHelperIsThereForTheHoursThatItStates) {
    const WorkCalendar half_days({4, 4, 4, 4, 4, 0, 0}, {});
    EXPECT_THAT(hours_there(half_days, {first_monday}), ElementsAre(4));
    EXPECT_THAT(hours_there(half_days, {saturday}), ElementsAre(4));
    EXPECT_THAT(hours_there(WorkCalendar({6, 10, 10, 10, 10, 0, 0}, {}), {first_monday, saturday}),
                ElementsAre(6, 6));
    EXPECT_THAT(hours_there(WorkCalendar(), {first_monday, saturday}), ElementsAre(8, 8));
}

TEST(People, TheHelpersDaysDecideWhenTwoWorkTogether) {
    Resolved project = network_job();
    Person helper = person("ana");
    helper.dates = {make_date(2027, 3, 3)};
    project.people.push_back(helper);
    ProjectTask lift;
    lift.id = "lift";
    lift.minutes = 120;
    lift.who = {"maker", "ana"};
    project.tasks = {lift};
    const Schedule dated = schedule(schedule_problem(project, network(project, {}), {}));
    EXPECT_EQ(dated.tasks.at(0).start.date, make_date(2027, 3, 3));
}

// Both were booked for the maker alone.
TEST(People, WorkForTwoHasTwoOrIsAProblem) {
    Resolved project = network_job();
    ModuleStep lift = step("lift", Phase::carry_in, {"side"});
    lift.step.people = 2;
    std::vector<contract::Finding> findings;
    EXPECT_THAT(named(network_of(project, {lift}, {}, findings), "wood/lift").who,
                ElementsAre("maker"));
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].text,
              "'lift' is work for 2 people, and the project has only the maker: add a helper under "
              "\"people\", with the days on which he comes.");
    project.people.push_back(person("ana"));
    EXPECT_THAT(named(network(project, {lift}), "wood/lift").who, ElementsAre("maker", "ana"));
}

TEST(Measuring, PartsWaitUntilWhatDecidesTheirSizeIsMeasured) {
    Resolved project = network_job();
    project.lines[1].depends_on = {"side"};
    contract::Demand mattress;
    mattress.id = "wood/mattress";
    mattress.title = "Mattress";
    mattress.decides_sizes = true;
    mattress.shares = {{"side", 1}};
    ModuleStep rest = step("rest", Phase::prepare, {"side"});
    rest.step.needs = {"wood/mattress"};
    rest.step.measures = {"wood/mattress"};
    std::vector<contract::Finding> findings;
    const auto steps =
        network_of(project, {step("cut_top", Phase::cut, {"top"}), rest}, {mattress}, findings);
    EXPECT_THAT(named(steps, "wood/cut_top").after, ElementsAre("wood/rest"));
    EXPECT_THAT(named(steps, "wood/cut_top").needs, ElementsAre("wood/mattress"));
}

Worked worked(const std::string& on, double hours, bool done = false) {
    Worked made;
    made.step = on;
    made.who = "maker";
    made.minutes = hours * 60;
    made.done = done;
    return made;
}

TEST(WorkedAlready, IsTakenOffEverybodysTime) {
    Resolved project = network_job();
    ModuleStep carry = step("carry", Phase::install, {"side"});
    carry.step.minutes = 300;
    carry.step.people = 2;
    project.people.push_back(person("ana"));
    project.worked = {worked("wood/carry", 3), worked("wood/carry", 1)};
    auto steps = network(project, {carry});
    take_off_worked(project, steps);
    EXPECT_EQ(steps.at(0).worked_minutes, 240);
    EXPECT_EQ(steps.at(0).minutes, 180); // 5 h of each less 2 h of each
    EXPECT_FALSE(steps.at(0).done);
}

TEST(WorkedAlready, WhatIsDoneHoldsNothingUpButWhatItWaitedForDoes) {
    Resolved project = network_job();
    project.worked = {worked("wood/glue", 1, true)};
    auto steps = network(project, {step("cut", Phase::cut, {"side"}),
                                   step("glue", Phase::assemble, {"side"}),
                                   step("oil", Phase::finish, {"side"})});
    take_off_worked(project, steps);
    EXPECT_EQ(named(steps, "wood/glue").minutes, 0);
    EXPECT_THAT(named(steps, "wood/oil").after, ElementsAre("wood/cut"));
}

TEST(WorkedAlready, OnWhatIsNoStepAnyMoreStaysACost) {
    Resolved project = network_job();
    project.worked = {worked("wood/plane", 2), worked("wood/plane", 1), worked("wood/rip", 1)};
    auto steps = network(project, {step("cut", Phase::cut, {"side"})});
    take_off_worked(project, steps);
    ASSERT_EQ(steps.size(), 3U);
    EXPECT_EQ(named(steps, "wood/plane").worked_minutes, 180);
    EXPECT_TRUE(named(steps, "wood/plane").done);
    EXPECT_EQ(named(steps, "wood/rip").who, std::vector<std::string>{"maker"});
}

} // namespace
} // namespace aumbry
