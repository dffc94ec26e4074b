#include "sheet_goods/engine/divisions.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace aumbry::sheet_goods {

namespace {

constexpr std::size_t most_of_a_count = 80; // with one number of cuts
constexpr int most_cuts = 6;
constexpr int more_cuts_than_needed = 1;
constexpr std::size_t most_of_a_piece = 24; // ways to divide one piece on the way
constexpr std::size_t most_sides = 6;       // of parts that a first cut is placed for
constexpr std::size_t most_sides_later = 2;
/// Pieces for which cuts are placed by the sides of parts; for more, by what can be handed over
/// alone.
constexpr int most_looked_at = 2000;

/// So many of them, spread evenly.
template <class Value>
std::vector<Value> thinned(std::vector<Value> values, std::size_t count) {
    if (values.size() <= count) return values;
    std::vector<Value> kept;
    for (std::size_t i = 0; i < count; ++i)
        kept.push_back(std::move(values[i * values.size() / count]));
    return kept;
}

/// A division as its cuts in the order first piece, second piece; a piece left whole has no axis.
struct Mark {
    int axis = -1;
    Steps position = 0;
};
using Marks = std::vector<Mark>;

class Dividing {
  public:
    Dividing(const SawsOfSheet& saws, const HandingOver& to, std::vector<Steps> sides)
        : saws_(saws), to_(to), sides_(std::move(sides)) {
        std::sort(sides_.begin(), sides_.end(), std::greater<>());
        sides_.erase(std::unique(sides_.begin(), sides_.end()), sides_.end());
        sides_ = thinned(std::move(sides_), most_sides);
    }

    std::vector<Marks> ways(const Piece& sheet) {
        std::vector<Marks> all;
        int needed = -1;
        for (int cuts = 0; cuts <= most_cuts; ++cuts) {
            if (needed >= 0 && cuts > needed + more_cuts_than_needed) break;
            const std::vector<Marks>& found = divide(sheet, cuts, 0);
            if (found.empty()) continue;
            if (needed < 0) needed = cuts;
            all.insert(all.end(), found.begin(), found.end());
            if (cuts == 0) break; // it need not be divided
        }
        return all;
    }

    Division division(const Piece& sheet, const Marks& way) const {
        Division made;
        std::size_t next = 0;
        build(made, add(made, sheet), sheet, way, next);
        return made;
    }

  private:
    [[nodiscard]] bool lies_in_vehicle(Steps length, Steps width) const {
        if (!to_.vehicle) return true;
        const auto& [longer, broader] = *to_.vehicle;
        return (length <= longer && width <= broader) || (width <= longer && length <= broader);
    }

    /// A piece of a sheet may be as much larger as the dealer's saw is off.
    [[nodiscard]] bool can_be_handed_over(const Piece& piece, bool whole) const {
        const Steps off = whole ? 0 : saws_.dealer_accuracy;
        const auto& [length, width] = piece.size;
        if (!lies_in_vehicle(length + off, width + off)) return false;
        if (to_.longest > 0 && std::max(length, width) > to_.longest) return false;
        return to_.largest <= 0 ||
               static_cast<double>(length) * static_cast<double>(width) <= to_.largest;
    }

    /// The longest that a piece so broad may be; 0: however short, it is too much.
    [[nodiscard]] Steps longest_for(Steps broad) const {
        Steps most = to_.longest > 0 ? to_.longest : Steps{1} << 40;
        if (to_.vehicle) {
            const Steps longer =
                std::max((*to_.vehicle)[0], (*to_.vehicle)[1]) - saws_.dealer_accuracy;
            const Steps shorter =
                std::min((*to_.vehicle)[0], (*to_.vehicle)[1]) - saws_.dealer_accuracy;
            if (broad > longer) return 0;
            most = std::min(most, broad <= shorter ? longer : shorter);
        }
        if (to_.longest > 0 && broad > to_.longest) return 0;
        if (to_.largest > 0)
            most = std::min(
                most, static_cast<Steps>(std::floor(to_.largest / static_cast<double>(broad))));
        return most;
    }

    /// Where a cut may be worth its while: the largest piece that can be handed over on either side
    /// of it, halves, and a part or two alike beside their edges.
    [[nodiscard]] std::vector<Steps> positions(const Piece& piece, std::size_t axis, int level) {
        const Steps size = piece.size[axis];
        std::vector<Steps> wanted;
        const auto beside = [&](Steps first) { wanted.push_back(first); };
        const auto behind = [&](Steps second) {
            wanted.push_back(size - saws_.dealer_kerf - second);
        };
        std::vector<Steps> longest{longest_for(piece.size[1 - axis])};
        if (to_.vehicle)
            for (const Steps side : *to_.vehicle) longest.push_back(side - saws_.dealer_accuracy);
        for (const Steps most : longest) {
            if (most <= 0) continue;
            beside(most);
            behind(most);
            if (2 * most < size) behind(2 * most + saws_.dealer_kerf);
        }
        beside((size - saws_.dealer_kerf) / 2);
        const auto [first, second] = divided_by_dealer(piece, axis, size / 2, saws_);
        std::size_t sides = std::min(level == 0 ? most_sides : most_sides_later, sides_.size());
        if (++looked_at_ > most_looked_at) sides = 0;
        const auto for_parts = [&](Steps parts) {
            // Up to the next step of his.
            beside(parts + first.near[axis] + first.far[axis] + saws_.dealer_step - 1);
            behind(parts + second.near[axis] + second.far[axis]);
        };
        for (std::size_t i = 0; i < sides; ++i) {
            for_parts(sides_[i]);
            for (std::size_t j = i; j < sides; ++j)
                for_parts(sides_[i] + saws_.workshop_kerf + 2 * saws_.least_cut + sides_[j]);
        }
        std::set<Steps> found;
        const Steps least = std::max<Steps>(to_.least_strip, saws_.dealer_step);
        for (Steps position : wanted) {
            position -= position % saws_.dealer_step;
            if (position < least || size - position - saws_.dealer_kerf < least) continue;
            found.insert(position);
        }
        return {found.begin(), found.end()};
    }

