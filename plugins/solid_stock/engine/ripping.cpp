#include "solid_stock/engine/ripping.hpp"

#include "solid_stock/engine/covering.hpp"
#include "solid_stock/engine/faults.hpp"
#include "solid_stock/engine/knapsack.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <functional>
#include <map>
#include <optional>
#include <utility>

namespace aumbry::solid_stock {
namespace {

using Numbers = std::vector<std::int64_t>;

/// The sound size of a board along the first stage's direction, and across it.
struct Room {
    std::int64_t along = 0;
    std::int64_t across = 0;
};

/// Sizes of parts with allowance and kerf, seen from the first stage: `along` decides the section.
struct Sizes {
    std::int64_t along = 0;
    std::int64_t across = 0;
};

Room room_of(const RipOrder& order, const WideStock& stock) {
    const std::int64_t length = stock.length - stock.trim_start - stock.trim_end;
    const std::int64_t width = stock.width - stock.trim_edge;
    return order.order == CutOrder::rip_first ? Room{width, length} : Room{length, width};
}

Sizes sizes_of(const RipOrder& order, const WidePart& part) {
    const std::int64_t length = part.length + order.length_allowance;
    const std::int64_t width = part.width + order.width_allowance;
    return order.order == CutOrder::rip_first ? Sizes{width, length} : Sizes{length, width};
}

void check_order(const RipOrder& order) {
    constexpr std::int64_t longest = std::int64_t{1} << 40;
    constexpr std::int64_t most_pieces = 1'000'000;
    if (order.kerf < 0 || order.length_allowance < 0 || order.width_allowance < 0)
        fail("allowance-out-of-range", {}, "the saw kerf or an allowance is below zero",
             "give zero or more");
    if (order.stock.empty())
        fail("no-stock", {}, "there is no board to cut from",
             "offer rough boards or an owned board");
    for (std::size_t s = 0; s < order.stock.size(); ++s) {
        const WideStock& stock = order.stock[s];
        const std::string who = named("stock", stock.name, s);
        if (stock.length <= 0 || stock.width <= 0 || stock.length > longest ||
            stock.width > longest)
            fail("size-out-of-range", {}, who + " has no length or width", "give both above zero");
        if (stock.trim_start < 0 || stock.trim_end < 0 || stock.trim_edge < 0)
            fail("trim-out-of-range", {}, who + " has a negative trim",
                 "give trims of zero or more");
        if (stock.cost < 0 || stock.cost > (std::int64_t{1} << 32))
            fail("cost-out-of-range", {},
                 who + " has a cost of " + std::to_string(stock.cost) + " minor units",
                 "give a cost of zero or more, below 2^32");
    }
    std::int64_t pieces = 0;
    for (std::size_t p = 0; p < order.parts.size(); ++p) {
        const WidePart& part = order.parts[p];
        const std::string who = named("part", part.name, p);
        if (part.length <= 0 || part.width <= 0 || part.length > longest || part.width > longest)
            fail("size-out-of-range", {}, who + " has no length or width", "give both above zero");
        if (part.count < 0 || part.count > most_pieces || (pieces += part.count) > most_pieces)
            fail("count-out-of-range", {},
                 who + " is wanted " + std::to_string(part.count) + " times",
                 "give counts from zero that sum up to a million at most");
        if (part.count == 0) continue;
        const Sizes size = sizes_of(order, part);
        bool long_enough = false, fits = false;
        for (const WideStock& stock : order.stock) {
            if (stock.limit == 0) continue;
            const Room room = room_of(order, stock);
            const bool rip = order.order == CutOrder::rip_first;
            long_enough =
                long_enough || (rip ? size.across <= room.across : size.along <= room.along);
            fits = fits || (size.along <= room.along && size.across <= room.across);
        }
        if (!long_enough)
            fail("part-longer-than-boards", {},
                 who + " with its allowance is longer than every board",
                 "offer a longer board, or joint the part from two");
        if (!fits)
            fail("part-wider-than-boards", {},
                 who + " with its allowance is wider than every board long enough for it",
                 "offer a wider board, or glue the part up from strips");
    }
}

/// How one board is divided; counts by part of each section.
struct Layout {
    struct Piece {
        std::int64_t size = 0; ///< of the section, along
        Numbers counts;
    };
    std::vector<Piece> sections;
};

class SectionPatterns : public PatternSource {
  public:
    explicit SectionPatterns(const RipOrder& order)
        : order_(order), same_size_only_(order.order == CutOrder::rip_first) {
        for (const WidePart& part : order.parts) {
            sizes_.push_back(sizes_of(order, part));
            if (part.count > 0) classes_.push_back(sizes_.back().along);
        }
        std::sort(classes_.begin(), classes_.end(), std::greater<>());
        classes_.erase(std::unique(classes_.begin(), classes_.end()), classes_.end());
        for (const WideStock& stock : order.stock) rooms_.push_back(room_of(order, stock));
    }

