#include "random_market.hpp"

#include <algorithm>

namespace aumbry::test {

namespace {

class Market {
  public:
    Market(std::uint64_t seed, const MarketSize& size) : random_(seed), size_(size) {}

    ProcureProblem make() {
        market_.currency = currency("EUR");
        market_.order_date = make_date(2027, 3, 1);
        market_.tax_is_cost = chance(30);
        for (int s = 0; s < size_.suppliers; ++s) add_supplier(s);
        for (int d = 0; d < size_.demands; ++d) add_demand(d);
        if (size_.further_rules) add_further_rules();
        return std::move(market_);
    }

  private:
    std::int64_t pick(std::int64_t low, std::int64_t high) {
        return low +
               static_cast<std::int64_t>(random_() % static_cast<std::uint64_t>(high - low + 1));
    }
    bool chance(int percent) { return pick(1, 100) <= percent; }

    void add_supplier(int number) {
        SupplierTerms terms;
        Supplier& supplier = terms.supplier;
        supplier.id = "s" + std::to_string(number);
        supplier.name = supplier.id;
        supplier.currency = currency(chance(15) ? "USD" : "EUR");
        if (supplier.currency.code == "USD") terms.rate = Decimal::parse("0.9137");
        supplier.tax_percent = Decimal(chance(80) ? 21 : 9);
        supplier.tax_included = chance(25);
        const bool plain = supplier.currency.code == "EUR" && !supplier.tax_included;
        const auto money = [&](std::int64_t low, std::int64_t high) {
            return Money(pick(low, high), supplier.currency);
        };
        if (chance(65)) {
            supplier.delivery.flat = money(500, 5000);
        } else {
            const std::int64_t first = pick(500, 2000);
            supplier.delivery.by_mass = {
                {static_cast<double>(pick(20, 60)), Money(first, supplier.currency)},
                {static_cast<double>(pick(70, 200)),
                 Money(first + pick(500, 3000), supplier.currency)},
                {std::nullopt, Money(first + pick(3500, 6000), supplier.currency)}};
        }
        if (chance(50)) supplier.delivery.free_from = money(15000, 60000);
        if (chance(30)) supplier.delivery.oversize = OversizeCharge{2600, money(800, 3000)};
        if (chance(30)) supplier.delivery.collect = money(1000, 4500);
        // Figures that would be rounded on the way to the project's currency are left out here.
        if (plain && chance(50)) supplier.minimum_order = money(2000, 15000);
        if (plain || size_.further_rules)
            supplier.cutting.price_per_cut = Decimal::scaled(pick(50, 200), 2).str();
        supplier.dispatch_days = static_cast<int>(pick(0, 3));
        market_.suppliers.push_back(std::move(terms));
    }

    void add_further_rules() {
        for (SupplierTerms& terms : market_.suppliers) {
            Supplier& supplier = terms.supplier;
            terms.excluded = chance(8);
            terms.preferred = chance(8);
            DeliveryConditions& delivery = supplier.delivery;
            if (delivery.collect && chance(30)) {
                delivery.flat.reset();
                delivery.by_mass.clear();
                delivery.free_from.reset();
                delivery.oversize.reset();
            }
            if (!delivery.by_mass.empty() && chance(40)) delivery.by_mass.pop_back();
            if (!supplier.minimum_order && chance(30))
                supplier.minimum_order = Money(pick(2000, 15000), supplier.currency);
        }
        if (chance(15)) market_.max_suppliers = static_cast<int>(pick(2, 3));
    }

    // Some suppliers, in no particular order, each once.
    std::vector<std::size_t> some_suppliers() {
        std::vector<std::size_t> all(market_.suppliers.size());
        for (std::size_t i = 0; i < all.size(); ++i) all[i] = i;
        for (std::size_t i = all.size(); i > 1; --i)
            std::swap(all[i - 1],
                      all[static_cast<std::size_t>(pick(0, static_cast<std::int64_t>(i) - 1))]);
        all.resize(std::min(all.size(), static_cast<std::size_t>(size_.ways)));
        return all;
    }

    OfferTerms make_offer(std::size_t supplier, const std::string& sku, std::int64_t cents,
                          bool can_be_short) {
        OfferTerms offer;
        offer.supplier = market_.suppliers[supplier].supplier.id;
        offer.sku = sku;
        offer.id = offer.supplier + "/" + sku;
        offer.description = sku;
        offer.price = Decimal::scaled(std::max<std::int64_t>(cents * pick(85, 120) / 100, 1), 2);
        if (chance(30)) {
            const std::int64_t from = pick(3, 8);
            offer.breaks.push_back(
                {from, offer.price.multiplied_by(Decimal::scaled(pick(85, 95), 2), 2)});
            if (chance(40))
                offer.breaks.push_back(
                    {from + pick(2, 8), offer.price.multiplied_by(Decimal::scaled(80, 2), 2)});
        }
        if (chance(12)) offer.min_quantity = pick(2, 4);
        if (size_.limits && can_be_short && chance(25))
            offer.limit = offer.min_quantity + pick(0, 5);
        if (chance(10)) offer.tax_percent = Decimal(9);
        offer.lead_days = static_cast<int>(pick(0, 15));
        return offer;
    }

    struct Product {
        bool sheet = false;
        std::int64_t cents = 0;
        std::vector<std::size_t> suppliers;
        std::vector<std::string> offers; // by entry of suppliers
        double measure = 0;
    };

