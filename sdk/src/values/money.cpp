#include "aumbry/money.hpp"

#include "aumbry/fault.hpp"
#include "values/characters.hpp"
#include "values/excerpt.hpp"
#include "values/wide.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <utility>

namespace aumbry {

namespace {

// Insists on the range of a Decimal, after dropping the trailing zeros that stand in the way.
Decimal canonical(wide::Int unscaled, int scale) {
    while (scale > 0 && (scale > Decimal::max_scale || !wide::fits_in_64_bits(unscaled)) &&
           unscaled % 10 == 0) {
        unscaled /= 10;
        --scale;
    }
    return Decimal::scaled(wide::narrow(unscaled, "a decimal number"), scale);
}

wide::Int raised(Decimal value, int to_scale) {
    return wide::times(value.unscaled(), wide::power_of_ten(to_scale - value.scale()));
}

void check_decimals(int decimals) {
    if (decimals < 0 || decimals > Decimal::max_scale)
        fail("amount-overflow", {}, std::to_string(decimals) + " decimals were asked for",
             "use 0 to 12 decimals");
}

} // namespace

Decimal Decimal::scaled(std::int64_t unscaled, int scale) {
    while (scale > 0 && unscaled % 10 == 0) {
        unscaled /= 10;
        --scale;
    }
    check_decimals(scale);
    Decimal decimal;
    decimal.unscaled_ = unscaled;
    decimal.scale_ = scale;
    return decimal;
}

Decimal Decimal::parse(std::string_view text) {
    const auto refuse = [&](const std::string& right) {
        fail("bad-decimal", {}, in_quotes(text) + " is not a decimal number", right);
    };
    if (text.find(',') != std::string_view::npos)
        refuse("the decimal sign is a point and thousands are not grouped: 1234.50");
    std::string_view rest = text;
    const bool negative = !rest.empty() && rest.front() == '-';
    if (negative) rest.remove_prefix(1);
    wide::Int unscaled = 0;
    int scale = 0;
    bool point = false;
    std::size_t whole_digits = 0;
    for (const char c : rest) {
        if (c == '.' && !point && whole_digits > 0) {
            point = true;
        } else if (is_digit(c)) {
            if (unscaled > wide::power_of_ten(30) || scale > 30) wide::overflow(in_quotes(text));
            unscaled = unscaled * 10 + (c - '0');
            if (point)
                ++scale;
            else
                ++whole_digits;
        } else {
            refuse("write digits with at most one decimal point, such as 12.50");
        }
    }
    if (whole_digits == 0 || (point && scale == 0))
        refuse("write digits with at most one decimal point, such as 12.50");
    return canonical(negative ? -unscaled : unscaled, scale);
}

Decimal Decimal::from_double(double value, int decimals) {
    check_decimals(decimals);
    if (!std::isfinite(value))
        fail("bad-decimal", {}, "a number that is not finite cannot become a decimal",
             "check the figures that lead to it");
    if (std::fabs(value) >= 1e19) wide::overflow("a number");
    if (std::fabs(value) < 1e-13) return Decimal();
    // The shortest digits that denote this double: they are what a person would round.
    char digits[400];
    const auto end = std::to_chars(digits, digits + sizeof digits, value, std::chars_format::fixed);
    std::string_view text(digits, static_cast<std::size_t>(end.ptr - digits));
    const bool negative = text.front() == '-';
    if (negative) text.remove_prefix(1);
    wide::Int unscaled = 0;
    int taken = -1; // decimals read so far, -1 before the point
    bool up = false;
    for (const char c : text) {
        if (c == '.') {
            taken = 0;
        } else if (taken == decimals) {
            up = c >= '5';
            break;
        } else {
            unscaled = wide::plus(wide::times(unscaled, 10), c - '0');
            if (taken >= 0) ++taken;
        }
    }
    if (up) ++unscaled;
    return canonical(negative ? -unscaled : unscaled, std::max(taken, 0));
}

std::string Decimal::str() const {
    std::string text = std::to_string(unscaled_);
    if (scale_ == 0) return text;
    const std::size_t sign = unscaled_ < 0 ? 1 : 0;
    const auto decimals = static_cast<std::size_t>(scale_);
    if (text.size() - sign <= decimals)
        text.insert(sign, std::string(decimals + 1 - (text.size() - sign), '0'));
    text.insert(text.size() - decimals, 1, '.');
    return text;
}

double Decimal::to_double() const {
    // Through the text, since it gives the nearest double for every value.
    const std::string text = str();
    double value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

Decimal Decimal::rounded(int decimals) const {
    return multiplied_by(Decimal(1), decimals);
}

Decimal Decimal::multiplied_by(Decimal factor, int decimals) const {
    check_decimals(decimals);
    const wide::Int product = wide::times(unscaled_, factor.unscaled_);
    return canonical(wide::scaled_quotient(product, 1, decimals - scale_ - factor.scale_),
                     decimals);
}

Decimal Decimal::divided_by(Decimal divisor, int decimals) const {
    check_decimals(decimals);
    if (divisor.is_zero())
        fail("division-by-zero", {}, str() + " is divided by zero",
             "divide by a number other than zero");
    return canonical(
        wide::scaled_quotient(unscaled_, divisor.unscaled_, decimals + divisor.scale_ - scale_),
        decimals);
}

Decimal Decimal::operator-() const {
    return canonical(-wide::Int{unscaled_}, scale_);
}

Decimal operator+(Decimal a, Decimal b) {
    const int scale = std::max(a.scale_, b.scale_);
    return canonical(wide::plus(raised(a, scale), raised(b, scale)), scale);
}

Decimal operator-(Decimal a, Decimal b) {
    const int scale = std::max(a.scale_, b.scale_);
    return canonical(wide::plus(raised(a, scale), -raised(b, scale)), scale);
}

Decimal operator*(Decimal a, Decimal b) {
    return canonical(wide::times(a.unscaled_, b.unscaled_), a.scale_ + b.scale_);
}

std::strong_ordering operator<=>(Decimal a, Decimal b) {
    const int scale = std::max(a.scale_, b.scale_);
    const wide::Int left = raised(a, scale);
    const wide::Int right = raised(b, scale);
    if (left < right) return std::strong_ordering::less;
    if (left > right) return std::strong_ordering::greater;
    return std::strong_ordering::equal;
}

Money::Money(std::int64_t minor_units, Currency in)
    : minor_(minor_units), currency_(std::move(in)) {
    if (currency_.code.empty() && minor_ != 0)
        fail("unknown-currency", {}, "an amount of money has no currency", "state its currency");
}

Money Money::zero(Currency currency) {
    return Money(0, std::move(currency));
}

Money Money::parse(std::string_view text, Currency currency) {
    const Decimal amount = Decimal::parse(text);
    if (amount.scale() > currency.digits)
        fail("bad-decimal", {},
             in_quotes(text) + " has more decimals than " + currency.code + " has",
             "use at most " + std::to_string(currency.digits));
    return round(amount, std::move(currency));
}

Money Money::round(Decimal amount, Currency currency) {
    const wide::Int minor =
        wide::scaled_quotient(amount.unscaled(), 1, currency.digits - amount.scale());
    return Money(wide::narrow(minor, "an amount of money"), std::move(currency));
}

Decimal Money::decimal() const {
    return Decimal::scaled(minor_, currency_.digits);
}

std::string Money::str() const {
    std::string text = std::to_string(minor_);
    if (currency_.digits == 0) return text;
    const std::size_t sign = minor_ < 0 ? 1 : 0;
    const auto digits = static_cast<std::size_t>(currency_.digits);
    if (text.size() - sign <= digits)
        text.insert(sign, std::string(digits + 1 - (text.size() - sign), '0'));
    text.insert(text.size() - digits, 1, '.');
    return text;
}

std::string Money::grouped() const {
    std::string text = str();
    const std::size_t first = minor_ < 0 ? 1 : 0;
    const std::size_t point = text.find('.');
    std::size_t at = point == std::string::npos ? text.size() : point;
    while (at > first + 3) {
        at -= 3;
        text.insert(at, 1, ' ');
    }
    return text;
}

Money Money::times(Decimal factor) const {
    const wide::Int product = wide::times(minor_, factor.unscaled());
    return Money(
        wide::narrow(wide::scaled_quotient(product, 1, -factor.scale()), "an amount of money"),
        currency_);
}

Money Money::percent(Decimal rate) const {
    const wide::Int product = wide::times(minor_, rate.unscaled());
    return Money(
        wide::narrow(wide::scaled_quotient(product, 1, -rate.scale() - 2), "an amount of money"),
        currency_);
}

Money Money::operator-() const {
    return Money(wide::narrow(-wide::Int{minor_}, "an amount of money"), currency_);
}

namespace {

void check_same_currency(const Money& a, const Money& b) {
    if (a.currency() != b.currency())
        fail("currency-clash", {},
             a.currency().code + " " + a.str() + " and " + b.currency().code + " " + b.str() +
                 " are amounts of different currencies",
             "convert one of them at a dated rate first");
}

} // namespace

Money& Money::operator+=(const Money& other) {
    if (other.currency_.code.empty()) return *this;
    if (currency_.code.empty()) return *this = other;
    check_same_currency(*this, other);
    minor_ = wide::narrow(wide::Int{minor_} + other.minor_, "a sum of money");
    return *this;
}

Money& Money::operator-=(const Money& other) {
    if (other.currency_.code.empty()) return *this;
    if (currency_.code.empty()) return *this = -other;
    check_same_currency(*this, other);
    minor_ = wide::narrow(wide::Int{minor_} - other.minor_, "a difference of money");
    return *this;
}

bool operator==(const Money& a, const Money& b) {
    return a.minor_ == b.minor_ &&
           (a.currency_ == b.currency_ || a.currency_.code.empty() || b.currency_.code.empty());
}

std::strong_ordering operator<=>(const Money& a, const Money& b) {
    if (!a.currency_.code.empty() && !b.currency_.code.empty()) check_same_currency(a, b);
    return a.minor_ <=> b.minor_;
}

Money Price::amount_for(Decimal quantity) const {
    if (base <= Decimal(0))
        fail("bad-price", {}, "a price stands for " + base.str() + " units of quantity",
             "the base quantity of a price is above zero");
    const wide::Int product = wide::times(amount.unscaled(), quantity.unscaled());
    const int exponent = currency.digits + base.scale() - amount.scale() - quantity.scale();
    return Money(wide::narrow(wide::scaled_quotient(product, base.unscaled(), exponent),
                              "an amount of money"),
                 currency);
}

namespace {

std::vector<Money> split_by(const Money& total, std::vector<wide::Int> weights) {
    wide::Int sum = 0;
    for (const wide::Int weight : weights) sum = wide::plus(sum, weight);
    if (sum == 0) {
        std::fill(weights.begin(), weights.end(), wide::Int{1});
        sum = static_cast<wide::Int>(weights.size());
    }
    if (weights.empty()) {
        if (total.is_zero()) return {};
        fail("bad-weight", {}, total.str() + " is to be split over nothing",
             "give at least one weight");
    }
    const wide::Int amount =
        total.is_negative() ? -wide::Int{total.minor()} : wide::Int{total.minor()};
    std::vector<wide::Int> shares(weights.size());
    std::vector<wide::Int> remainders(weights.size());
    wide::Int left = amount;
    for (std::size_t i = 0; i < weights.size(); ++i) {
        const wide::Int product = wide::times(amount, weights[i]);
        shares[i] = product / sum;
        remainders[i] = product % sum;
        left -= shares[i];
    }
    std::vector<std::size_t> order(weights.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return remainders[a] > remainders[b]; });
    for (std::size_t i = 0; left > 0; ++i, --left) ++shares[order[i]];
    std::vector<Money> result;
    result.reserve(shares.size());
    for (const wide::Int share : shares)
        result.emplace_back(wide::narrow(total.is_negative() ? -share : share, "a share"),
                            total.currency());
    return result;
}

} // namespace

std::vector<Money> split(const Money& total, std::span<const Decimal> weights) {
    int scale = 0;
    for (const Decimal& weight : weights) {
        if (weight.is_negative())
            fail("bad-weight", {}, "a share has the weight " + weight.str(),
                 "weights are zero or above");
        scale = std::max(scale, weight.scale());
    }
    std::vector<wide::Int> whole;
    whole.reserve(weights.size());
    for (const Decimal& weight : weights) whole.push_back(raised(weight, scale));
    return split_by(total, std::move(whole));
}

std::vector<Money> split(const Money& total, std::span<const double> weights) {
    double largest = 0;
    for (const double weight : weights) {
        if (!std::isfinite(weight) || weight < 0)
            fail("bad-weight", {}, "a share has a weight that is negative or not finite",
                 "weights are zero or above");
        largest = std::max(largest, weight);
    }
    std::vector<wide::Int> whole;
    whole.reserve(weights.size());
    for (const double weight : weights)
        whole.push_back(largest > 0 ? std::llround(weight / largest * 1e12) : 0);
    return split_by(total, std::move(whole));
}

} // namespace aumbry
