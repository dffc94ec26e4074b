// What the client is shown, from estimates made by hand; tax as EN 16931 has it, once a rate on the
// sum (BR-CO-17).
#include "euros.hpp"
#include "fault_of.hpp"

#include "aumbry/quote.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace aumbry {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

Part piece(const char* id, const char* title, const char* total) {
    Part part;
    part.id = id;
    part.title = title;
    part.totals.total = eur(total);
    return part;
}

EstimateLine line(const char* id, const char* piece, const char* title) {
    EstimateLine made;
    made.id = id;
    made.piece = piece;
    made.title = title;
    return made;
}

/// A bed and a desk for 1000.00 without tax, at 21 %; the bed is three quarters of it.
Estimate two_pieces() {
    Estimate estimate;
    estimate.title = "Loft";
    estimate.currency = euro;
    estimate.priced_on = make_date(2027, 2, 1);
    estimate.schedule.ready = make_date(2027, 4, 2);
    estimate.by_piece = {piece("bed", "Bed", "907.50"), piece("desk", "Desk", "302.50")};
    estimate.lines = {line("side", "bed", "Side"), line("other_side", "bed", "Side"),
                      line("top", "desk", "Top"), line("lamp", "desk", "Lamp")};
    estimate.lines[3].not_priced = "no module prices it";
    estimate.sale.net = eur("1000.00");
    estimate.pricing.terms.currency = euro;
    estimate.pricing.terms.tax_charged_percent = Decimal(21);
    return estimate;
}

std::vector<std::string> prices(const Quote& quote) {
    std::vector<std::string> told;
    for (const QuotePart& part : quote.parts) told.push_back(part.title + " " + part.price.str());
    return told;
}

std::vector<std::string> stages(const Quote& quote) {
    std::vector<std::string> told;
    for (const QuoteStage& stage : quote.stages)
        told.push_back(stage.title + " " + stage.amount.str());
    return told;
}

TEST(Quote, SplitsThePriceWithoutTaxOverThePieces) {
    const Quote quote = quote_of(two_pieces());
    EXPECT_THAT(prices(quote), ElementsAre("Bed 750.00", "Desk 250.00"));
    EXPECT_EQ(quote.net, eur("1000.00"));
    ASSERT_EQ(quote.taxes.size(), 1U);
    EXPECT_EQ(quote.taxes[0].taxable, eur("1000.00"));
    EXPECT_EQ(quote.taxes[0].tax, eur("210.00"));
    EXPECT_EQ(quote.total, eur("1210.00"));
    EXPECT_EQ(quote.ready, make_date(2027, 4, 2));
}

TEST(Quote, SaysEachTitleOnceAndNothingThatIsNotPriced) {
    const Quote quote = quote_of(two_pieces());
    EXPECT_THAT(quote.parts[0].included, ElementsAre("Side"));
    EXPECT_THAT(quote.parts[1].included, ElementsAre("Top"));
}

TEST(Quote, RoundsEachPieceAndTaxesTheRoundedSum) {
    // 1111.11 over three quarters and one: 833.33 and 277.78; to tens: 830 and 280; 21 % of 1110.
    Estimate estimate = two_pieces();
    estimate.sale.net = eur("1111.11");
    estimate.pricing.rounded_to = eur("10.00");
    const Quote quote = quote_of(estimate);
    EXPECT_THAT(prices(quote), ElementsAre("Bed 830.00", "Desk 280.00"));
    EXPECT_EQ(quote.net, eur("1110.00"));
    EXPECT_EQ(quote.total, eur("1343.10"));
    // Halfway goes up: 745.00 and 255.00 are 750 and 260.
    estimate.by_piece = {piece("bed", "Bed", "745.00"), piece("desk", "Desk", "255.00")};
    estimate.sale.net = eur("1000.00");
    EXPECT_THAT(prices(quote_of(estimate)), ElementsAre("Bed 750.00", "Desk 260.00"));
}

TEST(Quote, WithoutTaxSaysNoRate) {
    Estimate estimate = two_pieces();
    estimate.pricing.terms.tax_charged_percent = Decimal(0);
    const Quote quote = quote_of(estimate);
    EXPECT_THAT(quote.taxes, IsEmpty());
    EXPECT_EQ(quote.total, quote.net);
}

