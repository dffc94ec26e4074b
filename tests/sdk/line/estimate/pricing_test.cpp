// From costs to the client's total, worked out by hand and against published invoices: the examples
// of EN 16931 (ConnectingEurope/eInvoicing-EN16931, ubl-tc434-example1, 5 and 8) and of Peppol BIS
// Billing 3 (Allowance-example, base-example), whose totals follow the calculation rules BR-CO-10
// to BR-CO-17.
#include "euros.hpp"
#include "fault_of.hpp"

#include "aumbry/pricing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using ::testing::ElementsAre;

CostLine cost(const char* name, const char* amount, const char* tax_paid = "0") {
    return {name, eur(amount), eur(tax_paid), std::nullopt};
}

CostLine sold_at(const char* amount, int percent) {
    return {"goods", eur(amount), eur("0"), Decimal(percent)};
}

std::optional<Decimal> maybe(const char* percent) {
    return *percent == '\0' ? std::nullopt : std::optional(Decimal::parse(percent));
}

// Goods of 1000.00, on which the maker pays 210.00 of tax, and labour of 500.00.
struct Case {
    const char* name;
    const char *contingency, *markup, *margin;
    bool recoverable;
    const char *tax_charged, *deposit_percent, *deposit;
    const char *costs, *of_contingency, *of_markup, *net, *tax, *total, *due, *balance;
};

class BuildUp : public ::testing::TestWithParam<Case> {};

TEST_P(BuildUp, IsAsWorkedOutByHand) {
    const Case& c = GetParam();
    PricingTerms terms;
    terms.currency = euro;
    terms.contingency_percent = Decimal::parse(c.contingency);
    terms.markup_percent = maybe(c.markup);
    terms.margin_percent = maybe(c.margin);
    terms.tax_paid_recoverable = c.recoverable;
    terms.tax_charged_percent = Decimal::parse(c.tax_charged);
    terms.deposit_percent = maybe(c.deposit_percent);
    if (*c.deposit != '\0') terms.deposit = eur(c.deposit);
    const PriceBuildUp made =
        build_up(terms, {cost("goods", "1000.00", "210.00"), cost("labour", "500.00")});
    EXPECT_EQ(made.costs.str(), c.costs);
    EXPECT_EQ(made.tax_paid.str(), "210.00");
    EXPECT_EQ(made.tax_as_cost.str(), c.recoverable ? "0.00" : "210.00");
    EXPECT_EQ(made.contingency.str(), c.of_contingency);
    EXPECT_EQ(made.markup.str(), c.of_markup);
    EXPECT_EQ(made.net.str(), c.net);
    EXPECT_EQ(made.tax.str(), c.tax);
    EXPECT_EQ(made.total.str(), c.total);
    EXPECT_EQ(made.deposit.str(), c.due);
    EXPECT_EQ(made.balance.str(), c.balance);
}

INSTANTIATE_TEST_SUITE_P(
    Prices, BuildUp,
    ::testing::Values(
        Case{"CostsAlone", "0", "", "", true, "0", "", "", //
             "1500.00", "0.00", "0.00", "1500.00", "0.00", "1500.00", "0.00", "1500.00"},
        Case{"TaxOnTheSale", "0", "", "", true, "21", "", "", //
             "1500.00", "0.00", "0.00", "1500.00", "315.00", "1815.00", "0.00", "1815.00"},
        // 10 % of 1500; 20 % of 1650; 21 % of 1980.
        Case{"MarkupIsOfCostsAndContingency", "10", "20", "", true, "21", "", "", //
             "1500.00", "150.00", "330.00", "1980.00", "415.80", "2395.80", "0.00", "2395.80"},
        // 1650 / 0.75 = 2200.
        Case{"MarginIsOfThePrice", "10", "", "25", true, "21", "", "", //
             "1500.00", "150.00", "550.00", "2200.00", "462.00", "2662.00", "0.00", "2662.00"},
        // 1500 / 0.67 = 2238.805...; 21 % of 2238.81 = 470.1501.
        Case{"MarginThatDoesNotComeOut", "0", "", "33", true, "21", "", "", //
             "1500.00", "0.00", "738.81", "2238.81", "470.15", "2708.96", "0.00", "2708.96"},
        // 1710; 171; 20 % of 1881 = 376.20; 21 % of 2257.20 = 474.012.
        Case{"TaxPaidIsACostWhenItCannotBeClaimedBack", "10", "20", "", false, "21", "", "", //
             "1710.00", "171.00", "376.20", "2257.20", "474.01", "2731.21", "0.00", "2731.21"},
        // Not registered for tax: pays it, charges none.
        Case{"NeitherClaimedBackNorCharged", "0", "10", "", false, "0", "", "", //
             "1710.00", "0.00", "171.00", "1881.00", "0.00", "1881.00", "0.00", "1881.00"},
        Case{"DepositAsAShareOfTheTotal", "10", "20", "", true, "21", "30", "", //
             "1500.00", "150.00", "330.00", "1980.00", "415.80", "2395.80", "718.74", "1677.06"},
        Case{"DepositAsAnAmount", "10", "20", "", true, "21", "", "500.00", //
             "1500.00", "150.00", "330.00", "1980.00", "415.80", "2395.80", "500.00", "1895.80"},
        Case{"DepositOfAllOfIt", "0", "", "", true, "0", "100", "", //
             "1500.00", "0.00", "0.00", "1500.00", "0.00", "1500.00", "1500.00", "0.00"},
        // 7.335 % of 1500 = 110.025, half a cent goes up; 0.5 % of 1610.03 = 8.05015.
        Case{"HalvesGoAwayFromZeroOnceAFigure", "7.335", "0.5", "", true, "0", "", "", //
             "1500.00", "110.03", "8.05", "1618.08", "0.00", "1618.08", "0.00", "1618.08"}),
    [](const auto& test) { return std::string(test.param.name); });