    PricedPattern best(std::size_t stock, const Numbers& values, const Numbers& most,
                       std::int64_t slack) const override {
        const Room room = rooms_[stock];
        PricedPattern priced;
        // What a section of each class could hold at best, taken alone; then sections side by side.
        // Sections that share scarce parts make this a bound only, which is all that `upper`
        // promises.
        std::vector<FillItem> sections;
        std::int64_t pieces = 0;
        for (const std::int64_t count : most) pieces += count;
        for (const std::int64_t size : classes_) {
            std::int64_t upper = 0;
            if (size <= room.along) {
                const Filling filling = fill_section(room, size, values, most, slack / 8);
                upper = filling.upper;
                priced.steps += filling.steps;
            }
            sections.push_back({size + order_.kerf, upper, pieces});
        }
        const Filling outer = fill_best(sections, room.along + order_.kerf, slack / 8);
        priced.steps += outer.steps;
        priced.upper = outer.upper;

        // The pattern itself: the sections chosen, filled one after the other with what is left of
        // the parts; room that comes free is filled again.
        Layout layout;
        Numbers left = most;
        std::int64_t free = room.along;
        for (int pass = 0; pass < 3; ++pass) {
            Filling chosen = outer;
            if (pass > 0) {
                for (std::size_t c = 0; c < classes_.size(); ++c) {
                    sections[c].value = 0;
                    if (classes_[c] > free) continue;
                    const Filling filling =
                        fill_section(room, classes_[c], values, left, slack / 8);
                    priced.steps += filling.steps;
                    sections[c].value = filling.value;
                }
                chosen = fill_best(sections, free + order_.kerf, slack / 8);
                priced.steps += chosen.steps;
            }
            if (chosen.value == 0) break;
            for (std::size_t c = 0; c < classes_.size(); ++c)
                for (std::int64_t n = 0; n < chosen.counts[c]; ++n) {
                    const Filling filling =
                        fill_section(room, classes_[c], values, left, slack / 8);
                    priced.steps += filling.steps;
                    if (filling.value == 0) break;
                    // A section need not be longer than its longest piece.
                    std::int64_t size = 0;
                    for (std::size_t p = 0; p < left.size(); ++p) {
                        left[p] -= filling.counts[p];
                        if (filling.counts[p] > 0) size = std::max(size, sizes_[p].along);
                    }
                    priced.value += filling.value;
                    free -= size + order_.kerf;
                    layout.sections.push_back({size, filling.counts});
                }
        }
        for (std::size_t p = 0; p < most.size(); ++p)
            if (most[p] > left[p]) priced.takes.push_back({p, most[p] - left[p]});
        if (!priced.takes.empty())
            layouts_.try_emplace({stock, key_of(priced.takes)}, std::move(layout));
        return priced;
    }

    /// Two-stage patterns are too many to list.
    bool can_list() const override { return false; }
    bool list(std::size_t, std::size_t, const Numbers&, const Numbers&, std::int64_t, std::size_t,
              std::int64_t, std::vector<Pattern>&, std::int64_t&) const override {
        return false;
    }

    /// How a pattern that was found, or that had pieces taken off, is cut.
    [[nodiscard]] Layout layout_of(const Pattern& pattern) const {
        const auto exact = layouts_.find({pattern.stock, key_of(pattern.takes)});
        if (exact != layouts_.end()) return exact->second;
        for (const auto& [key, layout] : layouts_) {
            if (key.first != pattern.stock) continue;
            if (std::optional<Layout> reduced = without_surplus(layout, pattern)) return *reduced;
        }
        fail("plan-without-layout", {}, "a cutting plan has no layout",
             "this is a fault of the program, please report it");
    }

