#include "solid_stock/engine/boards.hpp"

#include "solid_stock/engine/covering.hpp"
#include "solid_stock/engine/faults.hpp"
#include "solid_stock/engine/knapsack.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <numeric>
#include <optional>

namespace aumbry::solid_stock {
namespace {

void check_order(const BoardOrder& order) {
    // Sums of lengths and of costs stay far from the ends of 64 bits.
    constexpr std::int64_t longest = std::int64_t{1} << 40;
    constexpr std::int64_t most_pieces = 1'000'000;
    constexpr std::int64_t dearest = std::int64_t{1} << 32;
    if (order.kerf < 0 || order.kerf > longest)
        fail("kerf-out-of-range", {},
             order.kerf < 0 ? "the saw kerf is below zero" : "the saw kerf is too wide",
             "give a kerf of zero or more");
    if (order.stock.empty())
        fail("no-stock", {}, "there is no board to cut from",
             "offer a stock length or an owned board");
    std::int64_t most_sound = 0;
    for (std::size_t s = 0; s < order.stock.size(); ++s) {
        const Stock& stock = order.stock[s];
        const std::string who = named("stock", stock.name, s);
        if (stock.length <= 0 || stock.length > longest)
            fail("length-out-of-range", {}, who + " has no usable length",
                 "give a length above zero");
        if (stock.trim_start < 0 || stock.trim_end < 0)
            fail("trim-out-of-range", {}, who + " has a negative end trim",
                 "give trims of zero or more");
        if (stock.cost < 0 || stock.cost > dearest)
            fail("cost-out-of-range", {},
                 who + " has a cost of " + std::to_string(stock.cost) + " minor units",
                 "give a cost of zero or more, below 2^32");
        if (stock.limit != 0)
            most_sound = std::max(most_sound, stock.length - stock.trim_start - stock.trim_end);
    }
    std::int64_t pieces = 0;
    for (std::size_t p = 0; p < order.parts.size(); ++p) {
        const Part& part = order.parts[p];
        const std::string who = named("part", part.name, p);
        if (part.length <= 0 || part.length > longest)
            fail("length-out-of-range", {}, who + " has no length", "give a length above zero");
        if (part.count < 0 || part.count > most_pieces || (pieces += part.count) > most_pieces)
            fail("count-out-of-range", {},
                 who + " is wanted " + std::to_string(part.count) + " times",
                 "give counts from zero that sum up to a million at most");
        if (part.count > 0 && part.length > most_sound)
            fail("part-longer-than-boards", {},
                 who + " is longer than the sound length of every board",
                 "offer a longer board, or joint the part from two");
    }
}

/// The order with kerf folded in, equal lengths merged, and everything divided by the common
/// divisor.
struct Reduced {
    std::vector<std::int64_t> lengths; ///< descending, all different
    std::vector<std::int64_t> counts;
    std::vector<std::int64_t> capacities; ///< of each stock; below the shortest part: unusable
    std::vector<std::vector<std::size_t>> origins; ///< parts of the order of that length
};

Reduced reduce(const BoardOrder& order) {
    Reduced reduced;
    std::vector<std::size_t> by_length;
    for (std::size_t p = 0; p < order.parts.size(); ++p)
        if (order.parts[p].count > 0) by_length.push_back(p);
    std::stable_sort(by_length.begin(), by_length.end(), [&](std::size_t a, std::size_t b) {
        return order.parts[a].length > order.parts[b].length;
    });
    std::int64_t divisor = 0;
    for (const std::size_t p : by_length) {
        const std::int64_t length = order.parts[p].length + order.kerf;
        divisor = std::gcd(divisor, length);
        if (reduced.lengths.empty() || reduced.lengths.back() != length) {
            reduced.lengths.push_back(length);
            reduced.counts.push_back(0);
            reduced.origins.emplace_back();
        }
        reduced.counts.back() += order.parts[p].count;
        reduced.origins.back().push_back(p);
    }
    divisor = std::max<std::int64_t>(divisor, 1);
    // Sums of parts are multiples of the divisor, so a capacity may be rounded down to one.
    for (std::int64_t& length : reduced.lengths) length /= divisor;
    for (const Stock& stock : order.stock) {
        const std::int64_t sound = stock.length - stock.trim_start - stock.trim_end;
        reduced.capacities.push_back(sound > 0 ? (sound + order.kerf) / divisor : 0);
    }
    return reduced;
}

class LengthPatterns : public PatternSource {
  public:
    explicit LengthPatterns(const Reduced& reduced) : reduced_(reduced) {}

