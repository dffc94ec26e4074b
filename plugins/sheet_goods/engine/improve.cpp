#include "sheet_goods/engine/improve.hpp"

#include "sheet_goods/engine/constructive.hpp"
#include "sheet_goods/engine/random.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

// Chosen by trial on published instances; none of them matters much.
constexpr std::size_t most_taken_off = 15;     // parts in one change, about
constexpr std::size_t most_sheets_touched = 3; // in one change
constexpr double passes_over_a_sheet = 0.1; // share of parts for which one sheet is not looked at
constexpr double noise_in_order = 0.2;
constexpr double divides_anew = 0.15; // share of changes that divide a sheet in another way

class Search {
  public:
    Search(const Problem& problem, Packing start, const Improvement& improvement)
        : problem_(problem), most_price_(improvement.most_price), random_(improvement.seed),
          several_kinds_(problem.sheets.size() > 1), sheets_(std::move(start.sheets)),
          unplaced_(std::move(start.unplaced)), used_(problem.sheets.size(), 0),
          failed_(problem.parts.size(), 0), memory_(improvement.memory) {
        for (const PartKind& part : problem.parts) {
            // A little below the area: of equal areas left over, few large parts are the easier to
            // place.
            const double share =
                static_cast<double>(part.area) / static_cast<double>(problem.largest_sheet);
            weights_.push_back(
                static_cast<std::int64_t>(std::sqrt(share * std::sqrt(share)) * 1e9) + 1);
        }
        for (const Layout& layout : sheets_) {
            ++used_[static_cast<std::size_t>(layout.sheet())];
            price_ += kind_of(layout).price;
        }
        while (price_ > most_price_ && !sheets_.empty()) give_up_a_sheet();
    }

    /// These sheets and no others, all parts still left over.
    Search(const Problem& problem, const SheetSet& set, std::size_t memory, std::uint64_t seed)
        : Search(problem, all_left_over(problem, set),
                 {std::numeric_limits<std::int64_t>::max(), 0, memory, seed}) {
        set_is_given_ = true;
    }

    /// These sheets, divided in one way or another, all parts still left over.
    Search(const Problem& problem, const std::vector<DividedSheet>& divided, std::size_t memory,
           std::uint64_t seed)
        : Search(problem, SheetSet(problem.sheets.size(), 0), memory, seed) {
        divided_ = &divided;
        for (const DividedSheet& sheet : divided) {
            first_blank_.push_back(sheets_.size());
            std::size_t most = 0;
            for (const std::vector<int>& blanks : sheet) most = std::max(most, blanks.size());
            sheets_.resize(sheets_.size() + most, Layout(0, {0, 0}));
            divide(first_blank_.size() - 1, sheet.front());
        }
    }

    /// Goes on until every part is placed or `steps` gets to `last_step`.
    void run(std::int64_t& steps, std::int64_t last_step) {
        steps_ = counted_ = steps;
        if (!begun_) {
            begun_ = true;
            begin_change();
            recreate();
            value_ = best_value_ = value_left();
            best_ = {sheets_, unplaced_};
            std::fill(memory_.begin(), memory_.end(), value_);
        }
        while (best_value_ > 0 && steps_ < last_step) {
            begin_change();
            ruin();
            recreate();
            const std::int64_t now = value_left();
            if (now <= value_ || now < memory_[turn_]) {
                value_ = now;
                if (now < best_value_) {
                    best_value_ = now;
                    best_ = {sheets_, unplaced_};
                    steps_ += static_cast<std::int64_t>(20 * sheets_.size());
                }
            } else {
                undo_change();
            }
            memory_[turn_] = std::min(memory_[turn_], value_);
            turn_ = turn_ + 1 == memory_.size() ? 0 : turn_ + 1;
        }
        steps = steps_;
    }

    void go_on_from(Packing packing) {
        best_ = packing;
        sheets_ = std::move(packing.sheets);
        unplaced_.clear();
    }

