#include "line/procure/price.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace aumbry::procurement {

namespace {

constexpr std::int64_t cached_counts = 1024;
constexpr std::size_t max_options_tried = 4096;

} // namespace

Decimal price_per_cut(const Supplier& supplier) {
    return supplier.cutting.price_per_cut.empty() ? Decimal()
                                                  : Decimal::parse(supplier.cutting.price_per_cut);
}

Pricer::Pricer(const Model& model)
    : model_(model), offers_of_(model.suppliers.size()), known_(model.offers.size()) {
    const auto class_of = [&](Decimal percent) {
        const auto found = std::find(tax_percents_.begin(), tax_percents_.end(), percent);
        if (found != tax_percents_.end())
            return static_cast<std::size_t>(found - tax_percents_.begin());
        std::int64_t scale = 100;
        for (int i = 0; i < percent.scale(); ++i) scale *= 10;
        tax_percents_.push_back(percent);
        tax_scales_.push_back(scale);
        return tax_percents_.size() - 1;
    };
    std::size_t slots = 0;
    for (std::size_t o = 0; o < model.offers.size(); ++o) {
        slots_.push_back(slots);
        slots += model.offers[o].quantities.size();
        offers_of_[model.offers[o].supplier].push_back(o);
        tax_class_of_offer_.push_back(class_of(model.offers[o].tax_percent));
    }
    slots_.push_back(slots);
    for (const Seller& seller : model.suppliers)
        tax_class_of_supplier_.push_back(
            class_of(seller.supplier ? seller.supplier->tax_percent : Decimal()));
}

Decimal Pricer::price_at(const Offer& offer, std::int64_t count) {
    Decimal price = offer.tiers.front().price;
    for (const OfferTerms::Break& tier : offer.tiers)
        if (tier.from <= count) price = tier.price;
    return price;
}

std::int64_t Pricer::net_of(std::int64_t listed, const Seller& seller, Decimal tax_percent) const {
    const Currency& currency = model_.problem->currency;
    const Supplier& supplier = *seller.supplier;
    const bool foreign = supplier.currency != currency;
    if (!foreign && !supplier.tax_included) return listed;
    Decimal amount = Decimal::scaled(listed, supplier.currency.digits);
    if (foreign) amount = amount.multiplied_by(seller.rate, Decimal::max_scale);
    if (supplier.tax_included) {
        const Decimal factor = Decimal(1) + tax_percent * Decimal::scaled(1, 2);
        amount = amount.divided_by(factor, currency.digits);
    }
    return Money::round(amount, currency).minor();
}

std::int64_t Pricer::collecting_cost(const Seller& seller) const {
    return Money::round(seller.supplier->delivery.collect->decimal().multiplied_by(
                            seller.rate, Decimal::max_scale),
                        model_.problem->currency)
        .minor();
}

Pricer::Amounts Pricer::amounts(std::size_t offer_at, std::size_t quantity, std::int64_t count,
                                std::int64_t priced_as) const {
    const Offer& offer = model_.offers[offer_at];
    const Seller& seller = model_.suppliers[offer.supplier];
    const Currency& currency =
        seller.supplier ? seller.supplier->currency : model_.problem->currency;
    const Price price{price_at(offer, priced_as), currency, Decimal(1)};
    Amounts result;
    result.listed = price.amount_for(offer.quantities[quantity].measure * Decimal(count)).minor();
    result.net = seller.supplier ? net_of(result.listed, seller, offer.tax_percent) : result.listed;
    return result;
}

Pricer::Cheapest
Pricer::cheapest(std::size_t offer,
                 const std::vector<std::pair<std::size_t, std::int64_t>>& needed) const {
    const std::vector<Option> all = options(offer, needed);
    if (all.empty()) return {};
    std::int64_t max_listed = 0;
    for (const Option& option : all) max_listed = std::max(max_listed, option.listed);
    return {true, all.back().net, max_listed};
}

const std::vector<Pricer::Option>& Pricer::known_options(std::size_t offer,
                                                         std::int64_t needed) const {
    auto& known = known_[offer];
    const auto at = static_cast<std::size_t>(needed);
    if (known.size() <= at) known.resize(at + 1);
    if (!known[at]) known[at] = options(offer, {{0, needed}});
    return *known[at];
}

// Whether a dearer count could pay for the whole order: by free delivery, by a band of mass, by the
// minimum order.
bool Pricer::choice_matters(const Seller& seller) const {
    return seller.supplier &&
           (seller.supplier->delivery.free_from || !seller.supplier->delivery.by_mass.empty() ||
            seller.supplier->minimum_order || (seller.collected && model_.problem->load));
}

