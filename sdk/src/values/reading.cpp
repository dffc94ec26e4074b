#include "values/reading.hpp"

#include "aumbry/fault.hpp"
#include "values/characters.hpp"
#include "values/excerpt.hpp"
#include "values/units.hpp"

#include <charconv>
#include <optional>
#include <string>

namespace aumbry {

namespace {

struct FractionSign {
    std::string_view sign;
    int numerator;
    int denominator;
};
constexpr FractionSign fraction_signs[] = {
    {"\u00bd", 1, 2}, {"\u00bc", 1, 4}, {"\u00be", 3, 4}, {"\u215b", 1, 8}, {"\u215c", 3, 8},
    {"\u215d", 5, 8}, {"\u215e", 7, 8}, {"\u2153", 1, 3}, {"\u2154", 2, 3},
};

constexpr double largest_number = 1e12;

[[noreturn]] void bad_quantity(std::string_view text, const std::string& why,
                               const std::string& right) {
    fail("bad-quantity", {}, in_quotes(text) + " is not a quantity: " + why, right);
}

// A number before its unit: value = numerator / denominator.
struct Amount {
    double numerator = 0;
    double denominator = 1;
    std::size_t end = 0;
    bool is_fraction = false;
};

std::size_t end_of_digits(std::string_view text, std::size_t at) {
    while (at < text.size() && is_digit(text[at])) ++at;
    return at;
}

const FractionSign* fraction_sign_at(std::string_view text, std::size_t at) {
    if (at >= text.size()) return nullptr;
    for (const FractionSign& candidate : fraction_signs)
        if (text.substr(at, candidate.sign.size()) == candidate.sign) return &candidate;
    return nullptr;
}

double number(std::string_view text, std::string_view digits) {
    double value = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value,
                                      std::chars_format::fixed);
    if (read.ec != std::errc() || value > largest_number)
        bad_quantity(text, "the number " + excerpt(digits, 30) + " is out of range",
                     "use numbers up to 1000000000000");
    return value;
}

// n/d at `at`, both whole and not followed by more of a number.
std::optional<Amount> read_fraction(std::string_view text, std::size_t at) {
    const std::size_t slash = end_of_digits(text, at);
    if (slash == at || slash >= text.size() || text[slash] != '/') return std::nullopt;
    const std::size_t end = end_of_digits(text, slash + 1);
    if (end == slash + 1) return std::nullopt;
    if (end + 1 < text.size() && text[end] == '.' && is_digit(text[end + 1])) return std::nullopt;
    Amount amount{number(text, text.substr(at, slash - at)),
                  number(text, text.substr(slash + 1, end - slash - 1)), end, true};
    if (amount.denominator == 0)
        bad_quantity(text, "a fraction has the denominator 0", "write a fraction such as 3/4");
    return amount;
}

void check_proper(std::string_view text, const Amount& fraction) {
    if (fraction.numerator >= fraction.denominator)
        bad_quantity(text, "the fraction after a whole number is not below one",
                     "write a proper fraction such as 2 3/8");
}

Amount read_amount(std::string_view text, std::size_t at, bool bare_fraction) {
    if (const FractionSign* sign = fraction_sign_at(text, at))
        return {double(sign->numerator), double(sign->denominator), at + sign->sign.size(), false};
    if (const auto fraction = read_fraction(text, at)) {
        const std::size_t next = skip_spaces(text, fraction->end);
        if (read_unit(text, next) || (bare_fraction && next == text.size())) return *fraction;
    }
    std::size_t end = end_of_digits(text, at);
    const std::size_t whole_digits = end - at;
    const bool point = end < text.size() && text[end] == '.';
    if (point) {
        const std::size_t decimals_end = end_of_digits(text, end + 1);
        if (decimals_end == end + 1)
            bad_quantity(text, "digits are missing after the decimal point", "write 2.5 or 2");
        end = decimals_end;
    }
    Amount amount{number(text, text.substr(at, end - at)), 1, end, false};
    if (point || whole_digits == 0) return amount;
    // A whole number may be followed by a fraction: "2 3/8", or a fraction sign.
    const std::size_t next = skip_spaces(text, end);
    if (const FractionSign* sign = fraction_sign_at(text, next))
        return {amount.numerator * sign->denominator + sign->numerator, double(sign->denominator),
                next + sign->sign.size(), false};
    if (next == end) return amount;
    if (const auto fraction = read_fraction(text, next)) {
        check_proper(text, *fraction);
        return {amount.numerator * fraction->denominator + fraction->numerator,
                fraction->denominator, fraction->end, false};
    }
    return amount;
}

// The word at `at`, for a sentence.
std::string word_at(std::string_view text, std::size_t at) {
    std::size_t end = at;
    while (end < text.size() && end - at < 40 &&
           text.substr(end, 1).find_first_of(" \t),") == std::string_view::npos)
        end += character_length(text, end);
    return excerpt(text.substr(at, end - at));
}

} // namespace

bool starts_amount(std::string_view text, std::size_t at) {
    if (at >= text.size()) return false;
    if (is_digit(text[at])) return true;
    if (text[at] == '.') return at + 1 < text.size() && is_digit(text[at + 1]);
    return fraction_sign_at(text, at) != nullptr;
}

bool joins_feet_and_inches(std::string_view text, std::size_t at) {
    if (at == 0 || text.substr(at, 1) != "-" || !starts_amount(text, at + 1)) return false;
    const std::string_view before = text.substr(0, at);
    return before.ends_with("'") || before.ends_with("\u2032") || before.ends_with("\u2019");
}

ReadQuantity read_quantity(std::string_view text, std::size_t at, bool bare_fraction) {
    ReadQuantity result;
    double smallest_unit = 0;
    std::size_t position = at;
    while (true) {
        const Amount amount = read_amount(text, position, bare_fraction);
        const std::size_t unit_at = skip_spaces(text, amount.end);
        const auto unit = read_unit(text, unit_at);
        if (!unit) {
            if (unit_at < text.size() &&
                (starts_name(text[unit_at]) || end_of_letters(text, unit_at) > unit_at)) {
                const std::string word = word_at(text, unit_at);
                fail("unknown-unit", {},
                     "'" + word + "' in " + in_quotes(text) + " is not a known unit",
                     unit_advice(word));
            }
            if (result.has_unit)
                bad_quantity(text, "a unit is missing after its last number",
                             "write every part with its unit, such as 5' 3\" or 2 h 30 min");
            result.quantity = Quantity(amount.numerator / amount.denominator);
            result.end = amount.end;
            result.is_fraction = amount.is_fraction;
            return result;
        }
        const double value =
            amount.numerator * unit->unit.numerator / (amount.denominator * unit->unit.denominator);
        const double size = unit->unit.numerator / unit->unit.denominator;
        if (!result.has_unit) {
            result.quantity = Quantity(value, unit->unit.dimension);
            result.is_fraction = amount.is_fraction;
        } else {
            if (unit->unit.dimension != result.quantity.dimension || size >= smallest_unit)
                bad_quantity(
                    text,
                    "its parts do not go from a larger unit to a smaller one of the same kind",
                    "write such as 1 ft 2 3/8 in");
            result.quantity.value += value;
        }
        smallest_unit = size;
        result.has_unit = true;
        result.end = unit->end;
        result.unit_begin = unit_at;
        const std::size_t next = skip_spaces(text, unit->end);
        if (!starts_amount(text, next)) return result;
        position = next;
    }
}

} // namespace aumbry