  private:
    using Key = std::vector<std::pair<std::size_t, std::int64_t>>;
    static Key key_of(const std::vector<Take>& takes) {
        Key key;
        for (const Take& take : takes) key.emplace_back(take.part, take.count);
        return key;
    }

    [[nodiscard]] Filling fill_section(Room room, std::int64_t size, const Numbers& values,
                                       const Numbers& most, std::int64_t slack) const {
        std::vector<FillItem> items(sizes_.size());
        for (std::size_t p = 0; p < sizes_.size(); ++p) {
            const bool fits = same_size_only_ ? sizes_[p].along == size : sizes_[p].along <= size;
            items[p] = {sizes_[p].across + order_.kerf, fits ? values[p] : 0, fits ? most[p] : 0};
        }
        return fill_best(items, room.across + order_.kerf, slack);
    }

    static std::optional<Layout> without_surplus(const Layout& layout, const Pattern& pattern) {
        Numbers surplus(layout.sections.empty() ? 0 : layout.sections[0].counts.size(), 0);
        for (const Layout::Piece& section : layout.sections)
            for (std::size_t p = 0; p < surplus.size(); ++p) surplus[p] += section.counts[p];
        for (const Take& take : pattern.takes) surplus[take.part] -= take.count;
        if (std::any_of(surplus.begin(), surplus.end(), [](std::int64_t n) { return n < 0; }))
            return std::nullopt;
        Layout reduced = layout;
        for (Layout::Piece& section : reduced.sections)
            for (std::size_t p = 0; p < surplus.size(); ++p) {
                const std::int64_t off = std::min(surplus[p], section.counts[p]);
                section.counts[p] -= off;
                surplus[p] -= off;
            }
        std::erase_if(reduced.sections, [](const Layout::Piece& section) {
            return std::all_of(section.counts.begin(), section.counts.end(),
                               [](std::int64_t n) { return n == 0; });
        });
        return reduced;
    }

