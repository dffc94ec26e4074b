#include "sheet_goods/engine/pattern_bound.hpp"

#include "sheet_goods/engine/patterns.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace aumbry::sheet_goods {

namespace {

// Cells of the grid along one axis. A sheet with more steps is worked out with its parts rounded
// down to cells, which keeps the bound sure.
constexpr std::int32_t most_cells = 128;
constexpr std::size_t most_kinds = 400;

} // namespace

Bound pattern_bound(const CuttingJob& order, const Problem& problem, std::int64_t known,
                    std::int64_t enough, std::int64_t& steps, std::int64_t last_step) {
    Bound bound;
    const std::size_t kinds = problem.parts.size();
    if (problem.sheets.size() != 1 || kinds == 0 || kinds > most_kinds) return bound;
    bound.method = "patterns";
    PatternTable table(problem, 0, most_cells);
    std::vector<double> demand;
    for (std::size_t i = 0; i < kinds; ++i)
        demand.push_back(table.is_too_thin(i) ? 0.0 : problem.parts[i].count);
    Mixture mixture(demand, std::vector<double>(kinds, 1.0));
    std::vector<double> centre(kinds, 0.0); // prices of the best bound so far
    std::vector<std::int32_t> values(kinds);
    std::vector<double> wanted(kinds);
    double best_bound = 0;
    // Prices are drawn towards those of the best bound: fewer rounds.
    double pull = 0.6;
    while (steps < last_step) {
        const std::vector<double>& prices = mixture.prices();
        const auto lowest = std::min_element(prices.begin(), prices.end());
        if (*lowest < -1e-7) { // more is made of this part than wanted
            std::vector<double> surplus(kinds, 0.0);
            surplus[static_cast<std::size_t>(lowest - prices.begin())] = -1.0;
            if (!mixture.enter(surplus, 0.0)) break;
            steps += static_cast<std::int64_t>(kinds * kinds / 16);
            continue;
        }
        for (std::size_t i = 0; i < kinds; ++i) {
            const double value =
                best_bound > 0 ? pull * centre[i] + (1 - pull) * prices[i] : prices[i];
            wanted[i] = demand[i] > 0 ? std::clamp(value, 0.0, 1.0) : 0;
        }
        const double scale = table.largest_scale(wanted);
        std::int64_t worth = 0;
        for (std::size_t i = 0; i < kinds; ++i) {
            values[i] = static_cast<std::int32_t>(wanted[i] * scale);
            worth += std::int64_t{values[i]} * problem.parts[i].count;
        }
        const std::int32_t most = table.solve(values, problem.stop);
        steps += table.work() + static_cast<std::int64_t>(kinds * kinds / 16);
        if (most <= 0) break;
        bound.sheets = std::max(bound.sheets, (worth + most - 1) / most);
        const double fraction = static_cast<double>(worth) / most;
        if (fraction > best_bound) {
            best_bound = fraction;
            for (std::size_t i = 0; i < kinds; ++i)
                centre[i] = values[i] / static_cast<double>(most);
        }
        const double sum = mixture.cost();
        if (bound.sheets >= enough ||
            std::ceil(sum - 1e-6) <= static_cast<double>(std::max(known, bound.sheets)))
            break;
        const std::vector<double> pattern = table.pattern(values);
        double gain = -1.0;
        for (std::size_t i = 0; i < kinds; ++i) gain += pattern[i] * prices[i];
        if (gain > 1e-7) {
            if (!mixture.enter(pattern, 1.0)) break;
        } else if (pull > 0) {
            pull = 0; // the pulled prices no longer find anything new
        } else {
            break;
        }
    }
    bound.cost =
        bound.sheets * order.formats[static_cast<std::size_t>(problem.sheets[0].format)].cost;
    return bound;
}

} // namespace aumbry::sheet_goods
