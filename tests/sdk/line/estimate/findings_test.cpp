// What is found by all stages, in one order, once.
#include "line/estimate/findings.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using contract::Finding;
using contract::Severity;
using ::testing::ElementsAre;

std::vector<std::string> codes(const std::vector<EstimateFinding>& findings) {
    std::vector<std::string> list;
    for (const EstimateFinding& each : findings) list.push_back(each.module + ':' + each.code);
    return list;
}

TEST(Findings, StandBySeverityThenByStage) {
    Resolved project;
    TakenOff taken;
    Procurement bought;
    Followed followed;
    WorkPlan work;
    taken.of_bought = {{Severity::note, "bought", "", "a"}};
    work.findings = {{Severity::caution, "network", "", "b"}};
    project.findings["wood"] = {{Severity::note, "resolve", "", "c"}};
    taken.findings["wood"] = {{Severity::problem, "take-off", "", "d"}};
    taken.findings["paint"] = {{Severity::note, "paint", "", "e"}};
    followed.findings["wood"] = {{Severity::problem, "follow", "", "f"}};
    bought.findings = {{Severity::caution, "purchase", "", "g"}};
    work.schedule.findings = {{Severity::problem, "dates", "", "h"}};
    taken.failed = {{"glass", "broke"}};
    followed.findings["kit"] = {{Severity::warning, "spring", "", "i"}};
    const auto found = findings_of(project, taken, bought, followed, work, {"old.so is too old."});
    EXPECT_THAT(codes(found),
                ElementsAre("kit:spring", "wood:take-off", "wood:follow", ":dates",
                            ":module-absent", ":network", ":purchase", ":module-refused", ":bought",
                            "wood:resolve", "paint:paint"));
    EXPECT_EQ(found[4].text, "Module 'glass' broke; its lines are not priced.");
    EXPECT_EQ(found[7].text, "old.so is too old.");
}

TEST(Findings, WhatSeveralSayAlikeStandsOnceByItsGravest) {
    Resolved project;
    TakenOff taken;
    project.findings["wood"] = {{Severity::note, "thin", "side", "It is thin."},
                                {Severity::note, "thin", "top", "It is thin."}};
    taken.findings["wood"] = {{Severity::problem, "thin", "side", "It is thin."}};
    const auto found = findings_of(project, taken, {}, {}, {}, {});
    ASSERT_EQ(found.size(), 2U);
    EXPECT_EQ(found[0].severity, Severity::problem);
    EXPECT_EQ(found[1].line, "top");
}

// What is said of the saw stood at the first sheet of the file, days after the first cut.
TEST(Findings, WhatIsSaidAtSeveralStepsStandsAtTheFirstThatBegins) {
    TakenOff taken;
    taken.findings["wood"] = {{Severity::warning, "saw", "", "It throws back.", "late"},
                              {Severity::warning, "saw", "", "It throws back.", "early"},
                              {Severity::warning, "saw", "", "It throws back.", "middle"}};
    WorkPlan work;
    for (const auto& [id, minute] :
         {std::pair{"wood/late", 900}, {"wood/early", 480}, {"wood/middle", 600}}) {
        NetworkStep step;
        step.id = id;
        work.steps.push_back(step);
        ScheduledTask dates;
        dates.start = {make_date(2027, 3, 1), minute};
        work.schedule.tasks.push_back(dates);
    }
    const auto found = findings_of({}, taken, {}, {}, work, {});
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].step, "wood/early");
}

// Every finding was compared with every other: a list of fifty thousand outdated prices took half a
// minute.
TEST(Findings, ALongListIsNoTrouble) {
    TakenOff taken;
    for (int i = 0; i < 50'000; ++i)
        taken.findings[""].push_back(
            {Severity::caution, "price-outdated", "", "The price of " + std::to_string(i / 2)});
    EXPECT_EQ(findings_of({}, taken, {}, {}, {}, {}).size(), 25'000U);
}

TEST(NotIncluded, SaysWhatTheTotalLeavesOut) {
    EstimateLine line;
    line.id = "side";
    line.title = "Side";
    line.not_priced = "no module knows it";
    TakenOff taken;
    contract::Demand demand;
    demand.id = "wood/oak";
    demand.title = "Oak";
    taken.demands = {demand};
    Procurement bought;
    bought.unmet = {{"wood/oak", "nobody sells it"}};
    PricingTerms terms;
    EXPECT_THAT(not_included({line}, bought, taken, terms, false),
                ElementsAre("Side (side): no module knows it", "Oak: nobody sells it",
                            "labour: no rate of work is stated under \"pricing\" or \"people\"",
                            "tax: what is paid is claimed back, and none is charged"));
    terms.tax_charged_percent = Decimal(21);
    EXPECT_THAT(not_included({}, {}, taken, terms, true), ElementsAre());
}

} // namespace
} // namespace aumbry
