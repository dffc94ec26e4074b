#include "values/units.hpp"

#include "aumbry/fault.hpp"
#include "values/characters.hpp"

#include <vector>

namespace aumbry {

namespace {

// Exact factors to mm, kg, s and degree. The inch (25.4 mm) and the avoirdupois pound (0.45359237
// kg) fix all the others: NIST SP 811 appendix B.8; UCUM [in_i], [ft_i], [mil_i], [yd_i], [lb_av],
// [oz_av], [gal_us], [qt_us], [pt_us], [foz_us], [bf_i]. Pound-force is the pound times standard
// gravity 9.80665 m/s2 (CGPM 1901).
struct NamedUnit {
    std::string_view name;
    Unit unit;
};

constexpr Dimension L = dimension::length;
constexpr Dimension V = dimension::volume;
constexpr Dimension M = dimension::mass;
constexpr Dimension T = dimension::duration;
constexpr Dimension F = dimension::force;
constexpr Dimension S = dimension::stress;

constexpr NamedUnit named_units[] = {
    {"mm", {L, 1, 1}},
    {"cm", {L, 10, 1}},
    {"dm", {L, 100, 1}},
    {"km", {L, 1e6, 1}},
    {"mi", {L, 1609344, 1}}, // 5280 ft
    {"m", {L, 1000, 1}},
    {"um", {L, 1, 1000}},
    {"µm", {L, 1, 1000}}, // micro sign
    {"μm", {L, 1, 1000}}, // Greek mu
    {"in", {L, 127, 5}},
    {"inch", {L, 127, 5}},
    {"inches", {L, 127, 5}},
    {"ft", {L, 1524, 5}},
    {"foot", {L, 1524, 5}},
    {"feet", {L, 1524, 5}},
    {"yd", {L, 4572, 5}},
    {"mil", {L, 127, 5000}},
    {"sq in", {dimension::area, 16129, 25}},
    {"sq ft", {dimension::area, 2322576, 25}},
    {"sq m", {dimension::area, 1e6, 1}},
    {"cu in", {V, 2048383, 125}},
    {"cu ft", {V, 3539605824.0, 125}},
    {"L", {V, 1e6, 1}},
    {"l", {V, 1e6, 1}},
    {"dL", {V, 1e5, 1}},
    {"cL", {V, 1e4, 1}},
    {"mL", {V, 1000, 1}},
    {"ml", {V, 1000, 1}},
    {"gal", {V, 3785411784.0, 1000}},     // 231 in3
    {"qt", {V, 3785411784.0, 4000}},      // gal / 4
    {"pt", {V, 3785411784.0, 8000}},      // gal / 8
    {"fl oz", {V, 3785411784.0, 128000}}, // gal / 128
    {"floz", {V, 3785411784.0, 128000}},
    {"bdft", {V, 2359737216.0, 1000}}, // 144 in3
    {"bd ft", {V, 2359737216.0, 1000}},
    {"board foot", {V, 2359737216.0, 1000}},
    {"board feet", {V, 2359737216.0, 1000}},
    {"kg", {M, 1, 1}},
    {"g", {M, 1, 1000}},
    {"mg", {M, 1, 1e6}},
    {"t", {M, 1000, 1}},
    {"lb", {M, 45359237, 1e8}},
    {"lbs", {M, 45359237, 1e8}},
    {"oz", {M, 45359237, 16e8}}, // lb / 16
    {"s", {T, 1, 1}},
    {"min", {T, 60, 1}},
    {"h", {T, 3600, 1}},
    {"hour", {T, 3600, 1}},
    {"hours", {T, 3600, 1}},
    {"d", {T, 86400, 1}},
    {"day", {T, 86400, 1}},
    {"days", {T, 86400, 1}},
    {"week", {T, 604800, 1}},
    {"weeks", {T, 604800, 1}},
    {"deg", {dimension::angle, 1, 1}},
    {"N", {F, 1000, 1}},
    {"kN", {F, 1e6, 1}},
    {"lbf", {F, 44482216152605.0, 1e10}}, // 0.45359237 * 9.80665 N
    {"Nm", {dimension::torque, 1e6, 1}},
    {"Pa", {S, 1, 1000}},
    {"kPa", {S, 1, 1}},
    {"MPa", {S, 1000, 1}},
    {"GPa", {S, 1e6, 1}},
    // pound-force per square inch
    {"psi", {S, 44482216152605.0 * 25, 1e10 * 16129}},
};

struct SymbolUnit {
    std::string_view symbol;
    Unit unit;
};
constexpr SymbolUnit symbol_units[] = {
    {"'", {L, 1524, 5}},
    {"\u2032", {L, 1524, 5}},
    {"\u2019", {L, 1524, 5}},
    {"\"", {L, 127, 5}},
    {"\u2033", {L, 127, 5}},
    {"\u201d", {L, 127, 5}},
    {"%", {dimension::none, 1, 100}},
    {"\u00b0", {dimension::angle, 1, 1}},
};

bool is_name_char(char c) {
    return is_letter(c) || is_digit(c) || c == '_';
}

const Unit* find_named(std::string_view name) {
    for (const NamedUnit& candidate : named_units)
        if (candidate.name == name) return &candidate.unit;
    return nullptr;
}

Unit raised(const Unit& unit, int exponent) {
    Unit result{power(unit.dimension, exponent), 1, 1};
    for (int i = 0; i < exponent; ++i) {
        result.numerator *= unit.numerator;
        result.denominator *= unit.denominator;
    }
    return result;
}

// True when a name goes on at `at`: a unit read up to here would cut the name in two.
bool name_goes_on(std::string_view text, std::size_t at) {
    if (at >= text.size()) return false;
    if (is_name_char(text[at])) return true;
    return text[at] == '.' && at + 1 < text.size() && starts_name(text[at + 1]);
}

// A unit that is a sign, such as ' or %.
std::optional<ReadUnit> read_sign(std::string_view text, std::size_t at) {
    if (at >= text.size()) return std::nullopt;
    for (const SymbolUnit& candidate : symbol_units)
        if (text.substr(at, candidate.symbol.size()) == candidate.symbol)
            return ReadUnit{candidate.unit, at + candidate.symbol.size()};
    return std::nullopt;
}

// A unit that is a word, two words, or a word with a power.
std::optional<ReadUnit> read_word(std::string_view text, std::size_t at) {
    const std::size_t end = end_of_letters(text, at);
    if (end == at) return std::nullopt;
    if (end + 1 < text.size() && text[end] == ' ' && is_letter(text[end + 1])) {
        const std::size_t second_end = end_of_letters(text, end + 1);
        const Unit* two_words = find_named(text.substr(at, second_end - at));
        if (two_words && !name_goes_on(text, second_end)) return ReadUnit{*two_words, second_end};
    }
    const Unit* unit = find_named(text.substr(at, end - at));
    if (!unit) return std::nullopt;
    int exponent = 1;
    std::size_t after = end;
    if (end < text.size() && text[end] >= '2' && text[end] <= '4') {
        exponent = text[end] - '0';
        after = end + 1;
    } else if (text.substr(end, 2) == "\u00b2" || text.substr(end, 2) == "\u00b3") {
        exponent = text.substr(end, 2) == "\u00b2" ? 2 : 3;
        after = end + 2;
    }
    if (name_goes_on(text, after)) return std::nullopt;
    if (exponent == 1) return ReadUnit{*unit, after};
    if (unit->dimension != L && unit->dimension != T) return std::nullopt;
    return ReadUnit{raised(*unit, exponent), after};
}

} // namespace

std::size_t end_of_letters(std::string_view text, std::size_t at) {
    while (at < text.size()) {
        if (is_letter(text[at]))
            ++at;
        else if (text.substr(at, 2) == "\u00b5" || text.substr(at, 2) == "\u03bc")
            at += 2;
        else
            break;
    }
    return at;
}

bool starts_name(char c) {
    return is_letter(c) || c == '_';
}

std::size_t end_of_name(std::string_view text, std::size_t at) {
    while (name_goes_on(text, at)) ++at;
    return at;
}

std::size_t skip_spaces(std::string_view text, std::size_t at) {
    while (at < text.size() && (text[at] == ' ' || text[at] == '\t')) ++at;
    return at;
}

std::optional<ReadUnit> read_unit(std::string_view text, std::size_t at) {
    if (const auto sign = read_sign(text, at)) return sign;
    std::optional<ReadUnit> read = read_word(text, at);
    if (!read) return read;
    while (text.substr(read->end, 2) == "\u00b7") {
        const auto factor = read_word(text, read->end + 2);
        if (!factor) return std::nullopt;
        read->unit = {read->unit.dimension * factor->unit.dimension,
                      read->unit.numerator * factor->unit.numerator,
                      read->unit.denominator * factor->unit.denominator};
        read->end = factor->end;
    }
    if (text.substr(read->end, 1) == "/") {
        if (const auto divisor = read_word(text, read->end + 1)) {
            read->unit = {read->unit.dimension / divisor->unit.dimension,
                          read->unit.numerator * divisor->unit.denominator,
                          read->unit.denominator * divisor->unit.numerator};
            read->end = divisor->end;
        }
    }
    return read;
}

std::string unit_advice(const std::string& name) {
    static const std::vector<std::string> names = [] {
        std::vector<std::string> list;
        for (const NamedUnit& unit : named_units) list.emplace_back(unit.name);
        for (const UnitSpec& unit : contract_units()) list.emplace_back(unit.name);
        for (const char* unit : {"cm2", "ft2", "in2", "ft3", "in3", "g/m2", "lb/ft3", "ft2/gal"})
            list.emplace_back(unit);
        return list;
    }();
    const auto lower = [](std::string text) {
        for (char& c : text)
            if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
        return text;
    };
    for (const std::string& candidate : names)
        if (lower(candidate) == lower(name)) return "did you mean '" + candidate + "'?";
    const std::string nearest = nearest_name(name, names);
    if (!nearest.empty()) return "did you mean '" + nearest + "'?";
    return "use a unit such as mm, m2, L, kg, N, deg, min, in, ft or lb";
}

} // namespace aumbry
