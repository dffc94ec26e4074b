// What an order costs, exactly: the one place where the rules of an order are applied.
#pragma once

#include "procure_model.hpp"

#include <utility>

namespace aumbry::procurement {

/// One offer in an order. Money in minor units: `listed` in the supplier's currency as priced,
/// `net` in the project's without tax.
struct OrderLine {
    std::size_t offer = 0;
    std::int64_t needed = 0;
    std::int64_t count = 0;
    std::vector<std::pair<std::size_t, std::int64_t>> counts; ///< by quantity: what is bought
    std::vector<std::int64_t> nets;                           ///< by entry of `counts`
    std::int64_t listed = 0;
    std::int64_t net = 0;
};

struct TaxRow {
    Decimal percent;
    std::int64_t taxable = 0;
    std::int64_t tax = 0;
};

struct Order {
    bool possible = true; ///< false: more than is in stock, or neither delivered nor collected
    std::vector<OrderLine> lines;
    std::int64_t goods = 0;
    std::int64_t services = 0;
    std::int64_t cuts = 0;
    std::int64_t cut_count = 0;
    std::int64_t delivery = 0;
    std::int64_t small_order = 0;
    std::vector<TaxRow> taxes;
    std::int64_t tax = 0;
    bool collected = false;
    double mass_kg = 0;
    std::int64_t cost = 0;         ///< what counts: without tax, or with it when it is a cost
    std::int64_t listed_goods = 0; ///< in the supplier's currency
};

/// What is asked of one supplier.
struct Ask {
    std::vector<Use> uses; ///< an offer may occur several times
    std::int64_t cuts = 0;
};

/// Zero when the supplier does not state one.
[[nodiscard]] Decimal price_per_cut(const Supplier& supplier);

class Pricer {
  public:
    explicit Pricer(const Model& model);

    /// The cheapest order that contains what is asked.
    [[nodiscard]] Order order(std::size_t supplier, const Ask& ask) const;
    /// Its cost only, no_limit when it is not possible.
    [[nodiscard]] std::int64_t cost(std::size_t supplier, const Ask& ask) const;

    /// The least that a need of one offer costs by itself, its count raised where that is cheaper
    /// or demanded.
    struct Cheapest {
        bool possible = false;
        bool choice = false; ///< dearer counts could still pay for the whole order
        std::int64_t count = 0;
        std::int64_t listed = 0;
        std::int64_t net = 0;
    };
    [[nodiscard]] Cheapest
    cheapest(std::size_t offer,
             const std::vector<std::pair<std::size_t, std::int64_t>>& needed) const;

    /// Net of a count of an offer at the price of `priced_as` (a count of the whole sku).
    struct Amounts {
        std::int64_t listed = 0;
        std::int64_t net = 0;
    };
    [[nodiscard]] Amounts amounts(std::size_t offer, std::size_t quantity, std::int64_t count,
                                  std::int64_t priced_as) const;
    /// Project money without tax for an amount as listed.
    [[nodiscard]] std::int64_t net_of(std::int64_t listed, const Seller& seller,
                                      Decimal tax_percent) const;
    /// What collecting an order costs; the supplier lets goods be collected.
    [[nodiscard]] std::int64_t collecting_cost(const Seller& seller) const;
    [[nodiscard]] static Decimal price_at(const Offer& offer, std::int64_t count);
    /// Delivery charge as listed.
    [[nodiscard]] static std::int64_t delivery_listed(const DeliveryConditions& terms,
                                                      std::int64_t listed_goods, double mass_kg,
                                                      bool oversize);
    /// Mass charge as listed.
    [[nodiscard]] static std::int64_t mass_charge(const DeliveryConditions& terms, double mass_kg);

  private:
    struct Option {
        std::int64_t count;
        std::vector<std::pair<std::size_t, std::int64_t>> counts;
        std::int64_t listed;
        std::int64_t net;
    };
    [[nodiscard]] std::vector<Option>
    options(std::size_t offer,
            const std::vector<std::pair<std::size_t, std::int64_t>>& needed) const;
    struct Goods {
        bool any = false;
        bool oversize = false;
        std::int64_t listed = 0;
        double mass_kg = 0;
    };
    void charge(const Seller& seller, Order& order, const Goods& goods, bool collected) const;
    void add_up(const Seller& seller, Order& order) const;
    void settle(std::size_t supplier, Order& order, bool oversize) const;

    [[nodiscard]] std::optional<std::int64_t> quick_cost(std::size_t supplier,
                                                         const Ask& ask) const;
    [[nodiscard]] const Cheapest& cheapest_of(std::size_t offer, std::int64_t needed) const;

    const Model& model_;
    // By offer, for offers with one quantity only, by count needed.
    mutable std::vector<std::vector<std::optional<Cheapest>>> cheapest_;
};

} // namespace aumbry::procurement
