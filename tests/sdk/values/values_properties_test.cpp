// Rules of the value types that hold for all inputs.
#include "aumbry/date.hpp"
#include "aumbry/formula.hpp"
#include "aumbry/gtin.hpp"
#include "aumbry/money.hpp"
#include "aumbry/quantity.hpp"
#include "property.hpp"

#include <gtest/gtest.h> // before rapidcheck's, which needs it
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <cmath>

using namespace aumbry;

namespace {

const Currency eur = currency("EUR");

Decimal any_decimal() {
    return Decimal::scaled(*rc::gen::arbitrary<std::int32_t>(), *rc::gen::inRange(0, 13));
}

Money any_money() {
    return Money(*rc::gen::arbitrary<std::int32_t>(), eur);
}

std::vector<Decimal> any_weights() {
    const auto small =
        rc::gen::map(rc::gen::inRange(0, 5000), [](int n) { return Decimal::scaled(n, 2); });
    return *rc::gen::nonEmpty(rc::gen::container<std::vector<Decimal>>(small));
}

// A random formula of numbers and two names with the value that the same arithmetic gives in C++.
struct Expression {
    std::string text;
    double value;
};
constexpr double a = 3.5;
constexpr double b = -0.75;

Expression any_expression(int depth) {
    if (depth == 0) {
        switch (*rc::gen::inRange(0, 3)) {
        case 0:
            return {"a", a};
        case 1:
            return {"b.c", b};
        default: {
            const int n = *rc::gen::inRange(0, 1000);
            return {std::to_string(n) + ".5", n + 0.5};
        }
        }
    }
    const Expression left = any_expression(depth - 1);
    const Expression right = any_expression(depth - 1);
    switch (*rc::gen::inRange(0, 8)) {
    case 0:
        return {"(" + left.text + " + " + right.text + ")", left.value + right.value};
    case 1:
        return {"(" + left.text + "-" + right.text + ")", left.value - right.value};
    case 2:
        return {"(" + left.text + ") * (" + right.text + ")", left.value * right.value};
    case 3:
        return {"(" + left.text + ")/(1+abs(" + right.text + "))",
                left.value / (1 + std::fabs(right.value))};
    case 4:
        return {"-(" + left.text + ")", -left.value};
    case 5:
        return {"(" + left.text + ")^2", left.value * left.value};
    case 6:
        return {"min(" + left.text + ", " + right.text + ")", std::min(left.value, right.value)};
    default:
        return {"sqrt(abs(" + left.text + "))", std::sqrt(std::fabs(left.value))};
    }
}

Quantity a_and_b(std::string_view name) {
    return Quantity(name == "a" ? a : b);
}

} // namespace

RC_GTEST_PROP(Properties, DecimalTextRoundTrips, ()) {
    const Decimal value = any_decimal();
    RC_ASSERT(Decimal::parse(value.str()) == value);
}

RC_GTEST_PROP(Properties, DecimalArithmeticAgreesWithWholeNumbers, ()) {
    const std::int64_t x = *rc::gen::arbitrary<std::int32_t>();
    const std::int64_t y = *rc::gen::arbitrary<std::int32_t>();
    const int scale = *rc::gen::inRange(0, 7);
    const Decimal dx = Decimal::scaled(x, scale);
    const Decimal dy = Decimal::scaled(y, scale);
    RC_ASSERT(dx + dy == Decimal::scaled(x + y, scale));
    RC_ASSERT(dx - dy == Decimal::scaled(x - y, scale));
    RC_ASSERT(dx * dy == Decimal::scaled(x * y, 2 * scale));
    RC_ASSERT((dx < dy) == (x < y));
    RC_ASSERT((dx == dy) == (x == y));
}

RC_GTEST_PROP(Properties, RoundingMovesAtMostHalfAUnit, ()) {
    const Decimal value = any_decimal();
    const int decimals = *rc::gen::inRange(0, 7);
    const Decimal off = value.rounded(decimals) - value;
    const Decimal half = Decimal::scaled(5, decimals + 1);
    RC_ASSERT(off <= half);
    RC_ASSERT(off >= -half);
    RC_ASSERT((-value).rounded(decimals) == -value.rounded(decimals));
}