TEST(Quote, StagesAddUpToTheTotalAndTheLastTakesTheRest) {
    Estimate estimate = two_pieces();
    EXPECT_THAT(stages(quote_of(estimate)), ElementsAre("when the job is done 1210.00"));
    estimate.pricing.terms.deposit_percent = Decimal(30);
    EXPECT_THAT(stages(quote_of(estimate)),
                ElementsAre("with the order 363.00", "when the job is done 847.00"));
    // A third of 1210.00 is 403.333 each time.
    estimate.papers.stages = {{"with the order", Decimal::parse("33.3333")},
                              {"on delivery", Decimal::parse("33.3333")}};
    EXPECT_THAT(
        stages(quote_of(estimate)),
        ElementsAre("with the order 403.33", "on delivery 403.33", "when the job is done 403.34"));
    estimate.papers.stages = {{"with the order", Decimal(40)}, {"on delivery", Decimal(60)}};
    EXPECT_THAT(stages(quote_of(estimate)),
                ElementsAre("with the order 484.00", "on delivery 726.00"));
}

TEST(Quote, HoldsUntilTheEarlierOfItsDaysAndThePricesEnd) {
    Estimate estimate = two_pieces();
    EXPECT_EQ(quote_of(estimate).valid_until, std::nullopt);
    estimate.pricing.valid_days = 30;
    EXPECT_EQ(quote_of(estimate).valid_until, make_date(2027, 3, 3));
    estimate.prices_hold = make_date(2027, 2, 28);
    EXPECT_EQ(quote_of(estimate).valid_until, make_date(2027, 2, 28));
    estimate.prices_hold = make_date(2027, 12, 31);
    EXPECT_EQ(quote_of(estimate).valid_until, make_date(2027, 3, 3));
}

TEST(Quote, NamesWhatIsOfNoPieceAndLeavesOutWhatCostsNothing) {
    Estimate estimate = two_pieces();
    estimate.by_piece = {piece("bed", "Bed", "500.00"), piece("desk", "Desk", "0.00"),
                         piece("", "", "500.00")};
    EXPECT_THAT(prices(quote_of(estimate)),
                ElementsAre("Bed 500.00", "For all of it together 500.00"));
}

TEST(Quote, IsReadAsItWasWritten) {
    Estimate estimate = two_pieces();
    estimate.papers.client.name = "A. Client";
    estimate.papers.terms = {"Half a year of care."};
    estimate.pricing.valid_days = 30;
    const Quote quote = quote_of(estimate);
    const std::string written = to_json(quote).dump();
    EXPECT_EQ(to_json(read_quote(written, "quote.json")).dump(), written);
}

TEST(Quote, RefusesWhatIsNoQuoteOfThisVersion) {
    const auto told = [](const std::string& text) {
        const Fault fault = fault_of([&] { (void)read_quote(text, "quote.json"); });
        return fault.code + ": " + fault.wrong;
    };
    EXPECT_EQ(told("{}"), "no-quote: this is no quote: it does not say \"aumbry_quote\"");
    EXPECT_EQ(told("[1]"), "no-quote: this is no quote: it does not say \"aumbry_quote\"");
    EXPECT_EQ(told(R"({"aumbry_quote": 9})"),
              "newer-version: the quote is of version 9, this program reads version 1");
}

TEST(QuoteChange, IsPartByPartTheDifferenceOfTwoQuotes) {
    const Quote accepted = quote_of(two_pieces());
    Estimate estimate = two_pieces();
    // The desk is gone, a shelf is new, the bed costs 800.00 instead of 750.00; it is ready five
    // days sooner.
    estimate.by_piece = {piece("bed", "Bed", "968.00"), piece("shelf", "Shelf", "121.00")};
    estimate.sale.net = eur("900.00");
    estimate.schedule.ready = make_date(2027, 3, 28);
    const QuoteChange change = change_of(accepted, quote_of(estimate));
    std::vector<std::string> told;
    for (const QuoteDifference& part : change.parts)
        told.push_back(part.title + " " + (part.before ? part.before->str() : "-") + " " +
                       (part.after ? part.after->str() : "-") + " " + part.difference.str());
    EXPECT_THAT(told, ElementsAre("Bed 750.00 800.00 50.00", "Desk 250.00 - -250.00",
                                  "Shelf - 100.00 100.00"));
    EXPECT_EQ(change.net, eur("-100.00"));
    EXPECT_EQ(change.tax, eur("-21.00"));
    EXPECT_EQ(change.total, eur("-121.00"));
    EXPECT_EQ(change.days, -5);
}

TEST(QuoteChange, IsOfOneCurrency) {
    Quote accepted = quote_of(two_pieces());
    accepted.currency = "SEK";
    EXPECT_EQ(fault_of([&] { (void)change_of(accepted, quote_of(two_pieces())); }).wrong,
              "the accepted quote is in SEK, the project is in EUR");
}

} // namespace
} // namespace aumbry