    /// Once every part is placed.
    void ease(const Burden& burden, int changes, std::int64_t& steps) {
        constexpr int most_failures = 6; // for each change
        steps_ = counted_ = steps;
        std::int64_t least = burden(best_);
        for (int failures = 0; changes > 0 && failures < most_failures * changes;) {
            begin_change();
            ruin();
            recreate();
            if (!unplaced_.empty()) {
                undo_change();
                ++failures;
                continue;
            }
            --changes;
            const Packing now{sheets_, {}};
            const std::int64_t its = burden(now);
            if (its > least) {
                undo_change();
            } else {
                least = its;
                best_ = now;
            }
        }
        steps = steps_;
    }

    [[nodiscard]] std::int64_t best_value() const { return best_value_; }
    [[nodiscard]] const Packing& best_as_it_is() const { return best_; }
    /// Sheets without parts are left out.
    [[nodiscard]] Packing best() const {
        Packing packing = best_;
        std::erase_if(packing.sheets, [](const Layout& layout) { return layout.empty(); });
        return packing;
    }

  private:
    static Packing all_left_over(const Problem& problem, const SheetSet& set) {
        Packing packing;
        for (std::size_t kind = 0; kind < set.size(); ++kind)
            for (std::int64_t i = 0; i < set[kind]; ++i)
                packing.sheets.emplace_back(static_cast<int>(kind), problem.sheets[kind].size);
        for (std::size_t item = 0; item < problem.items.size(); ++item)
            packing.unplaced.push_back(static_cast<int>(item));
        return packing;
    }

    [[nodiscard]] std::size_t kind_of_item(int item) const {
        return static_cast<std::size_t>(problem_.items[static_cast<std::size_t>(item)]);
    }
    [[nodiscard]] const SheetKind& kind_of(const Layout& layout) const {
        return problem_.sheets[static_cast<std::size_t>(layout.sheet())];
    }

    [[nodiscard]] std::int64_t value_left() const {
        std::int64_t left = 0;
        for (const int item : unplaced_) left += weights_[kind_of_item(item)];
        return left;
    }

    void give_up_a_sheet() {
        const auto most_free =
            std::max_element(sheets_.begin(), sheets_.end(), [](const Layout& a, const Layout& b) {
                return a.free_area() < b.free_area();
            });
        most_free->clear(unplaced_);
        take_away(static_cast<std::size_t>(most_free - sheets_.begin()));
    }

    void take_away(std::size_t index) {
        --used_[static_cast<std::size_t>(sheets_[index].sheet())];
        price_ -= kind_of(sheets_[index]).price;
        if (index + 1 != sheets_.size()) {
            keep_for_undo(sheets_.size() - 1);
            sheets_[index] = std::move(sheets_.back());
        }
        sheets_.pop_back();
    }

    void begin_change() {
        before_.unplaced = unplaced_;
        before_.used = used_;
        before_.price = price_;
        before_.count = sheets_.size();
        if (before_.sheets.size() < sheets_.size()) before_.sheets.resize(sheets_.size());
        before_.kept.assign(sheets_.size(), false);
    }

    void keep_for_undo(std::size_t index) {
        if (index >= before_.kept.size() || before_.kept[index]) return;
        before_.sheets[index] = sheets_[index];
        before_.kept[index] = true;
    }

    void undo_change() {
        std::swap(unplaced_, before_.unplaced);
        std::swap(used_, before_.used);
        price_ = before_.price;
        sheets_.resize(before_.count);
        for (std::size_t i = 0; i < before_.count; ++i)
            if (before_.kept[i]) std::swap(sheets_[i], before_.sheets[i]);
    }

    void divide(std::size_t sheet, const std::vector<int>& blanks) {
        const std::size_t first = first_blank_[sheet];
        const std::size_t end =
            sheet + 1 < first_blank_.size() ? first_blank_[sheet + 1] : sheets_.size();
        for (std::size_t i = first; i < end; ++i) {
            keep_for_undo(i);
            sheets_[i].clear(unplaced_);
            const bool used = i - first < blanks.size();
            const int kind = used ? blanks[i - first] : 0;
            sheets_[i].move_to(kind, used ? problem_.sheets[static_cast<std::size_t>(kind)].size
                                          : GridSize{0, 0});
        }
    }