    PricedPattern best(std::size_t stock, const std::vector<std::int64_t>& values,
                       const std::vector<std::int64_t>& most, std::int64_t slack) const override {
        const Filling filling = fill_best(items(values, most), reduced_.capacities[stock], slack);
        PricedPattern priced{
            takes(filling.counts), filling.value, filling.upper, filling.steps, {}};
        for (const Counts& counts : filling.earlier) priced.earlier.push_back(takes(counts));
        return priced;
    }

    bool next_fits_in_place() const override { return true; } // lengths descend

    bool list(std::size_t stock, std::size_t must, const std::vector<std::int64_t>& values,
              const std::vector<std::int64_t>& most, std::int64_t least, std::size_t most_listed,
              std::int64_t max_steps, std::vector<Pattern>& listed,
              std::int64_t& steps) const override {
        std::vector<Counts> fillings;
        const bool complete = list_fillings(items(values, most), reduced_.capacities[stock], must,
                                            least, most_listed, max_steps, fillings, steps);
        for (const Counts& counts : fillings) listed.push_back({stock, takes(counts)});
        return complete;
    }

  private:
    [[nodiscard]] std::vector<FillItem> items(const std::vector<std::int64_t>& values,
                                              const std::vector<std::int64_t>& most) const {
        std::vector<FillItem> items(values.size());
        for (std::size_t i = 0; i < values.size(); ++i)
            items[i] = {reduced_.lengths[i], values[i], most[i]};
        return items;
    }
    static std::vector<Take> takes(const std::vector<std::int64_t>& counts) {
        std::vector<Take> takes;
        for (std::size_t i = 0; i < counts.size(); ++i)
            if (counts[i] > 0) takes.push_back({i, counts[i]});
        return takes;
    }

    const Reduced& reduced_;
};

/// Lays the pieces of one pattern along the board, longest first.
CutBoard lay_out(const BoardOrder& order, const Pattern& pattern,
                 const std::vector<std::size_t>& pieces, std::int64_t copies) {
    const Stock& stock = order.stock[pattern.stock];
    CutBoard board{pattern.stock, copies, {}, 0};
    std::int64_t at = stock.trim_start;
    for (const std::size_t part : pieces) {
        board.pieces.push_back({part, at});
        at += order.parts[part].length + order.kerf;
    }
    board.offcut = std::max<std::int64_t>(0, stock.length - stock.trim_end - at);
    return board;
}

/// Hands the pieces of equal length out to the order's parts, part by part.
class Assigner {
  public:
    Assigner(const BoardOrder& order, const Reduced& reduced)
        : reduced_(reduced), left_(order.parts.size()) {
        for (std::size_t p = 0; p < order.parts.size(); ++p) left_[p] = order.parts[p].count;
    }

    /// The parts of one board cut to `pattern`.
    std::vector<std::size_t> next(const Pattern& pattern) {
        std::vector<std::size_t> pieces;
        for (const Take& take : pattern.takes)
            for (std::int64_t n = 0; n < take.count; ++n) pieces.push_back(take_one(take.part));
        return pieces;
    }

    /// Counts pieces of one length as not cut.
    std::size_t take_one(std::size_t length) {
        for (const std::size_t part : reduced_.origins[length])
            if (left_[part] > 0) {
                --left_[part];
                return part;
            }
        fail("plan-overfull", {}, "a cutting plan yields more pieces than were wanted",
             "this is a fault of the program, please report it");
    }