TEST(BuildUp, RoundsToTheMinorUnitOfTheCurrency) {
    // Yen have no decimals (ISO 4217): 75.075, 12 % of 1076 = 129.12, 10 % of 1205 = 120.5.
    const Currency yen{"JPY", 0};
    PricingTerms terms;
    terms.currency = yen;
    terms.contingency_percent = Decimal::parse("7.5");
    terms.markup_percent = Decimal(12);
    terms.tax_charged_percent = Decimal(10);
    const PriceBuildUp made =
        build_up(terms, {{"goods", Money(1001, yen), Money::zero(yen), std::nullopt}});
    EXPECT_EQ(made.contingency.str(), "75");
    EXPECT_EQ(made.markup.str(), "129");
    EXPECT_EQ(made.tax.str(), "121");
    EXPECT_EQ(made.total.str(), "1326");
}

TEST(BuildUp, EachRateOfTaxIsChargedOnItsShareOfContingencyAndMarkup) {
    // Goods 200 at 21 %, labour 100 at 6 %; a markup of 10 % is 20 and 10 of them: 46.20 and 6.60.
    PricingTerms terms;
    terms.currency = euro;
    terms.markup_percent = Decimal(10);
    const PriceBuildUp made = build_up(terms, {sold_at("200.00", 21), sold_at("100.00", 6)});
    ASSERT_EQ(made.taxes.size(), 2U);
    EXPECT_EQ(made.taxes[0].percent, Decimal(6));
    EXPECT_EQ(made.taxes[0].taxable, eur("110.00"));
    EXPECT_EQ(made.taxes[0].tax, eur("6.60"));
    EXPECT_EQ(made.taxes[1].taxable, eur("220.00"));
    EXPECT_EQ(made.taxes[1].tax, eur("46.20"));
    EXPECT_EQ(made.total, eur("382.80"));
}

TEST(BuildUp, StepsSayHowEachFigureCameAbout) {
    PricingTerms terms;
    terms.currency = euro;
    terms.contingency_percent = Decimal(10);
    terms.margin_percent = Decimal(25);
    terms.tax_charged_percent = Decimal(21);
    terms.deposit_percent = Decimal(50);
    std::vector<std::string> told;
    for (const PriceStep& step : build_up(terms, {cost("goods", "1500.00")}).steps)
        told.push_back(step.name + ": " + step.formula + " = " + step.amount.str());
    EXPECT_THAT(told, ElementsAre("goods:  = 1500.00", "costs: sum = 1500.00",
                                  "contingency: 10 % of 1500.00 = 150.00",
                                  "markup: margin of 25 %: 1650.00 / 0.75 - 1650.00 = 550.00",
                                  "price without tax: costs + contingency + markup = 2200.00",
                                  "tax 21 %: 21 % of 2200.00 = 462.00",
                                  "total: price without tax + tax = 2662.00",
                                  "deposit: 50 % of 2662.00 = 1331.00",
                                  "balance: total - deposit = 1331.00"));
}

TEST(BuildUp, RefusesTermsThatContradictThemselves) {
    const auto fault_with = [](auto&& change) {
        PricingTerms terms;
        terms.currency = euro;
        change(terms);
        return fault_of([&] { (void)build_up(terms, {cost("goods", "100.00")}); });
    };
    EXPECT_EQ(fault_with([](PricingTerms& t) {
                  t.markup_percent = Decimal(10);
                  t.margin_percent = Decimal(10);
              }).code,
              "markup-and-margin");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.margin_percent = Decimal(100); }).code,
              "bad-margin");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.margin_percent = Decimal(-1); }).code,
              "bad-margin");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.contingency_percent = Decimal(-1); }).code,
              "bad-percent");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.tax_charged_percent = Decimal(-1); }).code,
              "bad-percent");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.deposit_percent = Decimal(101); }).code,
              "bad-deposit");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.deposit = eur("-1.00"); }).code, "bad-deposit");
    EXPECT_EQ(fault_with([](PricingTerms& t) {
                  t.deposit = eur("1.00");
                  t.deposit_percent = Decimal(1);
              }).code,
              "bad-deposit");
    EXPECT_EQ(fault_with([](PricingTerms& t) { t.deposit = eur("100.01"); }).wrong,
              "the deposit of 100.01 is above the total of 100.00");
}

