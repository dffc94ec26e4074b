// Money against EN 16931 example invoices, Regulation (EC) 1103/97 and ISO 4217.
#include "aumbry/money.hpp"
#include "fault_of.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <map>

using namespace aumbry;

namespace {

Decimal dec(std::string_view text) {
    return Decimal::parse(text);
}
const Currency eur = currency("EUR");
const Currency dkk = currency("DKK");
const Currency jpy = currency("JPY");
Money euros(std::string_view text) {
    return Money::parse(text, eur);
}
Money kroner(std::string_view text) {
    return Money::parse(text, dkk);
}

// Line net amount of EN 16931: price / base quantity * quantity, rounded once.
std::string line(std::string_view price, std::string_view quantity, std::string_view base = "1") {
    return Price{dec(price), eur, dec(base)}.amount_for(dec(quantity)).str();
}

} // namespace

TEST(Decimal, ReadsAndPrintsCanonically) {
    EXPECT_EQ(dec("0.00880").str(), "0.0088");
    EXPECT_EQ(dec("-0.50").str(), "-0.5");
    EXPECT_EQ(dec("1200").str(), "1200");
    EXPECT_EQ(dec("007").str(), "7");
    EXPECT_EQ(dec("-0").str(), "0");
    EXPECT_EQ(dec("0.000000000001").str(), "0.000000000001");
    EXPECT_EQ(dec("9223372036854775807").str(), "9223372036854775807");
    EXPECT_EQ(dec("-9223372036854775808").str(), "-9223372036854775808");
    EXPECT_EQ(dec("1.10"), dec("1.1"));
    // Zeros at the end never count against the limits.
    EXPECT_EQ(dec("1.00000000000000000000").str(), "1");
}

TEST(Decimal, RefusesWhatIsNotADecimalNumber) {
    for (const char* text : {"", "-", ".", ".5", "5.", "1e3", "+1", " 1", "1 ", "1.2.3", "--1",
                             "0x10", "nan", "inf", "1'000", "\xC3\xA9"})
        EXPECT_EQ(fault_of([&] { dec(text); }).code, "bad-decimal") << text;
}

TEST(Decimal, CommaIsAnsweredWithTheDecimalPoint) {
    const Fault fault = fault_of([] { dec("12,50"); });
    EXPECT_EQ(fault.code, "bad-decimal");
    EXPECT_EQ(fault.wrong, "'12,50' is not a decimal number");
    EXPECT_EQ(fault.right, "the decimal sign is a point and thousands are not grouped: 1234.50");
}

