// Money: exact decimals, currencies, amounts in whole minor units, prices, and fair splitting. No
// floating point ever holds money; a measured quantity becomes a Decimal of stated decimals before
// it meets a price.
#pragma once

#include <compare>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// No price or amount that a person or a module states is higher: beyond it stands a slip, and sums
/// come near the end of their type.
inline constexpr double highest_price = 1e12;

/// An exact decimal number: unscaled * 10^-scale with scale 0..12, kept without trailing zeros, so
/// that equal numbers are equal values. Used for prices, rates, percentages and quantities that
/// meet a price. Every operation is exact or throws FaultError "amount-overflow"; rounding happens
/// only where a function says so, and then half away from zero.
class Decimal {
  public:
    static constexpr int max_scale = 12;

    constexpr Decimal() = default;
    /// The whole number `value`.
    constexpr explicit Decimal(std::int64_t value) : unscaled_(value) {}
    /// unscaled * 10^-scale; throws "amount-overflow" when scale is outside 0..12.
    static Decimal scaled(std::int64_t unscaled, int scale);
    /// Reads '-?digits[.digits]' and nothing else: no spaces, sign '+', grouping, or exponent.
    /// Throws FaultError "bad-decimal"; more digits than fit are "amount-overflow".
    static Decimal parse(std::string_view text);
    /// The double rounded to `decimals` (0..12), half away from zero as the double's shortest
    /// decimal spelling stands (1.005 to two decimals is 1.01). Throws "bad-decimal" when not
    /// finite.
    static Decimal from_double(double value, int decimals);

    /// Canonical text that parse() reads back: "0.0088", "-3", "12.5".
    [[nodiscard]] std::string str() const;
    [[nodiscard]] double to_double() const;
    [[nodiscard]] constexpr std::int64_t unscaled() const { return unscaled_; }
    [[nodiscard]] constexpr int scale() const { return scale_; }
    [[nodiscard]] constexpr bool is_zero() const { return unscaled_ == 0; }
    [[nodiscard]] constexpr bool is_negative() const { return unscaled_ < 0; }

    /// Rounded half away from zero to `decimals` (0..12).
    [[nodiscard]] Decimal rounded(int decimals) const;
    /// Product rounded half away from zero to `decimals`; use it where the exact product may exceed
    /// 12 decimals.
    [[nodiscard]] Decimal multiplied_by(Decimal factor, int decimals) const;
    /// Quotient rounded half away from zero to `decimals`. Throws "division-by-zero".
    [[nodiscard]] Decimal divided_by(Decimal divisor, int decimals) const;

    Decimal operator-() const;
    friend Decimal operator+(Decimal a, Decimal b);
    friend Decimal operator-(Decimal a, Decimal b);
    friend Decimal operator*(Decimal a, Decimal b);
    friend bool operator==(Decimal a, Decimal b) = default;
    friend std::strong_ordering operator<=>(Decimal a, Decimal b);

  private:
    std::int64_t unscaled_ = 0;
    int scale_ = 0;
};

/// A currency of ISO 4217: its alphabetic code and the number of decimals of its minor unit.
struct Currency {
    std::string code;
    int digits = 2;

    bool operator==(const Currency&) const = default;
};

/// The currency of an active ISO 4217 code ("EUR"). Throws FaultError "unknown-currency" with the
/// nearest code.
Currency currency(std::string_view iso4217);
/// All codes that currency() knows, sorted.
std::vector<std::string> currency_codes();

/// An amount of money: whole minor units of one currency. Amounts round half away from zero to the
/// minor unit. Amounts of different currencies do not mix: "currency-clash". Results out of range:
/// "amount-overflow". A default Money is zero of no currency yet; adding to it takes over the
/// other's currency, so sums may start from it, and it compares as zero of any currency.
class Money {
  public:
    Money() = default;
    /// Throws "unknown-currency" for an amount other than zero without a currency.
    Money(std::int64_t minor_units, Currency currency);
    static Money zero(Currency currency);
    /// Reads a decimal with at most the currency's digits. Throws "bad-decimal" or
    /// "amount-overflow".
    static Money parse(std::string_view text, Currency currency);
    /// `amount` rounded half away from zero to the minor unit.
    static Money round(Decimal amount, Currency currency);

    [[nodiscard]] std::int64_t minor() const { return minor_; }
    [[nodiscard]] const Currency& currency() const { return currency_; }
    [[nodiscard]] Decimal decimal() const;
    [[nodiscard]] bool is_zero() const { return minor_ == 0; }
    [[nodiscard]] bool is_negative() const { return minor_ < 0; }

    /// Plain text with all digits of the currency: "1099.78", "-0.05", "1200" (JPY).
    [[nodiscard]] std::string str() const;
    /// For people: groups of three set apart by a space, "1 099.78".
    [[nodiscard]] std::string grouped() const;

    /// This amount times `factor`, rounded once.
    [[nodiscard]] Money times(Decimal factor) const;
    /// `rate` percent of this amount, rounded once: amount * rate / 100 (EN 16931 BR-CO-17).
    [[nodiscard]] Money percent(Decimal rate) const;

    Money operator-() const;
    Money& operator+=(const Money& other);
    Money& operator-=(const Money& other);
    friend Money operator+(Money a, const Money& b) { return a += b; }
    friend Money operator-(Money a, const Money& b) { return a -= b; }
    friend bool operator==(const Money& a, const Money& b);
    friend std::strong_ordering operator<=>(const Money& a, const Money& b);

  private:
    std::int64_t minor_ = 0;
    Currency currency_{"", 0};
};

/// A price: `amount` of `currency` for each `base` units of quantity (12.00 for 1000 pieces: amount
/// 12, base 1000).
struct Price {
    Decimal amount;
    Currency currency;
    Decimal base{1}; ///< above zero

    bool operator==(const Price&) const = default;

    /// amount * quantity / base, computed exactly and rounded once, half away from zero (EN 16931
    /// line net amount). Throws "bad-price" when base is not above zero, "amount-overflow".
    [[nodiscard]] Money amount_for(Decimal quantity) const;
};

/// Shares of `total` in proportion to `weights` that add up to it exactly: every share is rounded
/// down (towards zero) and the cents left over go to the largest remainders, the lower index first
/// on a tie. All weights zero: as evenly as possible. Throws "bad-weight" on a negative or not
/// finite weight, or when there is nothing to split over.
std::vector<Money> split(const Money& total, std::span<const Decimal> weights);
/// As above; weights are taken relative to the largest, at 12 decimals.
std::vector<Money> split(const Money& total, std::span<const double> weights);

} // namespace aumbry