TEST(PublishedInvoices, OneRate) {
    // ubl-tc434-example8: lines add up to 908.91, 21 % is 190.87, with tax 1099.78.
    PricingTerms terms;
    terms.currency = euro;
    terms.tax_charged_percent = Decimal(21);
    std::vector<CostLine> lines;
    for (const char* amount : {"140.80", "16.16", "167.64", "88.74", "36.75", "56.50", "83.34",
                               "190.31", "64.21", "64.46"})
        lines.push_back(cost("line", amount));
    const PriceBuildUp made = build_up(terms, lines);
    EXPECT_EQ(made.net, eur("908.91"));
    EXPECT_EQ(made.tax, eur("190.87"));
    EXPECT_EQ(made.total, eur("1099.78"));
}

TEST(PublishedInvoices, TwoRates) {
    // ubl-tc434-example1: 6 % of 183.23 is 10.99, 21 % of 46.37 is 9.74, with tax 250.33.
    PricingTerms terms;
    terms.currency = euro;
    const PriceBuildUp made = build_up(terms, {sold_at("46.37", 21), sold_at("183.23", 6)});
    EXPECT_EQ(made.taxes[0].tax, eur("10.99"));
    EXPECT_EQ(made.taxes[1].tax, eur("9.74"));
    EXPECT_EQ(made.total, eur("250.33"));
}

TEST(PublishedInvoices, PrepaidByHalf) {
    // ubl-tc434-example5 (in kroner): 25 % of 1500 and 12 % of 2500; 4675.00, of which 2337.50 is
    // paid before.
    const Currency krone{"DKK", 2};
    PricingTerms terms;
    terms.currency = krone;
    terms.deposit_percent = Decimal(50);
    const Money none = Money::zero(krone);
    const PriceBuildUp made =
        build_up(terms, {{"a", Money::parse("1500.00", krone), none, Decimal(25)},
                         {"b", Money::parse("2500.00", krone), none, Decimal(12)}});
    EXPECT_EQ(made.tax.str(), "675.00");
    EXPECT_EQ(made.total.str(), "4675.00");
    EXPECT_EQ(made.deposit.str(), "2337.50");
    EXPECT_EQ(made.balance.str(), "2337.50");
}

TEST(PublishedInvoices, ExemptPartAndAnAmountPrepaid) {
    // Allowance-example: 25 % of 4900 is 1225; 1000 is exempt; 7125.00, of which 1000.00 is paid
    // before.
    PricingTerms terms;
    terms.currency = euro;
    terms.deposit = eur("1000.00");
    const PriceBuildUp made = build_up(terms, {sold_at("4900.00", 25), sold_at("1000.00", 0)});
    EXPECT_EQ(made.tax, eur("1225.00"));
    EXPECT_EQ(made.total, eur("7125.00"));
    EXPECT_EQ(made.balance, eur("6125.00"));
}

TEST(PublishedInvoices, ALineBelowZero) {
    // base-example: 2800, -1500 and a charge of 25; 25 % of 1325 is 331.25; 1656.25.
    PricingTerms terms;
    terms.currency = euro;
    terms.tax_charged_percent = Decimal(25);
    const PriceBuildUp made =
        build_up(terms, {cost("a", "2800.00"), cost("b", "-1500.00"), cost("c", "25.00")});
    EXPECT_EQ(made.tax, eur("331.25"));
    EXPECT_EQ(made.total, eur("1656.25"));
}

TEST(TaxByRate, IsRoundedOnceARateAndNotOnceALine) {
    // BR-CO-17. Line by line 21 % of 0.03 is 0.01 each, 0.03 in all; of their sum it is 0.0189.
    const std::vector<TaxAtRate> taxes = tax_by_rate({{eur("0.03"), Decimal(21)},
                                                      {eur("1.00"), Decimal(0)},
                                                      {eur("0.03"), Decimal(21)},
                                                      {eur("0.03"), Decimal(21)}});
    ASSERT_EQ(taxes.size(), 2U);
    EXPECT_EQ(taxes[0].tax, eur("0.00"));
    EXPECT_EQ(taxes[0].taxable, eur("1.00"));
    EXPECT_EQ(taxes[1].taxable, eur("0.09"));
    EXPECT_EQ(taxes[1].tax, eur("0.02"));
}

TEST(CashByDate, AddsUpWhatIsOfOneDayAndName) {
    const Date first = make_date(2027, 3, 1);
    const Date later = make_date(2027, 3, 8);
    std::vector<std::string> told;
    for (const CashRow& row : cash_by_date({{later, "North", eur("30.00")},
                                            {first, "deposit", eur("-100.00")},
                                            {later, "North", eur("12.50")},
                                            {later, "Anna", eur("80.00")}}))
        told.push_back(format_date(row.need.date) + " " + row.need.what + " " +
                       row.need.amount.str() + " " + row.so_far.str());
    EXPECT_THAT(told, ElementsAre("2027-03-01 deposit -100.00 -100.00",
                                  "2027-03-08 Anna 80.00 -20.00", "2027-03-08 North 42.50 22.50"));
}

} // namespace
} // namespace aumbry
