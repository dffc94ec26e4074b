#include "solid_stock/engine/lumber.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <utility>

namespace aumbry::solid_stock {
namespace {

__extension__ using Wide = __int128;

constexpr GridLength inch = steps_per_inch;
constexpr GridLength foot = 12 * inch;
constexpr GridLength sixteenth = inch / 16;

double inches(GridLength length) {
    return static_cast<double>(length) / static_cast<double>(inch);
}
double feet(GridLength length) {
    return static_cast<double>(length) / static_cast<double>(foot);
}
double metres(GridLength length) {
    return to_mm(length) / 1000.0;
}

std::string in_mm(GridLength length) {
    std::array<char, 32> text{};
    std::snprintf(text.data(), text.size(), "%.4g mm", to_mm(length));
    return text.data();
}

/// Nominal quarter inches and the dressed size in sixteenths, dry. PS 20-20, table 3.
using SizeTable = std::vector<std::pair<std::int64_t, std::int64_t>>;

const SizeTable& thickness_table() {
    static const SizeTable table{{3, 10}, {4, 12},  {5, 16},  {6, 20},
                                 {8, 24}, {10, 32}, {12, 40}, {16, 56}};
    return table;
}

const SizeTable& width_table() {
    // 7 is a width of boards only; some retail tables print 6 1/4 for it, the standard says 6 1/2.
    static const SizeTable table{{8, 24},   {12, 40},  {16, 56},  {20, 72},  {24, 88}, {28, 104},
                                 {32, 116}, {36, 132}, {40, 148}, {44, 164}, {48, 180}};
    return table;
}

std::string nominal_text(std::int64_t quarters) {
    static constexpr std::array<const char*, 4> fractions{"", " 1/4", " 1/2", " 3/4"};
    const auto rest = static_cast<std::size_t>(quarters % 4);
    if (quarters < 4) return std::string(fractions[rest]).substr(quarters > 0 ? 1 : 0);
    return std::to_string(quarters / 4) + fractions[rest];
}

GridLength dressed(const SizeTable& table, std::int64_t nominal, std::string_view what) {
    std::string known;
    for (const auto& [quarters, sixteenths] : table) {
        if (quarters == nominal) return sixteenths * sixteenth;
        known += (known.empty() ? "" : ", ") + nominal_text(quarters);
    }
    fail("no-dressed-size", {},
         "no dressed " + std::string(what) + " is known for nominal " + std::to_string(nominal) +
             " quarter inches",
         "nominal sizes in inches are " + known);
}

} // namespace

double board_feet(GridLength thickness, GridLength width, GridLength length) {
    return inches(std::max(thickness, inch)) * inches(width) * feet(length) / 12.0;
}

std::int64_t surface_measure(GridLength width, GridLength length) {
    const Wide square_foot = Wide{foot} * foot;
    return static_cast<std::int64_t>((Wide{width} * length + square_foot / 2) / square_foot);
}

double tallied_board_feet(GridLength thickness, GridLength width, GridLength length) {
    return static_cast<double>(surface_measure(width, length)) * inches(std::max(thickness, inch));
}

GridLength dressed_thickness(std::int64_t nominal_quarter_inches) {
    return dressed(thickness_table(), nominal_quarter_inches, "thickness");
}

GridLength dressed_width(std::int64_t nominal_quarter_inches) {
    return dressed(width_table(), nominal_quarter_inches, "width");
}

std::int64_t metric_dressed_mm(GridLength size) {
    const std::int64_t whole = size / steps_per_mm;
    const std::int64_t twice_rest = 2 * (size % steps_per_mm);
    if (twice_rest == steps_per_mm) return whole + whole % 2;
    return twice_rest > steps_per_mm ? whole + 1 : whole;
}

const std::vector<Quarter>& hardwood_quarters() {
    static const std::vector<Quarter> table{
        {4, inch, 13 * sixteenth},           {5, 20 * sixteenth, 17 * sixteenth},
        {6, 24 * sixteenth, 21 * sixteenth}, {8, 2 * inch, 28 * sixteenth},
        {12, 3 * inch, 44 * sixteenth},      {16, 4 * inch, 60 * sixteenth},
    };
    return table;
}

const Quarter& quarter_for(GridLength finished) {
    for (const Quarter& quarter : hardwood_quarters())
        if (quarter.surfaced >= finished) return quarter;
    fail("no-quarter", {},
         "a finished thickness of " + in_mm(finished) + " is a thickness that no quarter yields",
         "16/4 surfaced leaves " + in_mm(hardwood_quarters().back().surfaced) +
             "; glue the part up from thinner wood");
}

GridLength rough_thickness_for(GridLength finished, GridLength planing,
                               const std::vector<GridLength>& on_offer) {
    GridLength best = 0, thickest = 0;
    for (const GridLength rough : on_offer) {
        thickest = std::max(thickest, rough);
        if (rough - planing >= finished && (best == 0 || rough < best)) best = rough;
    }
    if (best == 0)
        fail("no-rough-thickness", {},
             "no rough thickness on offer leaves " + in_mm(finished) + " after planing off " +
                 in_mm(planing),
             on_offer.empty()
                 ? "offer rough boards"
                 : "the thickest is " + in_mm(thickest) + "; glue the part up or plane off less");
    return best;
}

const std::vector<Grade>& nhla_grades() {
    // Yields in twelfths of surface measure: 10, 8, 6, 4, 3. 3A and 3B as commonly summarised. 3B
    // counts sound pieces of 36 square inches, 1 1/2 in wide at least: 2 ft long then.
    static const std::vector<Grade> table{
        {"FAS", 6 * inch, 8 * foot, {{4 * inch, 5 * foot}, {3 * inch, 7 * foot}}, 10.0 / 12},
        {"Selects", 4 * inch, 6 * foot, {{4 * inch, 5 * foot}, {3 * inch, 7 * foot}}, 10.0 / 12},
        {"No.1 Common", 3 * inch, 4 * foot, {{4 * inch, 2 * foot}, {3 * inch, 3 * foot}}, 8.0 / 12},
        {"No.2A Common", 3 * inch, 4 * foot, {{3 * inch, 2 * foot}}, 6.0 / 12},
        {"No.2B Common", 3 * inch, 4 * foot, {{3 * inch, 2 * foot}}, 6.0 / 12},
        {"No.3A Common", 3 * inch, 4 * foot, {{3 * inch, 2 * foot}}, 4.0 / 12},
        {"No.3B Common", 3 * inch, 4 * foot, {{inch + inch / 2, 2 * foot}}, 3.0 / 12},
    };
    return table;
}

const Grade& grade_named(std::string_view name) {
    std::vector<std::string> known;
    std::string list;
    for (const Grade& grade : nhla_grades()) {
        if (grade.name == name) return grade;
        known.push_back(grade.name);
        list += (list.empty() ? "" : ", ") + grade.name;
    }
    const std::string nearest = nearest_name(std::string(name), known);
    fail("unknown-grade", {}, "unknown grade '" + std::string(name) + "'",
         nearest.empty() ? "grades are " + list : "did you mean '" + nearest + "'?");
}

double yield_for_part(const Grade& grade, GridLength width, GridLength length) {
    double best = 0.0;
    for (const Cutting& cutting : grade.cuttings) {
        const double in_length =
            std::min(1.0, static_cast<double>(cutting.length) / static_cast<double>(length));
        const double in_width =
            std::min(1.0, static_cast<double>(cutting.width) / static_cast<double>(width));
        best = std::max(best, in_length * in_width);
    }
    return grade.yield * best;
}

std::vector<RoughNeed> rough_needs(const std::vector<LumberPart>& parts, const Grade& grade,
                                   const Allowances& allowances,
                                   const std::vector<GridLength>& thicknesses_on_offer) {
    std::vector<RoughNeed> needs;
    for (std::size_t p = 0; p < parts.size(); ++p) {
        const LumberPart& part = parts[p];
        if (part.length <= 0 || part.width <= 0 || part.thickness <= 0)
            fail("part-without-size", {},
                 "part '" + part.name + "' has no length, width or thickness",
                 "give all three above zero");
        RoughNeed need;
        need.part = p;
        need.rough_thickness =
            rough_thickness_for(part.thickness, allowances.thickness, thicknesses_on_offer);
        const GridLength length = part.length + allowances.length,
                         width = part.width + allowances.width;
        const auto count = static_cast<double>(part.count);
        need.net_cubic_metres =
            count * metres(part.length) * metres(part.width) * metres(part.thickness);
        need.rough_cubic_metres =
            count * metres(length) * metres(width) * metres(need.rough_thickness);
        need.yield = yield_for_part(grade, width, length);
        need.cubic_metres = need.rough_cubic_metres / need.yield;
        need.board_feet = count * board_feet(need.rough_thickness, width, length) / need.yield;
        needs.push_back(need);
    }
    return needs;
}

} // namespace aumbry::solid_stock