std::vector<Pricer::Option>
Pricer::options(std::size_t offer_at,
                const std::vector<std::pair<std::size_t, std::int64_t>>& needed) const {
    const Offer& offer = model_.offers[offer_at];
    std::int64_t total = 0;
    for (const auto& [quantity, count] : needed) total += count;
    std::vector<Option> result;
    // What is bought beyond need is of the least measure.
    std::size_t least = 0;
    for (std::size_t i = 1; i < needed.size(); ++i)
        if (offer.quantities[needed[i].first].measure <
            offer.quantities[needed[least].first].measure)
            least = i;
    const auto add = [&](std::int64_t count) {
        Option option{count, needed, 0, 0, 0, false};
        option.counts[least].second += count - total;
        for (const auto& [quantity, part] : option.counts) {
            const Amounts of = amounts(offer_at, quantity, part, count);
            option.listed += of.listed;
            option.net += of.net;
            const Measured& stated = offer.quantities[quantity];
            option.mass_kg += stated.mass_kg * static_cast<double>(part);
            option.must_be_delivered = option.must_be_delivered || stated.must_be_delivered;
        }
        if (result.empty() || option.net < result.back().net) result.push_back(std::move(option));
    };
    const std::int64_t first = std::max(total, offer.min_count);
    if (first > offer.limit) return result;
    add(first);
    for (const OfferTerms::Break& tier : offer.tiers)
        if (tier.from > first && tier.from <= offer.limit) add(tier.from);
    return result;
}

std::int64_t Pricer::mass_charge(const DeliveryConditions& terms, double mass_kg) {
    if (terms.by_mass.empty()) return 0;
    const MassBand& last = terms.by_mass.back();
    std::int64_t charge = 0;
    double rest = round_to(mass_kg, 6);
    if (last.up_to && *last.up_to > 0 && rest > *last.up_to) {
        const double loads = std::min(std::floor(rest / *last.up_to), 1e6);
        charge = static_cast<std::int64_t>(loads) * last.cost.minor();
        rest = round_to(rest - loads * *last.up_to, 6);
        if (rest <= 0) return charge;
    }
    for (const MassBand& band : terms.by_mass)
        if (!band.up_to || rest <= *band.up_to) return charge + band.cost.minor();
    return charge + last.cost.minor();
}

std::int64_t Pricer::delivery_listed(const DeliveryConditions& terms, std::int64_t listed_goods,
                                     double mass_kg, bool oversize) {
    std::int64_t charge = 0;
    if (!terms.free_from || listed_goods < terms.free_from->minor())
        charge = terms.by_mass.empty() ? terms.flat.value_or(Money()).minor()
                                       : mass_charge(terms, mass_kg);
    if (oversize && terms.oversize) charge += terms.oversize->extra.minor();
    return charge;
}

// The trips of the vehicle that fetch so much.
std::int64_t Pricer::trips_for(double mass_kg) const {
    const std::optional<double>& load = model_.problem->load;
    if (!load || !(*load > 0) || mass_kg <= *load) return 1;
    return static_cast<std::int64_t>(std::min(std::ceil(round_to(mass_kg / *load, 6)), 1e6));
}

// Cuts, minimum order and delivery of an order of these goods.
void Pricer::charge(const Seller& seller, Order& order, const Goods& goods, bool collected) const {
    const Supplier& supplier = *seller.supplier;
    const DeliveryConditions& delivery = supplier.delivery;
    order.cuts = order.delivery = order.small_order = order.time = 0;
    order.collected = false;
    order.possible = true;
    if (order.cut_count > 0)
        order.cuts = net_of(Price{price_per_cut(supplier), supplier.currency, Decimal(1)}
                                .amount_for(Decimal(order.cut_count))
                                .minor(),
                            seller, supplier.tax_percent);
    if (!goods.any) return;
    const std::int64_t minimum = supplier.minimum_order ? supplier.minimum_order->minor() : 0;
    if (goods.listed < minimum)
        order.small_order = net_of(minimum - goods.listed, seller, supplier.tax_percent);
    order.possible = collected ? seller.collected && goods.kept_from_vehicle == 0 : seller.delivers;
    order.collected = collected;
    order.trips = collected ? trips_for(goods.mass_kg) : 0;
    order.time = order.trips * trip_cost();
    if (!order.possible) return;
    order.delivery =
        collected ? order.trips * collecting_cost(seller)
                  : net_of(delivery_listed(delivery, goods.listed, goods.mass_kg, goods.oversize),
                           seller, supplier.tax_percent);
}

