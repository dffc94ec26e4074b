#include "sheet_goods/engine/bounds.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <numeric>
#include <vector>

namespace aumbry::sheet_goods {

namespace {

__extension__ using Wide = __int128; // products of values along two axes, times many parts

// Steps of the table that finds the least cost of an area; beyond, the fractional answer is used.
constexpr std::int64_t largest_table = 2'000'000;

std::int64_t divide_up(std::int64_t a, std::int64_t b) {
    return (a + b - 1) / b;
}

std::int64_t total_area(const Problem& problem) {
    std::int64_t area = 0;
    for (const PartKind& part : problem.parts) area += part.area * part.count;
    return area;
}

std::int64_t cost_of(const CuttingJob& order, const SheetKind& sheet) {
    return order.formats[static_cast<std::size_t>(sheet.format)].cost;
}

std::int64_t fewest_sheets_of_area(const Problem& problem, std::int64_t area) {
    std::vector<SheetKind> sheets = problem.sheets;
    std::sort(sheets.begin(), sheets.end(),
              [](const SheetKind& a, const SheetKind& b) { return a.area > b.area; });
    std::int64_t count = 0;
    for (const SheetKind& sheet : sheets) {
        if (area <= 0) break;
        const std::int64_t used = std::min(sheet.limit, divide_up(area, sheet.area));
        count += used;
        area -= used * sheet.area;
    }
    return count;
}

/// Values of one dual feasible function: of the sheet's size, and of each part kind's length and
/// width.
struct Values {
    std::int64_t sheet = 0;
    std::vector<std::array<std::int64_t, 2>> part;
};

template <class Function>
Values values_of(const Problem& problem, std::int64_t sheet, Function function) {
    Values values;
    values.sheet = sheet;
    values.part.reserve(problem.parts.size());
    for (const PartKind& part : problem.parts)
        values.part.push_back({function(part.size[0]), function(part.size[1])});
    return values;
}

/// At most `count` of the sorted values, evenly spread.
std::vector<std::int64_t> thinned(std::vector<std::int64_t> values, std::size_t count) {
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    if (values.size() <= count) return values;
    std::vector<std::int64_t> chosen;
    for (std::size_t i = 0; i < count; ++i) chosen.push_back(values[i * values.size() / count]);
    return chosen;
}

/// Most of the sizes (ascending, as sums of the first ones) that fit the room.
std::int64_t most_that_fit(const std::vector<std::int64_t>& sums, std::int64_t room) {
    return std::upper_bound(sums.begin(), sums.end(), room) - sums.begin();
}

std::vector<Values> functions_along(const Problem& problem, std::size_t axis, std::size_t detail) {
    const std::int64_t size = problem.sheets[0].size[axis];
    std::vector<std::int64_t> sizes;      // that may lie along the axis, each part
    std::vector<std::int64_t> thresholds; // up to half the sheet
    for (const PartKind& part : problem.parts) {
        for (std::size_t side = 0; side < 2; ++side) {
            const unsigned way = side == axis ? lies_straight : lies_turned;
            if ((part.lies[0] & way) == 0) continue;
            for (int c = 0; c < part.count; ++c) sizes.push_back(part.size[side]);
            if (2 * std::int64_t{part.size[side]} <= size) thresholds.push_back(part.size[side]);
            const std::int64_t rest = size - part.size[side];
            if (rest > 0 && 2 * rest < size) thresholds.push_back(rest + 1);
        }
    }
    std::sort(sizes.begin(), sizes.end());

    std::vector<Values> functions;
    functions.push_back(values_of(problem, size, [](std::int64_t x) { return x; }));
    for (const std::int64_t k : thinned(thresholds, detail)) {
        functions.push_back(values_of(problem, size, [=](std::int64_t x) {
            return x > size - k ? size : x < k ? 0 : x;
        }));
        functions.push_back(values_of(problem, 2 * (size / k), [=](std::int64_t x) {
            if (2 * x > size) return 2 * (size / k - (size - x) / k);
            return 2 * x == size ? size / k : 2 * (x / k);
        }));
        std::vector<std::int64_t> sums;
        std::int64_t sum = 0;
        for (const std::int64_t x : sizes)
            if (x >= k && 2 * x <= size && sum <= size) sums.push_back(sum += x);
        const std::int64_t most = most_that_fit(sums, size);
        if (most > 0)
            functions.push_back(values_of(problem, most, [&](std::int64_t x) -> std::int64_t {
                if (2 * x > size)
                    return most - most_that_fit(sums, std::max<std::int64_t>(0, size - x));
                return x < k ? 0 : 1;
            }));
    }
    for (std::int64_t k = 1; k <= static_cast<std::int64_t>(std::min<std::size_t>(detail, 24)); ++k)
        functions.push_back(values_of(problem, k * size, [=](std::int64_t x) {
            return (k + 1) * x % size == 0 ? k * x : (k + 1) * x / size * size;
        }));
    return functions;
}

} // namespace

void Bound::raise(const Bound& other) {
    if (other.sheets > sheets || other.cost > cost) method = other.method;
    sheets = std::max(sheets, other.sheets);
    cost = std::max(cost, other.cost);
}

std::int64_t least_cost_of_holding(const std::vector<Holding>& all, std::int64_t amount) {
    std::int64_t unit = 0;
    std::vector<Holding> sheets; // that cost something and hold something
    for (const Holding& sheet : all) {
        if (sheet.most <= 0) continue;
        unit = std::gcd(unit, sheet.cost);
        if (sheet.cost == 0)
            amount -= sheet.limit * sheet.most;
        else
            sheets.push_back(sheet);
    }
    if (amount <= 0 || unit == 0) return 0;

    // Fractional: the cheapest first.
    std::sort(sheets.begin(), sheets.end(), [](const Holding& a, const Holding& b) {
        return static_cast<Wide>(a.cost) * b.most < static_cast<Wide>(b.cost) * a.most;
    });
    std::int64_t least = 0;
    std::int64_t rest = amount;
    std::int64_t most = 0; // enough in any case: whole sheets of the cheapest
    for (const Holding& sheet : sheets) {
        const std::int64_t whole = std::min(sheet.limit, rest / sheet.most);
        least += whole * sheet.cost;
        most += std::min(sheet.limit, divide_up(rest, sheet.most)) * sheet.cost;
        rest -= whole * sheet.most;
        if (whole < sheet.limit && rest > 0) {
            least += static_cast<std::int64_t>(
                (static_cast<Wide>(rest) * sheet.cost + sheet.most - 1) / sheet.most);
            rest = 0;
        }
        if (rest == 0) break;
    }
    least = divide_up(least, unit) * unit;
    if (rest > 0) return least; // all sheets together are too small
    const std::int64_t columns = most / unit + 1;
    std::int64_t copies = 0;
    for (const Holding& sheet : sheets)
        copies += std::min(sheet.limit, divide_up(amount, sheet.most));
    if (columns * copies > largest_table) return least;

    std::vector<std::int64_t> held(static_cast<std::size_t>(columns), 0); // for at most that cost
    for (const Holding& sheet : sheets) {
        const auto step = static_cast<std::size_t>(sheet.cost / unit);
        for (std::int64_t c = std::min(sheet.limit, divide_up(amount, sheet.most)); c > 0; --c)
            for (std::size_t i = held.size(); i-- > step;)
                held[i] = std::max(held[i], held[i - step] + sheet.most);
    }
    for (std::size_t i = 0; i < held.size(); ++i)
        if (held[i] >= amount) return std::max(least, static_cast<std::int64_t>(i) * unit);
    return least;
}

std::int64_t least_cost_of_area(const CuttingJob& order, const Problem& problem,
                                std::int64_t area) {
    std::vector<Holding> sheets;
    for (const SheetKind& sheet : problem.sheets)
        sheets.push_back({cost_of(order, sheet), sheet.area, sheet.limit});
    return least_cost_of_holding(sheets, area);
}

Bound area_bound(const CuttingJob& order, const Problem& problem) {
    const std::int64_t area = total_area(problem);
    return {fewest_sheets_of_area(problem, area), least_cost_of_area(order, problem, area), "area"};
}

Bound dual_feasible_bound(const CuttingJob& order, const Problem& problem, std::size_t detail) {
    Bound bound;
    if (problem.sheets.size() != 1) return bound;
    const std::vector<Values> along_length = functions_along(problem, 0, detail);
    const std::vector<Values> along_width = functions_along(problem, 1, detail);
    for (const Values& f : along_length) {
        for (const Values& g : along_width) {
            Wide sum = 0;
            for (std::size_t i = 0; i < problem.parts.size(); ++i) {
                Wide value = std::numeric_limits<std::int64_t>::max();
                value *= value;
                if ((problem.parts[i].lies[0] & lies_straight) != 0)
                    value = static_cast<Wide>(f.part[i][0]) * g.part[i][1];
                if ((problem.parts[i].lies[0] & lies_turned) != 0)
                    value = std::min(value, static_cast<Wide>(f.part[i][1]) * g.part[i][0]);
                sum += value * problem.parts[i].count;
            }
            const Wide whole = static_cast<Wide>(f.sheet) * g.sheet;
            bound.sheets =
                std::max(bound.sheets, static_cast<std::int64_t>((sum + whole - 1) / whole));
        }
    }
    bound.cost = bound.sheets * cost_of(order, problem.sheets[0]);
    bound.method = "dual feasible functions";
    return bound;
}

} // namespace aumbry::sheet_goods
