#include "sheet_goods/engine/sheet_sets.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

constexpr std::int64_t most_sets_looked_at = 200'000;

class Choosing {
  public:
    Choosing(const Problem& problem, std::int64_t most_price, std::size_t count)
        : problem_(problem), count_(count), set_(problem.sheets.size(), 0) {
        double side = 0;
        for (const PartKind& part : problem.parts) {
            area_ += part.area * part.count;
            side += std::sqrt(static_cast<double>(part.area)) * part.count;
        }
        side /= static_cast<double>(problem.items.size());
        // Along its edges a sheet loses about this share of a part's side.
        constexpr double loss = 0.05;
        for (const SheetKind& sheet : problem.sheets)
            room_.push_back(static_cast<double>(sheet.area) -
                            loss * side * (sheet.size[0] + sheet.size[1]));
        most_area_after_.assign(problem.sheets.size() + 1, 0);
        for (std::size_t kind = problem.sheets.size(); kind-- > 0;)
            most_area_after_[kind] =
                most_area_after_[kind + 1] + static_cast<double>(problem.sheets[kind].area) *
                                                 static_cast<double>(problem.sheets[kind].limit);
        choose(0, most_price, 0, 0.0);
    }

    std::vector<SheetSet> take() {
        std::vector<SheetSet> sets;
        std::sort(found_.begin(), found_.end(), std::greater<>());
        for (auto& [room, set] : found_) sets.push_back(std::move(set));
        return sets;
    }

  private:
    void choose(std::size_t kind, std::int64_t price_left, std::int64_t area, double room) {
        if (looked_at_ >= most_sets_looked_at) return;
        if (kind == set_.size()) {
            ++looked_at_;
            if (area < area_) return;
            found_.emplace_back(room, set_);
            if (found_.size() >= 4 * count_ + 16) cut_down();
            return;
        }
        if (static_cast<double>(area) + most_area_after_[kind] < static_cast<double>(area_)) return;
        const SheetKind& sheet = problem_.sheets[kind];
        const std::int64_t missing = std::max<std::int64_t>(0, area_ - area);
        const std::int64_t useful = (missing + sheet.area - 1) / sheet.area + 2;
        for (std::int64_t n = std::min({sheet.limit, price_left / sheet.price, useful}); n >= 0;
             --n) {
            set_[kind] = n;
            choose(kind + 1, price_left - n * sheet.price, area + n * sheet.area,
                   room + static_cast<double>(n) * room_[kind]);
        }
        set_[kind] = 0;
    }

    void cut_down() {
        std::sort(found_.begin(), found_.end(), std::greater<>());
        found_.resize(std::min(found_.size(), count_));
    }

    const Problem& problem_;
    std::size_t count_;
    SheetSet set_;
    std::int64_t area_ = 0;
    std::int64_t looked_at_ = 0;
    std::vector<double> room_; ///< of a sheet of each kind, for parts
    std::vector<double> most_area_after_;
    std::vector<std::pair<double, SheetSet>> found_;
};

} // namespace

std::vector<SheetSet> promising_sets(const Problem& problem, std::int64_t most_price,
                                     std::size_t count) {
    std::vector<SheetSet> sets = Choosing(problem, most_price, count).take();
    if (sets.size() > count) sets.resize(count);
    return sets;
}

} // namespace aumbry::sheet_goods
