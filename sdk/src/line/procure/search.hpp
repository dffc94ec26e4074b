// Search: which way meets each demand.
#pragma once

#include "aumbry/stop.hpp"
#include "line/procure/price.hpp"

namespace aumbry::procurement {

/// A way for every demand, and what each supplier's order then costs.
class Assignment {
  public:
    static constexpr std::size_t none = static_cast<std::size_t>(-1);

    Assignment(const Model& model, const Pricer& pricer);

    [[nodiscard]] std::size_t way(std::size_t demand) const { return ways_[demand]; }
    [[nodiscard]] const std::vector<std::size_t>& ways() const { return ways_; }
    /// Sum of all orders, no_limit when one of them is not possible.
    [[nodiscard]] std::int64_t cost() const;
    [[nodiscard]] std::size_t orders() const;
    [[nodiscard]] bool used(std::size_t supplier) const { return uses_[supplier] > 0; }
    /// Puts a way (or `none`) in place.
    void set(std::size_t demand, std::size_t way);
    /// Cost and orders if that way were in place.
    struct Trial {
        std::int64_t cost = 0;
        std::size_t orders = 0;
    };
    [[nodiscard]] Trial trial(std::size_t demand, std::size_t way);
    /// What is asked of a supplier now, for Pricer::order.
    [[nodiscard]] Ask ask(std::size_t supplier) const;

  private:
    void count(std::size_t demand, int sign);
    void reprice(std::size_t supplier);

    const Model* model_;
    const Pricer* pricer_;
    std::vector<std::size_t> ways_;
    std::vector<std::int64_t> needed_; // by slot
    std::vector<std::int64_t> cuts_;   // by supplier
    std::vector<int> uses_;            // by supplier: demands met there
    std::vector<std::int64_t> costs_;  // by supplier
    std::vector<std::size_t> changed_; // suppliers
    std::vector<std::int64_t> saved_;
};

struct SearchTerms {
    std::optional<int> max_suppliers;
    std::int64_t max_work = 0; ///< as Bound::Result::work; at least one step is done
    Stop stop;                 ///< steps are combinations valued by the bound and trials of a move
};

struct SearchResult {
    bool found = false;
    std::vector<std::size_t> ways;
    std::int64_t cost = 0;
    std::int64_t lower_bound = 0;
    bool proven =
        false; ///< that the cost is least, or, when nothing was found, that nothing exists
    std::int64_t steps = 0;
};

/// @throws Cancelled
[[nodiscard]] SearchResult search(const Model& model, const Pricer& pricer,
                                  const SearchTerms& terms);

} // namespace aumbry::procurement
