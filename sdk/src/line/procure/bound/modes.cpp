// How the order of each supplier may be charged.
#include "line/procure/bound/relaxed_model.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

namespace aumbry::procurement {

namespace {

/// A supplier with more bands of mass than this is bounded by its cheapest band alone.
constexpr std::size_t max_bands = 10;
/// Bands of mass and loads together, for a supplier with few bands.
constexpr std::size_t max_loads = 8;
// The modes of a supplier are bits of 32. Closed, services only, collected; then, without and with
// something oversize, free delivery, the bands and what is heavier: 27 at most.
static_assert(3 + 2 * (1 + std::max(max_bands, max_loads) + 1) < 32);

bool rounds(const Model& model, const Seller& seller) {
    return seller.supplier->currency != model.problem->currency || seller.supplier->tax_included;
}

/// Full loads of the last band and the rest in a band of its own: charge as listed, and the mass up
/// to which it holds. The last stands for all that is heavier.
template <class Add>
void add_loads(const DeliveryConditions& delivery, const Add& add) {
    const MassBand& last = delivery.by_mass.back();
    if (!last.up_to) return;
    const auto loads_at_most =
        static_cast<std::int64_t>(std::max<std::size_t>(1, max_loads / delivery.by_mass.size()));
    for (std::int64_t loads = 1; loads < loads_at_most; ++loads)
        for (const MassBand& band : delivery.by_mass)
            add(loads * last.cost.minor() + std::min(band.cost.minor(), last.cost.minor()),
                band.up_to ? std::optional(static_cast<double>(loads) * *last.up_to + *band.up_to)
                           : std::nullopt);
    add(loads_at_most * last.cost.minor(), std::nullopt);
}

/// The modes of one supplier.
class ModeReader {
  public:
    ModeReader(const RelaxedModel& relaxed, const Pricer& pricer, std::size_t supplier)
        : model_(*relaxed.model), pricer_(pricer), seller_(model_.suppliers[supplier]),
          supplier_(*seller_.supplier), tax_(tax_factor(model_, supplier_.tax_percent)),
          per_listed_(listed_factor(model_, seller_, supplier_.tax_percent) * tax_) {
        // Exact amounts are rounded: how much less than reckoned here an order can cost.
        slack_ = rounds(model_, seller_) ? 2 : 0;
        if (model_.problem->tax_is_cost) {
            std::set<Decimal> rates{supplier_.tax_percent};
            for (const Offer& offer : model_.offers)
                if (offer.supplier == supplier) rates.insert(offer.tax_percent);
            slack_ += 0.5 * static_cast<double>(rates.size());
        }
        for (const DemandGroup& group : relaxed.groups[supplier]) {
            for (const Combination& combination : group.combinations) see(combination);
            for (const auto& of_demand : group.items)
                for (const DemandGroup::Item& item : of_demand)
                    if (const auto& total = group.totals[static_cast<std::size_t>(item.count)])
                        see(*total);
        }
    }

    std::vector<OrderMode> run() {
        modes_.push_back({OrderMode::Kind::closed});
        if (!all_goods_) modes_.push_back({OrderMode::Kind::no_goods, false, -slack_});
        if (supplier_.minimum_order && supplier_.minimum_order->minor() > 0)
            minimum_order_.push_back(
                {false, as_double(supplier_.minimum_order->minor()), per_listed_, false});
        const DeliveryConditions& delivery = supplier_.delivery;
        if (seller_.collected) {
            add(true, as_double(pricer_.collecting_cost(seller_) + pricer_.trip_cost()) - slack_,
                minimum_order_);
            modes_.back().delivers = false;
        }
        if (!seller_.delivers) return std::move(modes_);
        for (const bool oversize : {false, true}) {
            if (oversize && !any_oversize_) break;
            const double extra = (oversize ? charge(delivery.oversize->extra.minor()) : 0) - slack_;
            add_delivered(oversize || !delivery.oversize, extra);
        }
        return std::move(modes_);
    }

  private:
    using Constraints = std::vector<OrderMode::Constraint>;

    void see(const Combination& combination) {
        any_oversize_ = any_oversize_ || combination.oversize;
        all_goods_ = all_goods_ && combination.goods;
    }

    [[nodiscard]] double charge(std::int64_t listed) const {
        return as_double(pricer_.net_of(listed, seller_, supplier_.tax_percent)) * tax_;
    }

    void add(bool oversize, double fixed, Constraints constraints) {
        modes_.push_back(
            {OrderMode::Kind::open, oversize, fixed, 1e300, std::move(constraints), true});
    }

    void add_delivered(bool oversize, double extra) {
        const DeliveryConditions& delivery = supplier_.delivery;
        if (delivery.free_from) {
            Constraints constraints = minimum_order_;
            constraints.push_back(
                {false, as_double(delivery.free_from->minor()), per_listed_, true});
            add(oversize, extra, std::move(constraints));
        }
        if (delivery.by_mass.empty()) {
            add(oversize, charge(delivery.flat->minor()) + extra, minimum_order_);
        } else if (delivery.by_mass.size() > max_bands) {
            double lowest = infinite;
            for (const MassBand& band : delivery.by_mass)
                lowest = std::min(lowest, charge(band.cost.minor()));
            add(oversize, lowest + extra, minimum_order_);
        } else {
            const auto add_band = [&](std::int64_t listed, std::optional<double> max_mass) {
                Constraints constraints = minimum_order_;
                const double fixed = charge(listed) + extra;
                if (max_mass)
                    constraints.push_back({true, -*max_mass - tiny, std::max(fixed, 1.0), true});
                add(oversize, fixed, std::move(constraints));
                if (max_mass) modes_.back().max_mass = *max_mass + tiny;
            };
            for (const MassBand& band : delivery.by_mass) add_band(band.cost.minor(), band.up_to);
            add_loads(delivery, add_band);
        }
    }

    const Model& model_;
    const Pricer& pricer_;
    const Seller& seller_;
    const Supplier& supplier_;
    double tax_;
    double per_listed_;
    double slack_ = 0;
    bool any_oversize_ = false;
    bool all_goods_ = true;
    Constraints minimum_order_;
    std::vector<OrderMode> modes_;
};

} // namespace

double tax_factor(const Model& model, Decimal percent) {
    return model.problem->tax_is_cost ? 1 + percent.to_double() / 100 : 1;
}

double listed_factor(const Model& model, const Seller& seller, Decimal tax_percent) {
    double factor = 1;
    if (seller.supplier->currency != model.problem->currency)
        factor = seller.rate.to_double() *
                 std::pow(10.0, model.problem->currency.digits - seller.supplier->currency.digits);
    if (seller.supplier->tax_included) factor /= 1 + tax_percent.to_double() / 100;
    return factor;
}

void read_modes(RelaxedModel& relaxed, const Pricer& pricer) {
    relaxed.modes.push_back({{OrderMode::Kind::closed}}); // owned stock
    for (std::size_t s = 1; s < relaxed.model->suppliers.size(); ++s)
        relaxed.modes.push_back(ModeReader(relaxed, pricer, s).run());
}

} // namespace aumbry::procurement
