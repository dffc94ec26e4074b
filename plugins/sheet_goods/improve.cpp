#include "improve.hpp"

#include "constructive.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>
#include <cstdlib>

namespace aumbry::sheet_goods {

namespace {
double knob(const char* name, double value) {
    const char* text = std::getenv(name);
    return text ? std::atof(text) : value;
}

class Search {
  public:
    Search(const Problem& problem, Packing start, std::int64_t most_price, std::uint64_t seed, std::int64_t& steps)
        : problem_(problem), most_price_(most_price), chance_(seed), steps_(steps), sheets_(std::move(start.sheets)),
          unplaced_(std::move(start.unplaced)) {
        const double whole = static_cast<double>(problem.largest_sheet);
        const double power = knob("POWER", 1);
        for (const PartKind& part : problem.parts) {
            const double share = static_cast<double>(part.area) / whole;
            weight_.push_back(static_cast<std::int64_t>(std::pow(share, power) * 1e9));
        }
        used_.assign(problem.sheets.size(), 0);
        for (const Layout& layout : sheets_) {
            ++used_[static_cast<std::size_t>(layout.sheet())];
            price_ += problem.sheets[static_cast<std::size_t>(layout.sheet())].price;
        }
        while (price_ > most_price_) give_up_a_sheet();
        failed_.assign(problem.parts.size(), 0);
    }

    Packing run(std::int64_t last_step) {
        recreate();
        value_ = value();
        best_ = {sheets_, unplaced_};
        best_value_ = value_;
        const auto length = static_cast<std::size_t>(knob("LAHC", 200));
        std::vector<double> history(length, value_);
        std::size_t turn = 0;
        std::int64_t iters=0;
        while (!best_.unplaced.empty() && steps_ < last_step) {
            ++iters;
            begin_change();
            ruin();
            recreate();
            const double now = value();
            double& past = history[turn];
            turn = turn + 1 == length ? 0 : turn + 1;
            if (now < past || now <= value_) {
                value_ = now;
                if (now < best_value_) {
                    best_value_ = now;
                    best_ = {sheets_, unplaced_};
                }
            } else {
                undo_change();
            }
            if (value_ < past) past = value_;
        }
        if (std::getenv("TRACE")) fprintf(stderr,"iters %ld steps %ld best %g left %zu\n",iters,steps_,best_value_,best_.unplaced.size());
        return best_;
    }

  private:
    [[nodiscard]] const PartKind& part_of(int item) const {
        return problem_.parts[static_cast<std::size_t>(problem_.items[static_cast<std::size_t>(item)])];
    }

    void drop_sheet(std::size_t index) {
        --used_[static_cast<std::size_t>(sheets_[index].sheet())];
        price_ -= problem_.sheets[static_cast<std::size_t>(sheets_[index].sheet())].price;
        sheets_[index] = std::move(sheets_.back());
        sheets_.pop_back();
    }

    void give_up_a_sheet() {
        std::size_t worst = 0;
        for (std::size_t i = 1; i < sheets_.size(); ++i)
            if (sheets_[i].free_area() > sheets_[worst].free_area()) worst = i;
        sheets_[worst].clear(unplaced_);
        drop_sheet(worst);
    }

    double value() const {
        std::int64_t left = 0;
        for (const int item : unplaced_) left += weight_[static_cast<std::size_t>(problem_.items[static_cast<std::size_t>(item)])];
        double gathered = 0;
        if (lambda_ > 0)
            for (const Layout& layout : sheets_) {
                const double free = static_cast<double>(layout.free_area()) / static_cast<double>(problem_.largest_sheet);
                gathered += free * free;
            }
        return static_cast<double>(left) * 1e-9 - lambda_ * gathered;
    }

    void begin_change() {
        old_unplaced_ = unplaced_;
        old_used_ = used_;
        old_price_ = price_;
        old_count_ = sheets_.size();
        if (saved_.size() < sheets_.size() + 8) saved_.resize(sheets_.size() + 8);
        is_saved_.assign(sheets_.size() + 8, 0);
    }
    void save(std::size_t index) {
        if (index < old_count_ && !is_saved_[index]) {
            saved_[index] = sheets_[index];
            is_saved_[index] = 1;
        }
    }
    void undo_change() {
        std::swap(unplaced_, old_unplaced_);
        std::swap(used_, old_used_);
        price_ = old_price_;
        sheets_.resize(old_count_);
        for (std::size_t i = 0; i < old_count_; ++i)
            if (is_saved_[i]) std::swap(sheets_[i], saved_[i]);
    }