  private:
    const Reduced& reduced_;
    std::vector<std::int64_t> left_;
};

} // namespace

std::int64_t effort_steps(std::string_view effort) {
    if (effort == "draft") return 100'000;
    if (effort == "normal") return 1'500'000;
    if (effort == "thorough") return 20'000'000;
    fail("unknown-effort", {}, "unknown effort '" + std::string(effort) + "'",
         "use draft, normal or thorough");
}

BoardPlan plan_boards(const BoardOrder& order, std::int64_t effort, const Stop& stop) {
    check_order(order);
    BoardPlan plan;
    plan.unmet.assign(order.parts.size(), 0);
    const Reduced reduced = reduce(order);
    if (reduced.lengths.empty()) {
        plan.proven = true;
        return plan;
    }
    std::vector<CoverPart> parts;
    for (std::size_t i = 0; i < reduced.lengths.size(); ++i)
        parts.push_back({reduced.counts[i], reduced.lengths[i]});
    std::vector<CoverStock> stocks;
    for (const Stock& stock : order.stock) stocks.push_back({stock.cost, stock.limit});

    const LengthPatterns source(reduced);
    const Cover found = cover(parts, stocks, source, effort, stop);

    Assigner assigner(order, reduced);
    for (const auto& [pattern, copies] : found.patterns) {
        std::optional<std::vector<std::size_t>> before;
        for (std::int64_t c = 0; c < copies; ++c) {
            std::vector<std::size_t> pieces = assigner.next(pattern);
            if (before == pieces)
                ++plan.boards.back().copies;
            else
                plan.boards.push_back(lay_out(order, pattern, pieces, 1));
            before = std::move(pieces);
        }
    }
    for (std::size_t i = 0; i < found.unmet.size(); ++i)
        for (std::int64_t n = 0; n < found.unmet[i]; ++n) ++plan.unmet[assigner.take_one(i)];
    plan.cost = found.cost;
    plan.used = found.boards;
    plan.cost_bound = found.cost_bound;
    plan.used_bound = found.board_bound;
    plan.proven = found.proven;
    plan.steps = found.steps;
    return plan;
}

std::string check_plan(const BoardOrder& order, const BoardPlan& plan) {
    std::vector<std::int64_t> cut(order.parts.size(), 0), taken(order.stock.size(), 0);
    std::int64_t cost = 0, used = 0;
    for (std::size_t b = 0; b < plan.boards.size(); ++b) {
        const CutBoard& board = plan.boards[b];
        const std::string who = "board " + std::to_string(b + 1);
        if (board.stock >= order.stock.size() || board.copies < 1) return who + " names no stock";
        const Stock& stock = order.stock[board.stock];
        std::int64_t free_from = stock.trim_start;
        for (const PlacedPiece& piece : board.pieces) {
            if (piece.part >= order.parts.size()) return who + " holds an unknown part";
            if (piece.position < free_from)
                return who + " has pieces that overlap, or a cut without kerf";
            cut[piece.part] += board.copies;
            free_from = piece.position + order.parts[piece.part].length + order.kerf;
        }
        if (free_from - order.kerf > stock.length - stock.trim_end)
            return who + " is cut beyond its sound end";
        if (board.offcut != std::max<std::int64_t>(0, stock.length - stock.trim_end - free_from))
            return who + " has a wrong offcut";
        taken[board.stock] += board.copies;
        cost += stock.cost * board.copies;
        used += board.copies;
    }
    for (std::size_t p = 0; p < order.parts.size(); ++p)
        if (cut[p] + plan.unmet[p] != order.parts[p].count)
            return "part " + std::to_string(p + 1) + " is not cut as often as wanted";
    for (std::size_t s = 0; s < order.stock.size(); ++s)
        if (order.stock[s].limit >= 0 && taken[s] > order.stock[s].limit)
            return "stock " + std::to_string(s + 1) + " is used more often than there are boards";
    if (cost != plan.cost) return "the cost is not the sum of the boards";
    if (used != plan.used) return "the number of boards is not their sum";
    if (plan.cost_bound > cost) return "the bound is above the cost";
    return {};
}

} // namespace aumbry::solid_stock