    /// No division of the piece has fewer cuts.
    [[nodiscard]] int fewest_cuts(const Piece& piece) const {
        if (can_be_handed_over(piece, false)) return 0;
        double largest = to_.largest > 0 ? to_.largest : 1e300;
        if (to_.vehicle)
            largest = std::min(largest, static_cast<double>((*to_.vehicle)[0]) *
                                            static_cast<double>((*to_.vehicle)[1]));
        const double area = static_cast<double>(piece.size[0]) * static_cast<double>(piece.size[1]);
        // The kerf takes a little of it, as many times as there are cuts.
        return std::max(1, static_cast<int>(std::ceil(area * 0.97 / largest)) - 1);
    }

    /// Exactly so many cuts.
    const std::vector<Marks>& divide(const Piece& piece, int cuts, int level) {
        static const std::vector<Marks> none;
        static const std::vector<Marks> whole{{{}}};
        if (can_be_handed_over(piece, level == 0)) return cuts == 0 ? whole : none;
        if (cuts < fewest_cuts(piece) || (to_.max_levels > 0 && level >= to_.max_levels))
            return none;
        const auto key = std::tuple(piece.size, piece.near, piece.far, cuts, level);
        if (const auto known = known_.find(key); known != known_.end()) return known->second;
        std::vector<Marks> found;
        for (std::size_t axis = 0; axis < 2; ++axis) {
            for (const Steps position : positions(piece, axis, level)) {
                const auto [first, second] = divided_by_dealer(piece, axis, position, saws_);
                const int for_second = fewest_cuts(second);
                for (int of_first = fewest_cuts(first); of_first + for_second < cuts; ++of_first) {
                    const std::vector<Marks>& firsts = divide(first, of_first, level + 1);
                    if (firsts.empty()) continue;
                    for (const Marks& rest : divide(second, cuts - 1 - of_first, level + 1)) {
                        for (const Marks& begin : firsts) {
                            Marks way{{static_cast<int>(axis), position}};
                            way.insert(way.end(), begin.begin(), begin.end());
                            way.insert(way.end(), rest.begin(), rest.end());
                            found.push_back(std::move(way));
                        }
                    }
                }
            }
        }
        return known_[key] =
                   level == 0 ? std::move(found) : thinned(std::move(found), most_of_a_piece);
    }

    static std::size_t add(Division& made, const Piece& piece) {
        made.blanks.push_back(blank_of(piece));
        return made.blanks.size() - 1;
    }

    void build(Division& made, std::size_t blank, const Piece& piece, const Marks& way,
               std::size_t& next) const {
        const Mark step = way[next++];
        if (step.axis < 0) {
            made.handed_over.push_back(blank);
            Blank room;
            room.x = piece.at[0] + piece.near[0];
            room.y = piece.at[1] + piece.near[1];
            room.length = std::max<Steps>(0, room_of(piece, 0, saws_));
            room.width = std::max<Steps>(0, room_of(piece, 1, saws_));
            made.rooms.push_back(room);
            return;
        }
        const auto axis = static_cast<std::size_t>(step.axis);
        const auto [first, second] = divided_by_dealer(piece, axis, step.position, saws_);
        Cut cut;
        cut.blank = static_cast<int>(blank);
        cut.axis = axis == 0 ? Axis::length : Axis::width;
        cut.position = step.position;
        cut.dealer = true;
        const std::size_t one = add(made, first);
        const std::size_t other = add(made, second);
        cut.first = static_cast<int>(one);
        cut.second = static_cast<int>(other);
        made.cuts.push_back(cut);
        build(made, one, first, way, next);
        build(made, other, second, way, next);
    }

    const SawsOfSheet& saws_;
    const HandingOver& to_;
    std::vector<Steps> sides_;
    int looked_at_ = 0; ///< pieces along an axis
    std::map<std::tuple<std::array<Steps, 2>, std::array<Steps, 2>, std::array<Steps, 2>, int, int>,
             std::vector<Marks>>
        known_;
};

/// The rooms of a division, the same in whatever order they lie.
std::vector<std::array<Steps, 2>> shape_of(const Division& division) {
    std::vector<std::array<Steps, 2>> rooms;
    for (const Blank& room : division.rooms) rooms.push_back({room.length, room.width});
    std::sort(rooms.begin(), rooms.end());
    return rooms;
}

} // namespace

std::vector<Division> divisions_of(const std::array<Steps, 2>& raw, const SawsOfSheet& saws,
                                   const HandingOver& handing_over, std::vector<Steps> sides) {
    Dividing dividing(saws, handing_over, std::move(sides));
    const Piece sheet = sheet_as_delivered(raw, saws);
    std::map<std::size_t, std::vector<Division>> by_cuts;
    std::set<std::vector<std::array<Steps, 2>>> seen;
    for (const Marks& way : dividing.ways(sheet)) {
        Division division = dividing.division(sheet, way);
        if (seen.insert(shape_of(division)).second)
            by_cuts[division.cuts.size()].push_back(std::move(division));
    }
    std::vector<Division> chosen;
    for (auto& [cuts, divisions] : by_cuts)
        for (Division& division : thinned(std::move(divisions), most_of_a_count))
            chosen.push_back(std::move(division));
    return chosen;
}

} // namespace aumbry::sheet_goods
