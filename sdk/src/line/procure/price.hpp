// What an order costs, exactly: the one place where the rules of an order are applied.
#pragma once

#include "line/procure/model.hpp"

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
    double mass_kg = 0; ///< of all of it
    bool must_be_delivered = false;
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
    std::int64_t trips = 0; ///< when it is collected
    std::int64_t time = 0;  ///< what the maker's time for them costs
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
    /// What is needed of an offer in one of its quantities: where it stands in `needed` below.
    [[nodiscard]] std::size_t slot(std::size_t offer, std::size_t quantity) const {
        return slots_[offer] + quantity;
    }
    [[nodiscard]] std::size_t slot_count() const { return slots_.back(); }
    /// The cost of order() alone, quickly: counts needed by slot. no_limit when it is not possible.
    [[nodiscard]] std::int64_t cost(std::size_t supplier, const std::vector<std::int64_t>& needed,
                                    std::int64_t cuts) const;

    /// The least that a need of one offer costs by itself, its count raised where that is cheaper
    /// or demanded.
    struct Cheapest {
        bool possible = false;
        std::int64_t net = 0;
        std::int64_t max_listed = 0; ///< of all counts that could pay
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
    /// What one trip to the supplier costs; he lets goods be collected.
    [[nodiscard]] std::int64_t collecting_cost(const Seller& seller) const;
    /// What the maker's time for a trip costs.
    [[nodiscard]] std::int64_t trip_cost() const {
        return model_.problem->trip ? model_.problem->trip->minor() : 0;
    }
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
        double mass_kg = 0;
        bool must_be_delivered = false;
    };
    struct Goods {
        bool any = false;
        bool oversize = false;
        std::int64_t kept_from_vehicle = 0; ///< uses that must be delivered
        std::int64_t listed = 0;
        double mass_kg = 0;
    };
    /// Sums of an order, tax by rate.
    struct Sums {
        Goods goods;
        std::int64_t net = 0;
        std::vector<std::int64_t> taxable; ///< by tax class
    };
    [[nodiscard]] std::vector<Option>
    options(std::size_t offer,
            const std::vector<std::pair<std::size_t, std::int64_t>>& needed) const;
    [[nodiscard]] const std::vector<Option>& known_options(std::size_t offer,
                                                           std::int64_t needed) const;
    [[nodiscard]] std::int64_t trips_for(double mass_kg) const;
    [[nodiscard]] bool choice_matters(const Seller& seller) const;
    void charge(const Seller& seller, Order& order, const Goods& goods, bool collected) const;
    void add_up(const Seller& seller, Order& order) const;
    void settle(std::size_t supplier, Order& order, bool oversize) const;
    void add(Sums& sums, std::size_t offer, const Option& option, int sign) const;
    [[nodiscard]] std::int64_t total(std::size_t supplier, const Sums& sums,
                                     std::int64_t cuts) const;
    [[nodiscard]] std::int64_t tax(std::int64_t amount, std::size_t tax_class) const;

    const Model& model_;
    std::vector<std::size_t> slots_;                  // by offer, one more at the end
    std::vector<std::vector<std::size_t>> offers_of_; // by supplier
    std::vector<Decimal> tax_percents_;               // by tax class
    std::vector<std::int64_t> tax_scales_; // by tax class: tax is amount * unscaled / this
    std::vector<std::size_t> tax_class_of_offer_;
    std::vector<std::size_t> tax_class_of_supplier_;
    mutable std::vector<std::vector<std::optional<std::vector<Option>>>>
        known_; // by offer of one quantity, by need
};

} // namespace aumbry::procurement