// Tax by rate and the cost of it all, once lines and charges stand.
void Pricer::add_up(const Seller& seller, Order& order) const {
    std::map<Decimal, std::int64_t> taxable;
    for (const OrderLine& line : order.lines)
        taxable[model_.offers[line.offer].tax_percent] += line.net;
    const std::int64_t taxed =
        order.cuts + order.small_order + (order.collected ? 0 : order.delivery);
    if (taxed != 0) taxable[seller.supplier->tax_percent] += taxed;
    order.taxes.clear();
    order.tax = 0;
    for (const auto& [percent, amount] : taxable) {
        const std::int64_t tax = Money(amount, model_.problem->currency).percent(percent).minor();
        order.taxes.push_back({percent, amount, tax});
        order.tax += tax;
    }
    order.cost = order.goods + order.services + order.cuts + order.small_order + order.delivery +
                 order.time + (model_.problem->tax_is_cost ? order.tax : 0);
}

// Charges, tax and cost of an order whose lines stand; collected when that costs less than
// delivery.
void Pricer::settle(std::size_t supplier_at, Order& order, bool oversize) const {
    const Seller& seller = model_.suppliers[supplier_at];
    order.goods = order.services = order.listed_goods = 0;
    order.mass_kg = 0;
    Goods goods;
    goods.oversize = oversize;
    for (const OrderLine& line : order.lines) {
        const Offer& offer = model_.offers[line.offer];
        if (offer.terms->service) {
            order.services += line.net;
            continue;
        }
        goods.any = true;
        order.goods += line.net;
        order.listed_goods += line.listed;
        order.mass_kg += line.mass_kg;
        if (line.must_be_delivered) ++goods.kept_from_vehicle;
    }
    goods.listed = order.listed_goods;
    goods.mass_kg = order.mass_kg = round_to(order.mass_kg, 6);
    order.cost = order.goods + order.services;
    if (!seller.supplier) return;
    charge(seller, order, goods, false);
    if (order.possible) add_up(seller, order);
    if (!goods.any || !seller.collected) return;
    const std::optional<std::int64_t> delivered =
        order.possible ? std::optional(order.cost) : std::nullopt;
    charge(seller, order, goods, true);
    if (order.possible) add_up(seller, order);
    if (delivered && (!order.possible || *delivered <= order.cost)) {
        charge(seller, order, goods, false);
        add_up(seller, order);
    }
}

Order Pricer::order(std::size_t supplier, const Ask& ask) const {
    Order order;
    order.cut_count = ask.cuts;
    std::map<std::size_t, std::map<std::size_t, std::int64_t>> needed; // offer -> quantity -> count
    for (const Use& use : ask.uses) needed[use.offer][use.quantity] += use.count;

    std::vector<std::vector<Option>> choices;
    bool oversize = false;
    std::size_t combinations = 1;
    for (const auto& [offer, by_quantity] : needed) {
        choices.push_back(options(offer, {by_quantity.begin(), by_quantity.end()}));
        if (choices.back().empty()) {
            order.possible = false;
            return order;
        }
        OrderLine line;
        line.offer = offer;
        for (const auto& [quantity, count] : by_quantity) line.needed += count;
        order.lines.push_back(line);
        oversize = oversize || model_.offers[offer].oversize;
    }
    // The last option of each line is its cheapest. A dearer one can still pay where the order then
    // reaches free delivery or stays within a band of mass; all are tried while they are few.
    for (const auto& of_line : choices)
        combinations = std::min(combinations * of_line.size(), max_options_tried + 1);
    std::vector<std::size_t> pick(choices.size());
    const auto choose = [&](Order& to) {
        for (std::size_t i = 0; i < choices.size(); ++i) {
            const Option& option = choices[i][pick[i]];
            to.lines[i].count = option.count;
            to.lines[i].listed = option.listed;
            to.lines[i].net = option.net;
            to.lines[i].mass_kg = option.mass_kg;
            to.lines[i].must_be_delivered = option.must_be_delivered;
        }
        settle(supplier, to, oversize);
    };
    for (std::size_t i = 0; i < choices.size(); ++i) pick[i] = choices[i].size() - 1;
    std::vector<std::size_t> best = pick;
    choose(order);
    if (combinations > 1 && combinations <= max_options_tried && supplier != owned &&
        order.possible) {
        Order trial = order;
        std::int64_t least = order.cost;
        std::fill(pick.begin(), pick.end(), 0);
        for (std::size_t step = 0; step < combinations; ++step) {
            choose(trial);
            if (trial.cost < least) {
                least = trial.cost;
                best = pick;
            }
            for (std::size_t i = 0; i < pick.size() && ++pick[i] == choices[i].size(); ++i)
                pick[i] = 0;
        }
        pick = best;
        choose(order);
    }
    for (std::size_t i = 0; i < choices.size(); ++i) {
        OrderLine& line = order.lines[i];
        line.counts = choices[i][best[i]].counts;
        for (const auto& [quantity, count] : line.counts)
            line.nets.push_back(amounts(line.offer, quantity, count, line.count).net);
    }
    return order;
}