TEST(Decimal, TooManyDigitsAreAnOverflow) {
    EXPECT_EQ(fault_of([] { dec("9223372036854775808"); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([] { dec("0.0000000000001"); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([] { dec(std::string(100000, '9')); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([] { dec("0." + std::string(100000, '1')); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([] { (void)(dec("9223372036854775807") + dec("1")); }).code,
              "amount-overflow");
    EXPECT_EQ(fault_of([] { (void)(dec("3037000500") * dec("3037000500")); }).code,
              "amount-overflow");
    EXPECT_EQ(fault_of([] { (void)-dec("-9223372036854775808"); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([] { (void)(dec("0.0000001") * dec("0.0000001")); }).code,
              "amount-overflow");
}

TEST(Decimal, ArithmeticIsExact) {
    EXPECT_EQ((dec("0.1") + dec("0.2")).str(), "0.3");
    EXPECT_EQ((dec("1.10") - dec("0.10")).str(), "1");
    EXPECT_EQ((dec("15.24") * dec("132")).str(), "2011.68");
    EXPECT_LT(dec("-0.1"), dec("0.0001"));
    EXPECT_LT(dec("2.9999"), dec("3"));
    EXPECT_GT(dec("9223372036854775807"), dec("0.000000000001"));
}

TEST(Decimal, ConversionOfCurrenciesRoundsHalfUpAsTheEuroRegulationSays) {
    // Regulation (EC) 1103/97, articles 4 and 5; figures of Slovenia's euro site.
    EXPECT_EQ(dec("500").divided_by(dec("239.640"), 2).str(), "2.09");
    EXPECT_EQ(dec("1000").divided_by(dec("239.640"), 2).str(), "4.17");
    EXPECT_EQ(dec("24.784").rounded(2).str(), "24.78");
    EXPECT_EQ(dec("24.785").rounded(2).str(), "24.79");
}

TEST(Decimal, NegativeHalvesRoundAwayFromZero) {
    // Our decision: a credit note mirrors its invoice to the cent.
    EXPECT_EQ(dec("-24.785").rounded(2).str(), "-24.79");
    EXPECT_EQ(dec("-2.5").rounded(0).str(), "-3");
    EXPECT_EQ(dec("-2.4999").rounded(0).str(), "-2");
    EXPECT_EQ(dec("-1").divided_by(dec("8"), 2).str(), "-0.13");
    EXPECT_EQ(dec("1").divided_by(dec("-8"), 2).str(), "-0.13");
    EXPECT_EQ(dec("0.5").multiplied_by(dec("0.01"), 2).str(), "0.01");
}

TEST(Decimal, DivisionByZeroIsAFault) {
    EXPECT_EQ(fault_of([] { (void)dec("1").divided_by(dec("0"), 2); }).code, "division-by-zero");
}

TEST(Decimal, FromDoubleRoundsTheDigitsAPersonSees) {
    EXPECT_EQ(Decimal::from_double(1.005, 2).str(), "1.01");
    EXPECT_EQ(Decimal::from_double(-2.675, 2).str(), "-2.68");
    EXPECT_EQ(Decimal::from_double(0.1 + 0.2, 6).str(), "0.3");
    EXPECT_EQ(Decimal::from_double(2.976800, 4).str(), "2.9768");
    EXPECT_EQ(Decimal::from_double(9.999, 2).str(), "10");
    EXPECT_EQ(Decimal::from_double(0.5, 0).str(), "1");
    EXPECT_EQ(Decimal::from_double(0.49999999999, 0).str(), "0");
    EXPECT_EQ(Decimal::from_double(1e18, 2).str(), "1000000000000000000");
    EXPECT_EQ(Decimal::from_double(1e-300, 12).str(), "0");
    EXPECT_EQ(Decimal::from_double(-0.0, 2).str(), "0");
    EXPECT_EQ(fault_of([] {
                  (void)Decimal::from_double(std::numeric_limits<double>::infinity(), 2);
              }).code,
              "bad-decimal");
    EXPECT_EQ(fault_of([] {
                  (void)Decimal::from_double(std::numeric_limits<double>::quiet_NaN(), 2);
              }).code,
              "bad-decimal");
    EXPECT_EQ(fault_of([] { (void)Decimal::from_double(1e19, 2); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([] { (void)Decimal::from_double(1.0, 13); }).code, "amount-overflow");
}

TEST(Decimal, ToDoubleIsTheNearestDouble) {
    EXPECT_EQ(dec("0.1").to_double(), 0.1);
    EXPECT_EQ(dec("-1099.78").to_double(), -1099.78);
}

TEST(Currency, MinorUnitsFollowIso4217) {
    // EUR, USD, GBP, JPY: OPC UA part 3, table 44; KWD and the default: the table Firefox generates
    // from ISO 4217.
    EXPECT_EQ(currency("EUR").digits, 2);
    EXPECT_EQ(currency("USD").digits, 2);
    EXPECT_EQ(currency("GBP").digits, 2);
    EXPECT_EQ(currency("JPY").digits, 0);
    EXPECT_EQ(currency("KWD").digits, 3);
}

TEST(Currency, AllMinorUnitsOtherThanTwoAreKnown) {
    // java.util.Currency of OpenJDK 25, whose table follows the amendments of ISO 4217; UYW from
    // memory.
    const std::map<std::string, int> other = {
        {"BIF", 0}, {"CLP", 0}, {"DJF", 0}, {"GNF", 0}, {"ISK", 0}, {"JPY", 0}, {"KMF", 0},
        {"KRW", 0}, {"PYG", 0}, {"RWF", 0}, {"UGX", 0}, {"UYI", 0}, {"VND", 0}, {"VUV", 0},
        {"XAF", 0}, {"XOF", 0}, {"XPF", 0}, {"BHD", 3}, {"IQD", 3}, {"JOD", 3}, {"KWD", 3},
        {"LYD", 3}, {"OMR", 3}, {"TND", 3}, {"CLF", 4}, {"UYW", 4}};
    for (const std::string& code : currency_codes()) {
        const auto found = other.find(code);
        EXPECT_EQ(currency(code).digits, found == other.end() ? 2 : found->second) << code;
    }
    for (const auto& [code, digits] : other) EXPECT_EQ(currency(code).digits, digits);
}

TEST(Currency, UnknownCodeNamesTheNearest) {
    const Fault fault = fault_of([] { currency("EUU"); });
    EXPECT_EQ(fault.code, "unknown-currency");
    EXPECT_EQ(fault.wrong, "'EUU' is not an active currency code of ISO 4217");
    EXPECT_EQ(fault.right, "did you mean 'EUR'?");
    EXPECT_EQ(fault_of([] { currency("eur"); }).right, "did you mean 'EUR'?");
    EXPECT_EQ(fault_of([] { currency(""); }).code, "unknown-currency");
    EXPECT_EQ(fault_of([] { currency("EUR "); }).code, "unknown-currency");
    EXPECT_EQ(fault_of([] { currency(std::string(1000000, 'E')); }).code, "unknown-currency");
}

TEST(Money, PrintsAllDigitsOfItsCurrency) {
    EXPECT_EQ(euros("1099.78").str(), "1099.78");
    EXPECT_EQ(euros("-0.05").str(), "-0.05");
    EXPECT_EQ(euros("3").str(), "3.00");
    EXPECT_EQ(Money(1200, jpy).str(), "1200");
    EXPECT_EQ(Money(5, currency("KWD")).str(), "0.005");
    EXPECT_EQ(Money(std::numeric_limits<std::int64_t>::min(), eur).str(), "-92233720368547758.08");
    EXPECT_EQ(Money().str(), "0");
}

TEST(Money, GroupsThousandsForPeople) {
    EXPECT_EQ(euros("1099.78").grouped(), "1 099.78");
    EXPECT_EQ(euros("-1234567.80").grouped(), "-1 234 567.80");
    EXPECT_EQ(euros("-999.99").grouped(), "-999.99");
    EXPECT_EQ(Money(120000, jpy).grouped(), "120 000");
}

TEST(Money, MoreDecimalsThanTheCurrencyHasAreRefused) {
    EXPECT_EQ(fault_of([] { euros("1.005"); }).code, "bad-decimal");
    EXPECT_EQ(fault_of([] { Money::parse("0.5", jpy); }).right, "use at most 0");
    EXPECT_EQ(Money::parse("12.500", eur).str(), "12.50");
}

TEST(Money, AmountsOfDifferentCurrenciesDoNotMix) {
    const Fault fault = fault_of([] { (void)(euros("1") + kroner("2")); });
    EXPECT_EQ(fault.code, "currency-clash");
    EXPECT_EQ(fault.wrong, "EUR 1.00 and DKK 2.00 are amounts of different currencies");
    EXPECT_EQ(fault_of([] { (void)(euros("1") - kroner("1")); }).code, "currency-clash");
    EXPECT_EQ(fault_of([] { (void)(euros("1") < kroner("1")); }).code, "currency-clash");
    EXPECT_FALSE(euros("1") == kroner("1"));
}

TEST(Money, ADefaultMoneyStartsASum) {
    Money sum;
    sum += euros("0.10");
    sum += Money();
    EXPECT_EQ(sum, euros("0.10"));
    EXPECT_EQ((Money() - euros("0.10")).str(), "-0.10");
    EXPECT_EQ(Money(), Money::zero(eur));
    EXPECT_LT(Money(), euros("0.01"));
    EXPECT_EQ(fault_of([] { Money(1, Currency{}); }).code, "unknown-currency");
}

TEST(Money, SumsOutOfRangeAreAnOverflow) {
    const Money most(std::numeric_limits<std::int64_t>::max(), eur);
    const Money least(std::numeric_limits<std::int64_t>::min(), eur);
    EXPECT_EQ(fault_of([&] { (void)(most + euros("0.01")); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([&] { (void)(least - euros("0.01")); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([&] { (void)-least; }).code, "amount-overflow");
    EXPECT_EQ(fault_of([&] { (void)most.times(dec("1.01")); }).code, "amount-overflow");
    EXPECT_EQ(fault_of([&] {
                  (void)Price{dec("9223372036854775807"), eur}.amount_for(dec("2"));
              }).code,
              "amount-overflow");
    EXPECT_EQ(most.times(dec("1")), most);
}

TEST(Money, LineTotalsOfEn16931Example8) {
    // ConnectingEurope/eInvoicing-EN16931, ubl-tc434-example8: prices per base quantity.
    EXPECT_EQ(line("0.00880", "16000"), "140.80");
    EXPECT_EQ(line("0.00101", "16000"), "16.16");
    EXPECT_EQ(line("15.24", "132", "12"), "167.64");
    EXPECT_EQ(line("1.53", "58"), "88.74");
    EXPECT_EQ(line("441", "1", "12"), "36.75");
    EXPECT_EQ(line("678", "1", "12"), "56.50");
    Money sum;
    for (const char* net : {"140.80", "16.16", "167.64", "88.74", "36.75", "56.50", "83.34",
                            "190.31", "64.21", "64.46"})
        sum += euros(net);
    EXPECT_EQ(sum.str(), "908.91");
    EXPECT_EQ(sum.percent(dec("21")).str(), "190.87");
    EXPECT_EQ((sum + sum.percent(dec("21"))).str(), "1099.78");
}

TEST(Money, TotalsOfEn16931Example5) {
    // ConnectingEurope/eInvoicing-EN16931, ubl-tc434-example5 (DKK): two rates, allowance and
    // charge, prepaid.
    const auto net = [](std::string_view price, std::string_view quantity) {
        return Price{dec(price), dkk}.amount_for(dec(quantity));
    };
    const Money first =
        net((dec("1.10") - dec("0.10")).str(), "1000") - kroner("100") + kroner("100");
    const Money at_25 = first + net("5", "100");
    const Money at_12 = net("5", "500");
    EXPECT_EQ((at_25 + at_12).str(), "4000.00");
    const Money allowance = at_25.percent(dec("10"));
    EXPECT_EQ(allowance.str(), "150.00");
    const Money tax =
        (at_25 - allowance + kroner("150")).percent(dec("25")) + at_12.percent(dec("12"));
    EXPECT_EQ(tax.str(), "675.00");
    const Money total = at_25 + at_12 - allowance + kroner("150") + tax;
    EXPECT_EQ(total.str(), "4675.00");
    EXPECT_EQ((total - kroner("2337.50")).str(), "2337.50");
}

TEST(Money, TotalsOfThePeppolAllowanceExample) {
    // OpenPEPPOL/peppol-bis-invoice-3, Allowance-example (EUR).
    const Money first = Price{dec("410"), eur}.amount_for(dec("10")) + euros("1") - euros("101");
    const Money exempt = Price{dec("200"), eur, dec("2")}.amount_for(dec("10"));
    const Money third = Price{dec("100"), eur}.amount_for(dec("10")) + euros("1") - euros("101");
    EXPECT_EQ(first.str(), "4000.00");
    EXPECT_EQ(exempt.str(), "1000.00");
    EXPECT_EQ(third.str(), "900.00");
    const Money lines = first + exempt + third;
    EXPECT_EQ(lines.str(), "5900.00");
    const Money charge = exempt.percent(dec("20"));
    EXPECT_EQ(charge.str(), "200.00");
    const Money tax = (first + third).percent(dec("25"));
    EXPECT_EQ(tax.str(), "1225.00");
    EXPECT_EQ((lines + charge - euros("200") + tax - euros("1000")).str(), "6125.00");
}

TEST(Money, NegativeQuantitiesOfThePeppolBaseExample) {
    // OpenPEPPOL/peppol-bis-invoice-3, base-example (EUR) and its mirror file.
    for (const char* sign : {"", "-"}) {
        const Money lines = Price{dec("400"), eur}.amount_for(dec(sign + std::string("7"))) +
                            Price{dec("500"), eur}.amount_for(dec(*sign ? "3" : "-3"));
        EXPECT_EQ(lines.str(), sign + std::string("1300.00"));
        const Money taxable = lines + euros(sign + std::string("25"));
        const Money tax = taxable.percent(dec("25"));
        EXPECT_EQ(tax.str(), sign + std::string("331.25"));
        EXPECT_EQ((taxable + tax).str(), sign + std::string("1656.25"));
    }
}

TEST(Money, CategoryTaxOfEn16931Example1) {
    // ConnectingEurope/eInvoicing-EN16931, ubl-tc434-example1: tax per category and rate, not per
    // line.
    EXPECT_EQ(euros("183.23").percent(dec("6")).str(), "10.99");
    EXPECT_EQ(euros("46.37").percent(dec("21")).str(), "9.74");
    EXPECT_EQ((euros("183.23") + euros("46.37") + euros("10.99") + euros("9.74")).str(), "250.33");
}

TEST(Price, BaseQuantityIsAboveZero) {
    EXPECT_EQ(fault_of([] {
                  (void)Price{dec("1"), eur, dec("0")}.amount_for(dec("1"));
              }).code,
              "bad-price");
    EXPECT_EQ(fault_of([] {
                  (void)Price{dec("1"), eur, dec("-1")}.amount_for(dec("1"));
              }).code,
              "bad-price");
}

TEST(Price, RoundsOnceAtTheEnd) {
    // 0.333333 * 3 = 0.999999; rounding the unit price first would give 0.99.
    EXPECT_EQ(line("0.333333", "3"), "1.00");
    EXPECT_EQ(line("0.005", "1"), "0.01");
    EXPECT_EQ(line("-0.005", "1"), "-0.01");
    // The exact product has 24 decimals; it still rounds to the cent.
    EXPECT_EQ(line("999999.999999999999", "0.000001000001"), "1.00");
    EXPECT_EQ(line("0.000000000001", "0.000000000001"), "0.00");
    // Products beyond 64 bits on the way to an amount that fits.
    EXPECT_EQ(line("9000000000000", "9000000000000", "9000000000000"), "9000000000000.00");
}

TEST(Split, SharesAddUpAndTheLargestRemaindersGetTheCents) {
    const auto shares = [](std::string_view total, std::vector<Decimal> weights) {
        std::string text;
        for (const Money& share : split(euros(total), weights)) text += share.str() + " ";
        return text;
    };
    // 10.00 in thirds by hand: 3.333 each; the cent goes to the first by index.
    EXPECT_EQ(shares("10.00", {dec("1"), dec("1"), dec("1")}), "3.34 3.33 3.33 ");
    EXPECT_EQ(shares("-10.00", {dec("1"), dec("1"), dec("1")}), "-3.34 -3.33 -3.33 ");
    // Quotas 0.857, 1.714, 4.428 cents of 7: floors 0 1 4, the two cents left go to .857 and .714.
    EXPECT_EQ(shares("0.07", {dec("12.0"), dec("24"), dec("62")}), "0.01 0.02 0.04 ");
    EXPECT_EQ(shares("0.02", {dec("0"), dec("0"), dec("0")}), "0.01 0.01 0.00 ");
    EXPECT_EQ(shares("5.00", {dec("0"), dec("2.5")}), "0.00 5.00 ");
    EXPECT_EQ(shares("0.00", {}), "");
}

TEST(Split, LargestRemainderOfAPublishedApportionment) {
    // The textbook Hamilton (Hare quota) example: votes 47000, 16000, 15900, 12000, 6000, 3100 of
    // 100000, ten seats: 5 2 1 1 1 0 (Wikipedia, "Quota method").
    const std::vector<double> votes = {47000, 16000, 15900, 12000, 6000, 3100};
    std::vector<std::int64_t> seats;
    for (const Money& share : split(Money(10, jpy), votes)) seats.push_back(share.minor());
    EXPECT_EQ(seats, (std::vector<std::int64_t>{5, 2, 1, 1, 1, 0}));
}

TEST(Split, BadWeightsAreRefused) {
    const std::vector<double> not_finite = {1, std::numeric_limits<double>::quiet_NaN()};
    const std::vector<double> negative = {1, -1};
    const std::vector<Decimal> nothing;
    EXPECT_EQ(fault_of([&] { (void)split(euros("1"), not_finite); }).code, "bad-weight");
    EXPECT_EQ(fault_of([&] { (void)split(euros("1"), negative); }).code, "bad-weight");
    EXPECT_EQ(fault_of([&] { (void)split(euros("1"), nothing); }).code, "bad-weight");
}
