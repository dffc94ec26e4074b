#include "aumbry/reader_measures.hpp"

#include "values/characters.hpp"

#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

namespace aumbry {
namespace {

/// A metric unit, and what its reader in inches calls it. Exact factors of NIST SP 811 (avoirdupois
/// pound, US liquid gallon, pound-force).
struct MetricUnit {
    std::string_view name; ///< with the space before it
    double each = 1;       ///< of the reader's units
    std::string_view reader;
    int decimals = 1;
    bool joined = false; ///< sizes: every number of "a x b" has this unit
};
constexpr double pound = 0.45359237;
constexpr double gallon = 3.785411784;
constexpr double foot = 0.3048;
constexpr double gravity = 9.80665;
constexpr MetricUnit metric_units[] = {
    {" mm", 0, "in", 0, true}, // as format_length() says it
    {" m", 1 / foot, "ft", 1, true},
    {" m2", 1 / (foot * foot), "sq ft", 1},
    {" m3", 1 / (foot * foot * foot), "cu ft", 2},
    {" kg", 1 / pound, "lb", 1},
    {" L", 0, "gal", 2}, // as volume_text() says it
    {" N", 1 / (pound * gravity), "lbf", 1},
    {" N m", 1 / (pound * gravity * foot), "lbf ft", 1},
    {" N\u00b7m", 1 / (pound * gravity * foot), "lbf ft", 1},
    {" kg/m3", foot* foot* foot / pound, "lb/ft3", 1},
    {" kg/m2", foot* foot / pound, "lb/ft2", 2},
    {" m2/L", gallon / (foot * foot), "sq ft/gal", 0},
    {" N/mm2", 1e6 * 0.0254 * 0.0254 / (pound * gravity), "psi", 0},
};

bool is_letter_or_digit(char c) {
    return is_digit(c) || is_letter(c);
}

bool is_of_number(char c) {
    return is_digit(c) || c == '.' || c == '-';
}

/// Where the number that ends at `end` begins; `end` when there is none.
std::size_t number_before(std::string_view text, std::size_t end) {
    std::size_t begin = end;
    while (begin > 0 && is_of_number(text[begin - 1])) --begin;
    if (begin > 0 && is_letter_or_digit(text[begin - 1])) return end; // part of a word
    return begin;
}

/// Where the run of numbers joined by " to ", and by " x " in sizes, begins that ends at `end`.
std::size_t run_before(std::string_view text, std::size_t end, bool size) {
    std::size_t begin = number_before(text, end);
    for (bool more = begin != end; more;) {
        more = false;
        for (const std::string_view joint : {" x ", " to "}) {
            if (joint == " x " && !size) continue;
            if (begin < joint.size() || text.substr(begin - joint.size(), joint.size()) != joint)
                continue;
            const std::size_t number_end = begin - joint.size();
            const std::size_t earlier = number_before(text, number_end);
            if (earlier == number_end) continue;
            begin = earlier;
            more = true;
        }
    }
    return begin;
}

std::string in_readers_unit(double value, const MetricUnit& unit) {
    if (unit.name == " mm") return format_length(Length::from_base(value), LengthUnit::inch);
    if (unit.name == " L") return volume_text(value, "in");
    if (unit.name == " kg") return mass_text(value, "in");
    // What is small keeps two digits that say something.
    const double there = value * unit.each;
    const int decimals = std::fabs(there) < 1 ? std::max(unit.decimals, 2) : unit.decimals;
    return format_trimmed(there, decimals) + ' ' + std::string(unit.reader);
}

std::string run_in_readers_unit(std::string_view run, const MetricUnit& unit) {
    std::string out;
    for (std::size_t i = 0; i < run.size();) {
        std::size_t end = i;
        while (end < run.size() && is_of_number(run[end])) ++end;
        if (end == i) {
            out += run[i++];
            continue;
        }
        const double value = std::strtod(std::string(run.substr(i, end - i)).c_str(), nullptr);
        out += in_readers_unit(value, unit);
        i = end;
    }
    return out;
}

/// The unit that stands at a place of the text, the longest; null when there is none.
const MetricUnit* unit_at(std::string_view text, std::size_t at) {
    const MetricUnit* found = nullptr;
    for (const MetricUnit& unit : metric_units) {
        if (text.substr(at, unit.name.size()) == unit.name &&
            (found == nullptr || unit.name.size() > found->name.size()))
            found = &unit;
    }
    if (found == nullptr) return nullptr;
    const std::size_t after = at + found->name.size();
    if (after == text.size()) return found;
    // Longer words and compound units are something else.
    const char next = text[after];
    return is_letter_or_digit(next) || next == '/' || (next & 0x80) != 0 ? nullptr : found;
}

/// Which characters stand within single quotes. An apostrophe within a word opens nothing.
std::vector<bool> between_quotes(std::string_view text) {
    std::vector<bool> within(text.size(), false);
    bool open = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\'') {
            const bool after_letter = i > 0 && is_letter_or_digit(text[i - 1]);
            if (open || !after_letter) open = !open;
        }
        within[i] = open;
    }
    return within;
}

} // namespace

std::string length_text(double mm, const std::string& length_unit) {
    return format_length(Length::mm(mm), length_unit == "in" ? LengthUnit::inch : LengthUnit::mm);
}

std::string mass_text(double kg, const std::string& length_unit, int decimals) {
    if (length_unit != "in") return format_trimmed(kg, decimals) + " kg";
    const double pounds = kg / pound;
    return format_trimmed(pounds, std::fabs(pounds) < 1 ? std::max(decimals, 2) : decimals) + " lb";
}

std::string volume_text(double litres, const std::string& length_unit) {
    if (length_unit != "in") return format_trimmed(litres, 3) + " L";
    const double gallons = litres / gallon;
    if (std::fabs(gallons) >= 1) return format_trimmed(gallons, 2) + " gal";
    if (std::fabs(gallons) >= 0.25) return format_trimmed(gallons * 4, 2) + " qt";
    return format_trimmed(gallons * 128, 1) + " fl oz";
}

std::string measures_for_reader(std::string_view text, const std::string& length_unit) {
    if (length_unit != "in") return std::string(text);
    const std::vector<bool> names = between_quotes(text);
    std::string out;
    std::size_t done = 0;
    for (std::size_t at = text.find(' '); at != std::string_view::npos;
         at = text.find(' ', at + 1)) {
        const MetricUnit* unit = names[at] ? nullptr : unit_at(text, at);
        if (unit == nullptr) continue;
        const std::size_t begin = run_before(text, at, unit->joined);
        if (begin == at || begin < done) continue;
        out += text.substr(done, begin - done);
        out += run_in_readers_unit(text.substr(begin, at - begin), *unit);
        done = at + unit->name.size();
    }
    out += text.substr(done);
    return out;
}

} // namespace aumbry