    void ruin() {
        static const double mean = knob("RUIN", 8);
        static const double whole = knob("WHOLE", 0.1);
        static const int maxs = (int)knob("MAXS", 3);
        std::size_t wanted = 1 + chance_.below(static_cast<std::size_t>(2 * mean - 1));
        const std::size_t touched = 1 + chance_.below((std::size_t)maxs);
        for (std::size_t t = 0; t < touched && !sheets_.empty(); ++t) {
            const std::size_t index = chance_.below(sheets_.size());
            if (sheets_[index].empty()) continue;
            save(index);
            if (chance_.share() < whole) {
                sheets_[index].clear(unplaced_);
                continue;
            }
            const std::size_t goal = (wanted + touched - 1) / touched;
            std::size_t before = unplaced_.size();
            while (!sheets_[index].empty() && unplaced_.size() - before < goal)
                sheets_[index].remove(problem_, sheets_[index].node_by_number(chance_.number()), unplaced_);
        }
    }

    void recreate() {
        static const double blink = knob("BLINK", 0.01);
        static const double noise = knob("NOISE", 0.2);
        order_.clear();
        const double kind = chance_.share();
        static const double pa = knob("PA",0.4), pl = knob("PL",0.7), pr=knob("PR",0.85);
        for (const int item : unplaced_) {
            const PartKind& part = part_of(item);
            double key = 0;
            if (kind < pa)
                key = static_cast<double>(part.area);
            else if (kind < pl)
                key = std::max(part.size[0], part.size[1]);
            else if (kind < pr)
                key = part.size[0] + part.size[1];
            else
                key = std::min(part.size[0], part.size[1]);
            key *= 1.0 - noise * chance_.share();
            order_.emplace_back(-key, item);
        }
        std::sort(order_.begin(), order_.end());
        std::fill(failed_.begin(), failed_.end(), 0);
        unplaced_.clear();
        for (const auto& [key, item] : order_) {
            const auto kind_index = static_cast<std::size_t>(problem_.items[static_cast<std::size_t>(item)]);
            const PartKind& part = problem_.parts[kind_index];
            if (failed_[kind_index]) {
                unplaced_.push_back(item);
                continue;
            }
            Insertion best;
            std::size_t best_sheet = 0;
            bool blinked = false;
            for (std::size_t s = 0; s < sheets_.size(); ++s) {
                if (sheets_[s].free_area() < part.area) continue;
                if (blink > 0 && chance_.share() < blink) {
                    blinked = true;
                    continue;
                }
                bool here = false;
                sheets_[s].find_place(part, best, here, steps_);
                if (here) best_sheet = s;
            }
            if (best.possible) {
                save(best_sheet);
                sheets_[best_sheet].insert(part, item, best);
                steps_ += sheets_[best_sheet].part_count();
                continue;
            }
            const int sheet = kind_to_begin(problem_, used_, part, Begin::best_value, most_price_ - price_);
            if (sheet >= 0) {
                ++used_[static_cast<std::size_t>(sheet)];
                price_ += problem_.sheets[static_cast<std::size_t>(sheet)].price;
                sheets_.emplace_back(sheet, problem_.sheets[static_cast<std::size_t>(sheet)].size);
                Insertion first;
                bool here = false;
                sheets_.back().find_place(part, first, here, steps_);
                sheets_.back().insert(part, item, first);
                continue;
            }
            if (!blinked) failed_[kind_index] = 1;
            unplaced_.push_back(item);
        }
        steps_ += static_cast<std::int64_t>(4 * order_.size() + 10);
    }

    const Problem& problem_;
    std::int64_t most_price_;
    Chance chance_;
    std::int64_t& steps_;
    std::vector<Layout> sheets_;
    std::vector<int> unplaced_;
    std::vector<std::int64_t> used_;
    std::int64_t price_ = 0;
    double value_ = 0, best_value_ = 0;
    double lambda_ = knob("LAMBDA", 0);
    Packing best_;
    std::vector<std::int64_t> weight_;
    std::vector<char> failed_;
    std::vector<std::pair<double, int>> order_;

    std::vector<int> old_unplaced_;
    std::vector<std::int64_t> old_used_;
    std::int64_t old_price_ = 0;
    std::size_t old_count_ = 0;
    std::vector<Layout> saved_;
    std::vector<char> is_saved_;
};

} // namespace

Packing improve(const Problem& problem, Packing start, std::int64_t most_price, std::uint64_t seed, std::int64_t& steps,
                std::int64_t last_step) {
    return Search(problem, std::move(start), most_price, seed, steps).run(last_step);
}

} // namespace aumbry::sheet_goods