void Pricer::add(Sums& sums, std::size_t offer_at, const Option& option, int sign) const {
    const Offer& offer = model_.offers[offer_at];
    sums.net += sign * option.net;
    sums.taxable[tax_class_of_offer_[offer_at]] += sign * option.net;
    if (offer.terms->service) return;
    sums.goods.any = true;
    sums.goods.oversize = sums.goods.oversize || offer.oversize;
    sums.goods.listed += sign * option.listed;
    sums.goods.mass_kg += sign * option.mass_kg;
    if (option.must_be_delivered) sums.goods.kept_from_vehicle += sign;
}

// Money::percent in fewer steps; amounts that it cannot hold do not occur below the limits of a
// search.
std::int64_t Pricer::tax(std::int64_t amount, std::size_t tax_class) const {
    __extension__ using Wide = __int128;
    const Wide scale = tax_scales_[tax_class];
    return static_cast<std::int64_t>(
        (2 * Wide{amount} * tax_percents_[tax_class].unscaled() + scale) / (2 * scale));
}

std::int64_t Pricer::total(std::size_t supplier, const Sums& sums, std::int64_t cuts) const {
    const Seller& seller = model_.suppliers[supplier];
    if (!seller.supplier) return sums.net;
    Goods goods = sums.goods;
    if (!seller.supplier->delivery.by_mass.empty() || model_.problem->load)
        goods.mass_kg = round_to(goods.mass_kg, 6);
    std::int64_t least = no_limit;
    for (const bool collected : {false, true}) {
        if (collected && (!goods.any || !seller.collected)) break;
        Order order;
        order.cut_count = cuts;
        charge(seller, order, goods, collected);
        if (!order.possible) continue;
        std::int64_t cost = sums.net + order.cuts + order.small_order + order.delivery + order.time;
        if (model_.problem->tax_is_cost) {
            const std::int64_t charges =
                order.cuts + order.small_order + (collected ? 0 : order.delivery);
            for (std::size_t c = 0; c < sums.taxable.size(); ++c) {
                const std::int64_t taxable =
                    sums.taxable[c] + (c == tax_class_of_supplier_[supplier] ? charges : 0);
                if (taxable != 0) cost += tax(taxable, c);
            }
        }
        least = std::min(least, cost);
    }
    return least;
}

std::int64_t Pricer::cost(std::size_t supplier, const std::vector<std::int64_t>& needed,
                          std::int64_t cuts) const {
    Sums sums;
    sums.taxable.assign(tax_percents_.size(), 0);
    std::vector<std::pair<std::size_t, const std::vector<Option>*>> choices;
    std::size_t combinations = 1;
    bool plain = true;
    const bool matters = choice_matters(model_.suppliers[supplier]);
    for (const std::size_t offer : offers_of_[supplier]) {
        std::int64_t count = 0;
        for (std::size_t s = slots_[offer]; s < slots_[offer + 1]; ++s) count += needed[s];
        if (count == 0) continue;
        if (slots_[offer + 1] - slots_[offer] > 1 || count >= cached_counts) {
            plain = false;
            break;
        }
        const std::vector<Option>& options = known_options(offer, count);
        if (options.empty()) return no_limit;
        if (matters && options.size() > 1) {
            choices.emplace_back(offer, &options);
            combinations = std::min(combinations * options.size(), max_options_tried + 1);
        }
        add(sums, offer, options.back(), 1);
    }
    if (!plain) {
        Ask ask;
        ask.cuts = cuts;
        for (const std::size_t offer : offers_of_[supplier])
            for (std::size_t s = slots_[offer]; s < slots_[offer + 1]; ++s)
                if (needed[s] > 0) ask.uses.push_back({offer, s - slots_[offer], needed[s]});
        const Order priced = order(supplier, ask);
        return priced.possible ? priced.cost : no_limit;
    }
    if (sums.net == 0 && !sums.goods.any && cuts == 0) return 0;
    std::int64_t least = total(supplier, sums, cuts);
    if (combinations == 1 || combinations > max_options_tried) return least;
    std::vector<std::size_t> pick;
    for (const auto& [offer, options] : choices) pick.push_back(options->size() - 1);
    for (std::size_t step = 1; step < combinations; ++step) {
        for (std::size_t i = 0; i < pick.size(); ++i) {
            const auto& [offer, options] = choices[i];
            add(sums, offer, (*options)[pick[i]], -1);
            pick[i] = pick[i] == 0 ? options->size() - 1 : pick[i] - 1;
            add(sums, offer, (*options)[pick[i]], 1);
            if (pick[i] != options->size() - 1) break;
        }
        least = std::min(least, total(supplier, sums, cuts));
    }
    return least;
}

} // namespace aumbry::procurement