RC_GTEST_PROP(Properties, RoundToAgreesWithDecimal, ()) {
    const Decimal value =
        Decimal::scaled(*rc::gen::arbitrary<std::int32_t>(), *rc::gen::inRange(0, 7));
    const int decimals = *rc::gen::inRange(0, 7);
    RC_ASSERT(round_to(value.to_double(), decimals) == value.rounded(decimals).to_double());
    RC_ASSERT(Decimal::from_double(value.to_double(), decimals) == value.rounded(decimals));
}

RC_GTEST_PROP(Properties, MoneyTextRoundTrips, ()) {
    const Money amount = any_money();
    RC_ASSERT(Money::parse(amount.str(), eur) == amount);
    RC_ASSERT(Money::round(amount.decimal(), eur) == amount);
}

RC_GTEST_PROP(Properties, SharesAddUpToTheTotal, ()) {
    const Money total = any_money();
    const std::vector<Decimal> weights = any_weights();
    Money sum = Money::zero(eur);
    for (const Money& share : split(total, weights)) sum += share;
    RC_ASSERT(sum == total);
}

RC_GTEST_PROP(Properties, NoShareIsACentOffItsExactPart, ()) {
    const Money total = any_money();
    const std::vector<Decimal> weights = any_weights();
    Decimal sum;
    for (const Decimal& weight : weights) sum = sum + weight;
    RC_PRE(!sum.is_zero());
    const std::vector<Money> shares = split(total, weights);
    for (std::size_t i = 0; i < shares.size(); ++i) {
        const double exact =
            static_cast<double>(total.minor()) * weights[i].to_double() / sum.to_double();
        RC_ASSERT(std::fabs(static_cast<double>(shares[i].minor()) - exact) < 1 + 1e-6);
    }
}

RC_GTEST_PROP(Properties, SharesOfANegativeTotalMirrorThePositive, ()) {
    const Money total = any_money();
    const std::vector<Decimal> weights = any_weights();
    const std::vector<Money> shares = split(total, weights);
    const std::vector<Money> mirrored = split(-total, weights);
    for (std::size_t i = 0; i < shares.size(); ++i) RC_ASSERT(mirrored[i] == -shares[i]);
}

RC_GTEST_PROP(Properties, PrintedInchesAreReadBackAsPrinted, ()) {
    const int denominator = 1 << *rc::gen::inRange(0, 7);
    const int steps = *rc::gen::inRange(-100000, 100000);
    const Length length = Length::mm(steps * 127 / (5.0 * denominator));
    const std::string text = format_length(length, LengthUnit::inch, denominator);
    RC_ASSERT(as<Length>(parse_quantity(text)) == length);
    RC_ASSERT(rounding_error(length, LengthUnit::inch, denominator).mm() == 0.0);
}

RC_GTEST_PROP(Properties, PrintedLengthsAreWithinHalfAStep, ()) {
    const double mm = *rc::gen::inRange(-50000000, 50000000) / 10000.0;
    const Length printed =
        as<Length>(parse_quantity(format_length(Length::mm(mm), LengthUnit::inch, 16)));
    RC_ASSERT(std::fabs(printed.mm() - mm) <= 25.4 / 32 + 1e-9);
    RC_ASSERT(
        std::fabs((printed - Length::mm(mm) - rounding_error(Length::mm(mm), LengthUnit::inch, 16))
                      .mm()) < 1e-9);
}

RC_GTEST_PROP(Properties, QuantitiesRoundTripThroughTheirUnit, ()) {
    const auto units = contract_units();
    const UnitSpec unit = units[*rc::gen::inRange<std::size_t>(0, units.size())];
    const Decimal value =
        Decimal::scaled(*rc::gen::arbitrary<std::int32_t>(), *rc::gen::inRange(0, 7));
    const std::string text = value.str() + " " + std::string(unit.name);
    RC_ASSERT(in_unit(parse_quantity(text), unit.name) == value.to_double());
    RC_ASSERT(in_unit(from_unit(value.to_double(), unit.name), unit.name) == value.to_double());
}

