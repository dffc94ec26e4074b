// What is wrong with suppliers and prices is said in a sentence each, and the rest is bought.
#include "small_market.hpp"

#include "aumbry/fault.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using namespace test;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

/// Glue for 10 from "north", and whatever a case adds.
ProcureProblem glue_from_north() {
    ProcureProblem market = problem();
    market.suppliers = {supplier("north")};
    market.offers = {offer("north", "glue", "10")};
    market.demands = {amount("a/glue", 1, "each", {{"north/glue", 1}})};
    return market;
}

/// The sentences, once the glue is bought for 10.
std::vector<std::string> said_beside_glue(const ProcureProblem& market) {
    const Procurement bought = procure(market);
    EXPECT_EQ(bought.cost, euros("10"));
    EXPECT_TRUE(bought.proven);
    std::vector<std::string> sentences;
    for (const contract::Finding& finding : bought.findings) sentences.push_back(finding.text);
    return sentences;
}

void add_cheaper_glue(ProcureProblem& market, const SupplierTerms& terms) {
    market.suppliers.push_back(terms);
    market.offers.push_back(offer(terms.supplier.id, "glue", "1"));
    market.demands[0].amount->offers.push_back({terms.supplier.id + "/glue", 1});
}

SupplierTerms abroad(const std::string& id, const std::string& code) {
    SupplierTerms terms = supplier(id);
    terms.supplier.currency = currency(code);
    terms.supplier.delivery.flat = Money::zero(terms.supplier.currency);
    return terms;
}

TEST(ProcureBadInput, NothingIsSaidOfWhatIsSound) {
    EXPECT_THAT(said_beside_glue(glue_from_north()), IsEmpty());
}

TEST(ProcureBadInput, LeastQuantityAboveStock) {
    ProcureProblem market = glue_from_north();
    add_cheaper_glue(market, supplier("south"));
    market.offers.back().min_quantity = 5;
    market.offers.back().limit = 2;
    EXPECT_THAT(
        said_beside_glue(market),
        ElementsAre("'south/glue' has a minimum quantity of 5 but only 2 in stock, so it is "
                    "left out. Correct the row or ask the supplier."));
}

TEST(ProcureBadInput, CurrencyWithoutRate) {
    ProcureProblem market = glue_from_north();
    add_cheaper_glue(market, abroad("west", "USD"));
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("No rate to EUR is stated for USD ('west'): this supplier is left out. "
                            "State a dated rate, or exclude it."));
}

TEST(ProcureBadInput, CurrenciesWithoutRateAreSaidInOneSentence) {
    ProcureProblem market = glue_from_north();
    for (const char* id : {"east", "west", "yonder"}) add_cheaper_glue(market, abroad(id, "USD"));
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("No rate to EUR is stated for USD ('east', 'west', 'yonder'): these "
                            "suppliers are left out. State a dated rate, or exclude them."));
    add_cheaper_glue(market, abroad("isle", "GBP"));
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("No rate to EUR is stated for GBP ('isle'), USD ('east', 'west', "
                            "'yonder'): these suppliers are left out. State a dated rate, or "
                            "exclude them."));
}

TEST(ProcureBadInput, ExcludedSupplierNeedsNoRate) {
    ProcureProblem market = glue_from_north();
    SupplierTerms terms = abroad("west", "USD");
    terms.excluded = true;
    add_cheaper_glue(market, terms);
    EXPECT_THAT(said_beside_glue(market), IsEmpty());
}

TEST(ProcureBadInput, TwoSuppliersOfOneId) {
    ProcureProblem market = glue_from_north();
    market.suppliers.push_back(supplier("north", "90"));
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("Two suppliers have the id 'north'; the second is left out. Give each "
                            "its own id."));
}

TEST(ProcureBadInput, CalendarWithoutAWorkingDay) {
    ProcureProblem market = glue_from_north();
    SupplierTerms terms = supplier("shut");
    terms.supplier.calendar =
        WorkCalendar({8, 8, 8, 8, 8, 0, 0}, {{make_date(2027, 1, 1), make_date(2080, 1, 1)}});
    add_cheaper_glue(market, terms);
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("The calendar of supplier 'shut' has no working day; it is left out. "
                            "Check its weekdays and holidays."));
}

TEST(ProcureBadInput, PriceThatHasExpired) {
    ProcureProblem market = glue_from_north();
    add_cheaper_glue(market, supplier("south"));
    market.offers.back().valid_to = make_date(2027, 1, 31);
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("The price of 'south/glue' held until 2027-01-31 and the project is "
                            "priced on 2027-02-01; it is left out. Ask for a new price."));
}

TEST(ProcureBadInput, DemandThatNobodyCanFill) {
    ProcureProblem market = glue_from_north();
    market.offers.push_back(offer("north", "oil", "30"));
    market.offers.back().limit = 1;
    market.demands.push_back(amount("a/oil", 2, "each", {{"north/oil", 1}}));
    EXPECT_THAT(said_beside_glue(market),
                ElementsAre("Nobody can fill 'a/oil': stock does not suffice for 2 each. It is not "
                            "in the total; find a supplier or change the line."));
}

} // namespace
} // namespace aumbry