    void ruin() {
        if (sheets_.empty()) return;
        if (divided_ != nullptr && random_.share() < divides_anew) {
            const std::size_t sheet = random_.below(divided_->size());
            const DividedSheet& ways = (*divided_)[sheet];
            if (ways.size() > 1) {
                divide(sheet, ways[random_.below(ways.size())]);
                return;
            }
        }
        const double whole_sheet = several_kinds_ && !set_is_given_ ? 0.3 : 0.1;
        const std::size_t touched = 1 + random_.below(most_sheets_touched);
        const std::size_t wanted = 1 + random_.below(most_taken_off) / touched;
        for (std::size_t t = 0; t < touched && !sheets_.empty(); ++t) {
            const std::size_t index = random_.below(sheets_.size());
            Layout& layout = sheets_[index];
            keep_for_undo(index);
            if (random_.share() < whole_sheet) {
                layout.clear(unplaced_);
            } else {
                const std::size_t before = unplaced_.size();
                while (!layout.empty() && unplaced_.size() - before < wanted)
                    layout.remove(problem_, layout.node_by_number(random_.number()), unplaced_);
            }
            if (layout.empty() && !set_is_given_) take_away(index);
        }
    }

    /// The drawn order in which parts left over are placed: large ones first, by one measure or
    /// another.
    void draw_order() {
        order_.clear();
        const double draw = random_.share();
        for (const int item : unplaced_) {
            const PartKind& part = problem_.parts[kind_of_item(item)];
            double key = 0;
            if (draw < 0.4)
                key = static_cast<double>(part.area);
            else if (draw < 0.7)
                key = std::max(part.size[0], part.size[1]);
            else if (draw < 0.85)
                key = part.size[0] + part.size[1];
            else
                key = std::min(part.size[0], part.size[1]);
            order_.emplace_back(-key * (1.0 - noise_in_order * random_.share()), item);
        }
        std::sort(order_.begin(), order_.end());
    }

    void recreate() {
        draw_order();
        std::fill(failed_.begin(), failed_.end(), false);
        unplaced_.clear();
        for (const auto& [key, item] : order_) {
            if (!place(item)) unplaced_.push_back(item);
            problem_.stop.step(steps_ - counted_);
            counted_ = steps_;
        }
        if (several_kinds_ && !set_is_given_) change_to_cheaper_kinds();
        steps_ += static_cast<std::int64_t>(4 * order_.size() + 10);
    }

    bool place(int item) {
        const std::size_t kind = kind_of_item(item);
        if (failed_[kind]) return false;
        const PartKind& part = problem_.parts[kind];
        Insertion best;
        std::size_t best_sheet = 0;
        const double draw = random_.share();
        const std::size_t passed_over =
            draw < passes_over_a_sheet
                ? static_cast<std::size_t>(draw / passes_over_a_sheet *
                                           static_cast<double>(sheets_.size()))
                : sheets_.size();
        for (std::size_t s = 0; s < sheets_.size(); ++s) {
            if (sheets_[s].free_area() < part.area || s == passed_over) continue;
            bool here = false;
            sheets_[s].find_place(part, best, here, steps_);
            if (here) best_sheet = s;
        }
        if (!best.possible) {
            const int sheet = set_is_given_ ? -1 : kind_to_add(part);
            if (sheet < 0) {
                failed_[kind] = passed_over == sheets_.size();
                return false;
            }
            ++used_[static_cast<std::size_t>(sheet)];
            price_ += problem_.sheets[static_cast<std::size_t>(sheet)].price;
            best_sheet = sheets_.size();
            sheets_.emplace_back(sheet, problem_.sheets[static_cast<std::size_t>(sheet)].size);
            bool here = false;
            sheets_.back().find_place(part, best, here, steps_);
        }
        keep_for_undo(best_sheet);
        sheets_[best_sheet].insert(part, item, best);
        steps_ += sheets_[best_sheet].part_count();
        return true;
    }

    int kind_to_add(const PartKind& part) {
        const std::int64_t rest = most_price_ - price_;
        if (!several_kinds_ || random_.share() < 0.5)
            return kind_to_begin(problem_, used_, part, Begin::best_value, rest);
        candidates_.clear();
        for (std::size_t kind = 0; kind < problem_.sheets.size(); ++kind)
            if (part.lies[kind] != 0 && used_[kind] < problem_.sheets[kind].limit &&
                problem_.sheets[kind].price <= rest)
                candidates_.push_back(static_cast<int>(kind));
        return candidates_.empty() ? -1 : candidates_[random_.below(candidates_.size())];
    }

