#include "solid_stock/engine/asking.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::solid_stock {

namespace {

/// Wider boards are seldom had (common practice).
constexpr GridLength widest_usual = 10 * steps_per_inch;

GridLength up_to_step(GridLength size, GridLength step) {
    return step > 0 ? (size + step - 1) / step * step : size;
}

GridLength share_of(GridLength size, double share) {
    return static_cast<GridLength>(std::floor(static_cast<double>(size) * share));
}

GridLength grown(GridLength size, double share) {
    return static_cast<GridLength>(std::ceil(static_cast<double>(size) / share));
}

void sort_out(std::vector<GridLength>& sizes) {
    std::sort(sizes.begin(), sizes.end());
    sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
}

} // namespace

std::vector<AskedSize> sizes_to_ask(const RipOrder& order, const RandomBoards& boards) {
    GridLength widest = 0;
    GridLength second = 0; // of what may lie beside it
    GridLength longest = 0;
    for (const WidePart& part : order.parts) {
        if (part.count == 0) continue;
        for (std::int64_t piece = 0; piece < std::min<std::int64_t>(part.count, 2); ++piece) {
            GridLength width = part.width + order.width_allowance;
            if (width > widest) std::swap(width, widest);
            second = std::max(second, width);
        }
        longest = std::max(longest, part.length + order.length_allowance);
    }
    if (widest == 0) return {};
    const auto width = [&](GridLength needed) {
        return up_to_step(std::max(needed, boards.least_width), boards.width_step);
    };
    const auto length = [&](GridLength needed) {
        return up_to_step(std::max(needed, boards.least_length), boards.length_step);
    };
    const GridLength sound = longest + 2 * boards.end_trim;
    std::vector<GridLength> widths{width(widest), width(grown(widest, boards.yield))};
    if (second > 0) {
        const GridLength two = widest + second + order.kerf;
        for (const GridLength wide : {width(two), width(grown(two, boards.yield))})
            if (wide <= widest_usual) widths.push_back(wide);
    }
    std::vector<GridLength> lengths{length(sound),
                                    length(grown(longest, boards.yield) + boards.end_trim),
                                    length(sound) + 2 * boards.length_step};
    sort_out(widths);
    sort_out(lengths);
    if (boards.longest > 0 && lengths.front() <= boards.longest)
        std::erase_if(lengths, [&](GridLength each) { return each > boards.longest; });
    std::vector<AskedSize> sizes;
    for (const GridLength of_length : lengths)
        for (const GridLength of_width : widths) sizes.push_back({of_length, of_width});
    return sizes;
}

std::vector<WideStock> stock_of(const AskedSize& size, const RandomBoards& boards) {
    WideStock by_length;
    by_length.length = size.length;
    by_length.width = size.width;
    by_length.trim_start = by_length.trim_end = boards.end_trim;
    WideStock by_width = by_length;
    const GridLength off = size.length - share_of(size.length, boards.yield);
    by_length.trim_end = std::max(boards.end_trim, off - boards.end_trim);
    by_width.trim_edge = size.width - share_of(size.width, boards.yield);
    return {by_length, by_width};
}

} // namespace aumbry::solid_stock