    // A product that a few suppliers have; the first is never short of it.
    Product make_product(int number) {
        Product product;
        product.suppliers = some_suppliers();
        product.sheet = chance(50);
        product.cents = pick(300, 9000);
        product.measure = static_cast<double>(pick(1500, 4000)) / 1000;
        for (std::size_t i = 0; i < product.suppliers.size(); ++i) {
            OfferTerms offer = make_offer(product.suppliers[i], "p" + std::to_string(number),
                                          product.cents, i > 0);
            if (product.sheet) {
                offer.price_unit = "m2";
                offer.mass_kg = static_cast<double>(pick(10, 35));
                offer.longest_mm = chance(50) ? 2500 : 3050;
            } else {
                offer.price_unit = chance(50) ? "each" : "pack";
                if (offer.price_unit == "each") offer.pack = Decimal(pick(1, 3));
                offer.mass_kg = static_cast<double>(pick(0, 40)) / 10;
                offer.service = chance(8);
            }
            product.offers.push_back(offer.id);
            market_.offers.push_back(std::move(offer));
        }
        return product;
    }

    void add_demand(int number) {
        DemandTerms demand;
        demand.id = "m/d" + std::to_string(number);
        demand.title = demand.id;
        demand.shares = {{"line" + std::to_string(number), 1}};
        if (size_.amounts && chance(35))
            add_amount(demand, number);
        else
            add_plan(demand, number);
        market_.demands.push_back(std::move(demand));
    }

    void add_plan(DemandTerms& demand, int number) {
        // Now and then the same goods as another demand needs.
        const bool again = !products_.empty() && chance(35);
        const Product product = again ? products_[static_cast<std::size_t>(pick(
                                            0, static_cast<std::int64_t>(products_.size()) - 1))]
                                      : make_product(number);
        if (!again) products_.push_back(product);
        const std::int64_t count = pick(1, 5);
        for (std::size_t i = 0; i < product.suppliers.size(); ++i) {
            contract::Way way;
            way.id = "w" + std::to_string(i);
            const double measure = product.sheet ? product.measure : 0;
            way.uses.push_back({product.offers[i], count + (chance(30) ? 1 : 0), measure});
            const Supplier& supplier = market_.suppliers[product.suppliers[i]].supplier;
            if (product.sheet && !supplier.cutting.price_per_cut.empty() && chance(30))
                way.dealer_cuts.push_back({supplier.id, pick(1, 6)});
            // Some of it from another.
            if (i > 0 && count > 1 && chance(15)) {
                way.uses.front().count = count - 1;
                way.uses.push_back({product.offers[0], 1, measure});
            }
            demand.ways.push_back(std::move(way));
        }
        if (chance(12)) {
            OfferTerms owned;
            owned.owned = true;
            owned.sku = "o" + std::to_string(number);
            owned.id = "owned/" + owned.sku;
            owned.price = Decimal::scaled(chance(50) ? 0 : pick(100, 3000), 2);
            owned.limit = 1;
            contract::Way way;
            way.id = "own";
            way.uses.push_back({owned.id, 1, 0});
            if (count > 1)
                way.uses.push_back(
                    {product.offers[0], count - 1, product.sheet ? product.measure : 0});
            demand.ways.push_back(std::move(way));
            market_.offers.push_back(std::move(owned));
        }
    }

    void add_amount(DemandTerms& demand, int number) {
        contract::Amount amount;
        amount.unit = "each";
        amount.quantity = static_cast<double>(pick(3, 45)) / 10;
        const std::int64_t cents = pick(200, 4000);
        const std::vector<std::size_t> suppliers = some_suppliers();
        for (std::size_t i = 0; i < suppliers.size(); ++i) {
            const int sizes = static_cast<int>(pick(1, 2));
            for (int k = 0; k < sizes; ++k) {
                const std::int64_t tenths = k == 0 ? 10 : pick(4, 25);
                OfferTerms offer =
                    make_offer(suppliers[i], "a" + std::to_string(number) + "_" + std::to_string(k),
                               cents * tenths / 10 + 1, i > 0);
                offer.mass_kg = static_cast<double>(tenths) / 10;
                amount.offers.push_back({offer.id, static_cast<double>(tenths) / 10, 0});
                market_.offers.push_back(std::move(offer));
            }
        }
        if (chance(20)) {
            OfferTerms owned;
            owned.owned = true;
            owned.sku = "o" + std::to_string(number);
            owned.id = "owned/" + owned.sku;
            owned.price = Decimal::scaled(chance(50) ? 0 : pick(50, 900), 2);
            owned.limit = pick(1, 2);
            amount.offers.push_back({owned.id, 0.5, 0});
            market_.offers.push_back(std::move(owned));
        }
        demand.amount = std::move(amount);
    }

    std::mt19937_64 random_;
    MarketSize size_;
    ProcureProblem market_;
    std::vector<Product> products_;
};

} // namespace

ProcureProblem random_market(std::uint64_t seed, const MarketSize& size) {
    ProcureProblem market = Market(seed, size).make();
    // Every third maker's time costs something: 4.00 to 13.00 a trip.
    if (seed % 3 == 0)
        market.trip = Money(400 + static_cast<std::int64_t>(seed % 10) * 100, market.currency);
    return market;
}

} // namespace aumbry::test