RC_GTEST_PROP(Properties, FormulasComputeWhatTheSameArithmeticGives, ()) {
    const Expression expression = any_expression(*rc::gen::inRange(0, 5));
    const Formula formula = Formula::parse(expression.text);
    RC_ASSERT(formula.evaluate(a_and_b) == Quantity(expression.value == 0 ? 0 : expression.value));
}

RC_GTEST_PROP(Properties, SubstitutedFormulasReadTheSame, ()) {
    const Expression expression = any_expression(*rc::gen::inRange(0, 5));
    const std::string shown = Formula::parse(expression.text).substituted(a_and_b);
    const Formula again = Formula::parse(shown);
    RC_ASSERT(again.names().empty());
    RC_ASSERT(again.evaluate(a_and_b) == Quantity(expression.value == 0 ? 0 : expression.value));
}

RC_GTEST_PROP(Properties, AnyTextIsReadOrRefusedByAFault, (const std::string& text)) {
    try {
        (void)Formula::parse(text);
    } catch (const FaultError& error) {
        RC_ASSERT(!error.faults().empty());
    }
    try {
        (void)parse_quantity(text);
    } catch (const FaultError& error) {
        RC_ASSERT(!error.faults().empty());
    }
}

RC_GTEST_PROP(Properties, DatesRoundTripAndWeeksHoldSevenDays, ()) {
    const Date date = parse_date("1900-01-01") + std::chrono::days(*rc::gen::inRange(0, 200000));
    RC_ASSERT(parse_date(format_date(date)) == date);
    const IsoWeek week = iso_week(date);
    RC_ASSERT(week.week >= 1);
    RC_ASSERT(week.week <= 53);
    const Date monday = date - std::chrono::days(week.weekday - 1);
    const IsoWeek sunday = iso_week(monday + std::chrono::days(6));
    RC_ASSERT(sunday.year == week.year);
    RC_ASSERT(sunday.week == week.week);
    RC_ASSERT(iso_week(monday + std::chrono::days(7)).week != week.week);
}

RC_GTEST_PROP(Properties, WorkingDaysAddUpInSteps, ()) {
    const Date start = parse_date("2027-01-01") + std::chrono::days(*rc::gen::inRange(0, 1000));
    const Date away = parse_date("2027-06-01") + std::chrono::days(*rc::gen::inRange(0, 300));
    const WorkCalendar calendar({8, 0, 8, 8, 4, 0, 0},
                                {{away, away + std::chrono::days(*rc::gen::inRange(0, 20))}});
    const int n = *rc::gen::inRange(-60, 60);
    const int m = *rc::gen::inRange(0, 60);
    const Date first = calendar.add_working_days(start, n);
    RC_ASSERT(calendar.is_working(first));
    RC_ASSERT(calendar.add_working_days(first, m) == calendar.add_working_days(start, n + m));
    RC_ASSERT(calendar.working_days_between(first, calendar.add_working_days(first, m)) == m);
    RC_ASSERT(calendar.add_working_days(start + std::chrono::days(1), n) >= first);
}

RC_GTEST_PROP(Properties, OneWrongDigitMakesAGtinInvalid, ()) {
    std::string digits;
    for (int i = 0; i < 12; ++i) digits += static_cast<char>('0' + *rc::gen::inRange(0, 10));
    digits += '0';
    int right = 0; // of the ten last digits one is right
    for (char last = '0'; last <= '9'; ++last) {
        if (!gtin_valid(digits.substr(0, 12) + last)) continue;
        digits.back() = last;
        ++right;
    }
    RC_ASSERT(right == 1);
    const std::size_t at = *rc::gen::inRange<std::size_t>(0, 13);
    digits[at] = static_cast<char>('0' + (digits[at] - '0' + *rc::gen::inRange(1, 10)) % 10);
    RC_ASSERT(!gtin_valid(digits));
}