    void change_to_cheaper_kinds() {
        for (std::size_t i = 0; i < sheets_.size(); ++i) {
            if (i < before_.kept.size() && !before_.kept[i]) continue;
            const int to = cheaper_kind(problem_, sheets_[i], used_);
            if (to < 0) continue;
            keep_for_undo(i);
            --used_[static_cast<std::size_t>(sheets_[i].sheet())];
            ++used_[static_cast<std::size_t>(to)];
            price_ +=
                problem_.sheets[static_cast<std::size_t>(to)].price - kind_of(sheets_[i]).price;
            sheets_[i].move_to(to, problem_.sheets[static_cast<std::size_t>(to)].size);
        }
    }

    /// What a change must restore when it is not kept.
    struct Before {
        std::vector<int> unplaced;
        std::vector<std::int64_t> used;
        std::int64_t price = 0;
        std::size_t count = 0;
        std::vector<Layout> sheets; ///< copies of those in `kept`
        std::vector<char> kept;
    };

    const Problem& problem_;
    std::int64_t most_price_;
    Random random_;
    std::int64_t steps_ = 0;
    std::int64_t counted_ = 0; ///< of them, at the problem's stop
    bool several_kinds_;
    std::vector<Layout> sheets_;
    std::vector<int> unplaced_;
    std::vector<std::int64_t> used_;    ///< sheets of each kind
    std::vector<char> failed_;          ///< part kinds that found no place in this change
    std::vector<std::int64_t> weights_; ///< of part kinds left over
    std::int64_t price_ = 0;
    std::vector<std::pair<double, int>> order_;
    std::vector<int> candidates_;
    Before before_;
    bool set_is_given_ = false;
    const std::vector<DividedSheet>* divided_ = nullptr;
    std::vector<std::size_t> first_blank_; ///< of each of them, in `sheets_`
    bool begun_ = false;
    std::int64_t value_ = 0;
    std::int64_t best_value_ = 0;
    Packing best_;
    std::vector<std::int64_t> memory_; ///< values of the last changes, for late acceptance
    std::size_t turn_ = 0;
};

} // namespace

Packing improve(const Problem& problem, Packing start, const Improvement& improvement,
                std::int64_t& steps) {
    Search search(problem, std::move(start), improvement);
    search.run(steps, improvement.last_step);
    return search.best();
}

Packing place_on_divided(const Problem& problem, const std::vector<DividedSheet>& sheets,
                         const Improvement& improvement, std::int64_t& steps) {
    Search search(problem, sheets, improvement.memory, improvement.seed);
    search.run(steps, improvement.last_step);
    return search.best_as_it_is();
}

Packing ease(const Problem& problem, const std::vector<DividedSheet>& sheets, Packing packing,
             const Burden& burden, int changes, std::uint64_t seed, std::int64_t& steps) {
    Search search(problem, sheets, 1, seed);
    search.go_on_from(std::move(packing));
    search.ease(burden, changes, steps);
    return search.best_as_it_is();
}

Packing race(const Problem& problem, const std::vector<SheetSet>& sets,
             const Improvement& improvement, std::int64_t& steps) {
    std::vector<std::unique_ptr<Search>> searches;
    for (const SheetSet& set : sets)
        searches.push_back(std::make_unique<Search>(problem, set, improvement.memory,
                                                    improvement.seed + searches.size()));
    std::int64_t rounds = 1;
    for (std::size_t left = searches.size(); left > 1; left = (left + 1) / 2) ++rounds;
    for (std::int64_t round = 0; round < rounds; ++round) {
        const std::int64_t for_round = (improvement.last_step - steps) / (rounds - round);
        const std::int64_t for_one = for_round / static_cast<std::int64_t>(searches.size());
        for (const auto& search : searches) {
            search->run(steps, steps + for_one);
            if (search->best_value() == 0) return search->best();
        }
        std::stable_sort(searches.begin(), searches.end(), [](const auto& a, const auto& b) {
            return a->best_value() < b->best_value();
        });
        searches.erase(searches.begin() + static_cast<std::ptrdiff_t>((searches.size() + 1) / 2),
                       searches.end());
    }
    return searches.front()->best();
}

} // namespace aumbry::sheet_goods