    const RipOrder& order_;
    bool same_size_only_;
    std::vector<Sizes> sizes_;
    Numbers classes_; ///< section sizes, largest first
    std::vector<Room> rooms_;
    mutable std::map<std::pair<std::size_t, Key>, Layout> layouts_;
};

RippedBoard lay_out(const RipOrder& order, const Pattern& pattern, const Layout& layout,
                    std::int64_t copies) {
    const WideStock& stock = order.stock[pattern.stock];
    const bool rip = order.order == CutOrder::rip_first;
    RippedBoard board{pattern.stock, copies, {}};
    std::int64_t along = rip ? stock.trim_edge : stock.trim_start;
    for (const Layout::Piece& from : layout.sections) {
        Section section{along, from.size, {}};
        std::int64_t across = rip ? stock.trim_start : stock.trim_edge;
        for (std::size_t p = 0; p < from.counts.size(); ++p)
            for (std::int64_t n = 0; n < from.counts[p]; ++n) {
                RoughPiece piece{p, rip ? across : along, rip ? along : across,
                                 order.parts[p].length + order.length_allowance,
                                 order.parts[p].width + order.width_allowance};
                across += (rip ? piece.length : piece.width) + order.kerf;
                section.pieces.push_back(piece);
            }
        along += from.size + order.kerf;
        board.sections.push_back(std::move(section));
    }
    return board;
}

void count_cuts(const RipOrder& order, const RippedBoard& board, CutCounts& cuts) {
    const WideStock& stock = order.stock[board.stock];
    const Room room = room_of(order, stock);
    const bool rip = order.order == CutOrder::rip_first;
    // One cut after every piece, save after the last when the board ends there; one for each trim.
    const auto far_cut = [&](std::int64_t taken, std::int64_t sound,
                             bool lengthwise) -> std::int64_t {
        return taken < sound || (lengthwise && stock.trim_end > 0) ? 1 : 0;
    };
    std::int64_t first = 0, second = 0, along = -order.kerf;
    for (const Section& section : board.sections) {
        along += section.size + order.kerf;
        std::int64_t across = -order.kerf;
        for (const RoughPiece& piece : section.pieces)
            across += (rip ? piece.length : piece.width) + order.kerf;
        const auto pieces = static_cast<std::int64_t>(section.pieces.size());
        second += pieces - 1 + far_cut(across, room.across, rip);
        if (rip && stock.trim_start > 0) ++second;
        if (order.width_allowance > 0) cuts.straightened += pieces * board.copies;
        if (order.length_allowance > 0) cuts.finish_cuts += 2 * pieces * board.copies;
    }
    first = static_cast<std::int64_t>(board.sections.size()) - 1 + far_cut(along, room.along, !rip);
    if (!rip && stock.trim_start > 0) ++first;
    (rip ? cuts.rips : cuts.crosscuts) += first * board.copies;
    (rip ? cuts.crosscuts : cuts.rips) += second * board.copies;
    if (stock.trim_edge > 0) cuts.rips += board.copies;
}

} // namespace

RipPlan plan_ripping(const RipOrder& order, std::int64_t effort, const Stop& stop) {
    check_order(order);
    RipPlan plan;
    plan.unmet.assign(order.parts.size(), 0);
    std::vector<CoverPart> parts;
    std::int64_t pieces = 0;
    for (const WidePart& part : order.parts) {
        const Sizes size = sizes_of(order, part);
        // Area in units that keep sums far within 64 bits.
        const double area = static_cast<double>(size.along + order.kerf) *
                            static_cast<double>(size.across + order.kerf);
        parts.push_back(
            {part.count, std::max<std::int64_t>(1, static_cast<std::int64_t>(area / 1e6))});
        pieces += part.count;
    }
    if (pieces == 0) {
        plan.proven = true;
        return plan;
    }
    std::vector<CoverStock> stocks;
    for (const WideStock& stock : order.stock) stocks.push_back({stock.cost, stock.limit});
    const SectionPatterns source(order);
    const Cover found = cover(parts, stocks, source, effort, stop);
    for (const auto& [pattern, copies] : found.patterns) {
        plan.boards.push_back(lay_out(order, pattern, source.layout_of(pattern), copies));
        count_cuts(order, plan.boards.back(), plan.cuts);
    }
    plan.unmet = found.unmet;
    plan.cost = found.cost;
    plan.used = found.boards;
    plan.cost_bound = found.cost_bound;
    plan.used_bound = found.board_bound;
    plan.proven = found.proven;
    plan.steps = found.steps;
    return plan;
}

std::string check_ripping(const RipOrder& order, const RipPlan& plan) {
    Numbers cut(order.parts.size(), 0), taken(order.stock.size(), 0);
    std::int64_t cost = 0, used = 0;
    for (std::size_t b = 0; b < plan.boards.size(); ++b) {
        const RippedBoard& board = plan.boards[b];
        const std::string who = "board " + std::to_string(b + 1);
        if (board.stock >= order.stock.size() || board.copies < 1) return who + " names no stock";
        const WideStock& stock = order.stock[board.stock];
        const bool rip = order.order == CutOrder::rip_first;
        std::int64_t section_from = rip ? stock.trim_edge : stock.trim_start;
        for (const Section& section : board.sections) {
            if (section.start < section_from)
                return who + " has sections that overlap, or a cut without kerf";
            std::int64_t piece_from = rip ? stock.trim_start : stock.trim_edge;
            for (const RoughPiece& piece : section.pieces) {
                if (piece.part >= order.parts.size()) return who + " holds an unknown part";
                const WidePart& part = order.parts[piece.part];
                if (piece.length != part.length + order.length_allowance ||
                    piece.width != part.width + order.width_allowance)
                    return who + " has a piece of another size";
                const std::int64_t start = rip ? piece.x : piece.y,
                                   size = rip ? piece.length : piece.width;
                const std::int64_t beside = rip ? piece.y : piece.x,
                                   breadth = rip ? piece.width : piece.length;
                if (start < piece_from)
                    return who + " has pieces that overlap, or a cut without kerf";
                if (beside < section.start || beside + breadth > section.start + section.size)
                    return who + " has a piece outside its section";
                if (rip && breadth != section.size) return who + " has a strip wider than its part";
                if (start + size > (rip ? stock.length - stock.trim_end : stock.width))
                    return who + " is cut beyond its sound wood";
                piece_from = start + size + order.kerf;
                cut[piece.part] += board.copies;
            }
            if (section.start + section.size > (rip ? stock.width : stock.length - stock.trim_end))
                return who + " is cut beyond its sound wood";
            section_from = section.start + section.size + order.kerf;
        }
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
    if (cost != plan.cost || used != plan.used) return "cost or count is not the sum of the boards";
    if (plan.cost_bound > cost) return "the bound is above the cost";
    return {};
}

} // namespace aumbry::solid_stock
