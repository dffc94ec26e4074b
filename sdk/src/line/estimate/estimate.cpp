#include "aumbry/estimate.hpp"

#include "line/estimate/allocation.hpp"
#include "line/estimate/leftovers.hpp"
#include "line/estimate/workings.hpp"
#include "line/recorded/bought.hpp"
#include "line/stages.hpp"
#include "studies/spare_sheets.hpp"

#include "aumbry/follow.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/pricing.hpp"
#include "aumbry/schedule.hpp"
#include "aumbry/take_off.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace aumbry {
namespace {

/// FNV-1a, 64 bits: tells two inputs apart; no protection against intent.
std::string hash_of(std::string_view text) {
    std::uint64_t hash = 14695981039346656037ULL;
    for (const char c : text) {
        hash ^= static_cast<unsigned char>(c);
        hash *= 1099511628211ULL;
    }
    std::string digits(16, '0');
    for (std::size_t i = 16; i-- > 0; hash >>= 4U) digits[i] = "0123456789abcdef"[hash & 15U];
    return "fnv1a64:" + digits;
}

/// Puts the parts of one run together.
class Builder {
  public:
    Builder(const Project& project, PluginHost& host, const Catalog& catalog,
            const EstimateOptions& options)
        : project_(project), host_(host), catalog_(catalog), options_(options),
          prepared_(prepare(project, host, catalog, options)) {}

    Estimate run() {
        bought_ = with_place(project_, "/lines", [&] { return procure(prepared_.problem); });
        followed_ = follow(resolved_, taken_, bought_, host_, catalog_.tables(), options_.effort);
        core_findings_ = prepared_.findings;
        Dated dated = date_work(project_, prepared_, bought_, followed_.steps);
        steps_ = std::move(dated.steps);
        schedule_ = std::move(dated.schedule);
        core_findings_.insert(core_findings_.end(), dated.findings.begin(), dated.findings.end());

        head();
        lines();
        purchases_and_orders();
        labour();
        plans();
        totals();
        quantities();
        dates();
        cash();
        if (options_.spare_sheets) out_.spare_sheets = spare_sheets(prepared_, bought_);
        gather_findings();
        left_out();
        out_.leftovers = leftovers_of(out_, resolved_, taken_, bought_, host_, catalog_);
        out_.workings = workings_of(out_, resolved_, build_, taken_.workings, followed_.workings);
        return std::move(out_);
    }

  private:
    // ------------------------------------------------------------ the value

    [[nodiscard]] Money zero() const { return Money::zero(resolved_.currency); }

    void head() {
        out_.title = resolved_.title;
        out_.alternative = project_.alternative;
        out_.currency = resolved_.currency;
        out_.length_unit = resolved_.length_unit;
        out_.effort = options_.effort;
        out_.priced_on = resolved_.priced_on;
        out_.start = prepared_.begun;
        std::string prices;
        for (const auto& [id, offer] : taken_.offers) {
            prices += id + ' ' + offer.offer.price + ' ' + offer.offer.attributes.dump();
            for (const PriceRow* row : offer.rows)
                prices += ' ' + row->price.str() + '/' + std::to_string(row->min_quantity);
            prices += '\n';
        }
        out_.inputs["project"] = hash_of(project_.document.dump());
        out_.inputs["prices"] = hash_of(prices);
        out_.inputs["tables"] = hash_of(catalog_.tables().dump());
        for (const contract::Description& module : host_.modules()) {
            out_.modules.push_back({module.id, module.title, module.version, module.contract});
        }
    }

    void lines() {
        for (const ResolvedLine& resolved : resolved_.lines) {
            EstimateLine line;
            line.id = resolved.line.id;
            line.kind = resolved.line.kind;
            line.piece = resolved.line.piece;
            line.title = display_name(resolved.line);
            line.module = resolved.module;
            line.material = resolved.line.material ? resolved.line.material->id : std::string();
            line.count = resolved.line.count;
            line.fields = resolved.line.fields;
            line.derived = resolved.line.derived;
            line.mass = round_to(number(resolved.line.derived, "mass", 0) *
                                     static_cast<double>(resolved.line.count),
                                 4);
            line.cost = zero();
            line.not_priced = resolved.not_priced;
            if (const auto failed = taken_.not_priced.find(line.id);
                failed != taken_.not_priced.end())
                line.not_priced = failed->second;
            out_.mass += line.mass;
            line_index_[line.id] = out_.lines.size();
            out_.lines.push_back(std::move(line));
        }
        out_.mass = round_to(out_.mass, 4);
    }

    /// Files a cost with the lines that cause it.
    std::vector<LineShare> charge(const Money& amount, const std::vector<contract::Share>& shares,
                                  Category category, bool count_to_lines = true) {
        std::vector<LineShare> result;
        if (shares.empty()) {
            allocation_->add({"", ""}, category, amount);
            return result;
        }
        std::vector<double> weights;
        for (const contract::Share& share : shares) weights.push_back(share.weight);
        const std::vector<Money> amounts = split(amount, weights);
        for (std::size_t i = 0; i < shares.size(); ++i) {
            EstimateLine& line = out_.lines[line_index_.at(shares[i].line)];
            allocation_->add({line.module, line.piece}, category, amounts[i]);
            if (count_to_lines) line.cost += amounts[i];
            result.push_back({line.id, amounts[i]});
        }
        return result;
    }

    [[nodiscard]] const Supplier* supplier_of(const std::string& id) const {
        const auto found =
            std::find_if(suppliers_.begin(), suppliers_.end(),
                         [&](const SupplierTerms& terms) { return terms.supplier.id == id; });
        return found == suppliers_.end() ? nullptr : &found->supplier;
    }
    [[nodiscard]] const OfferTerms* terms_of(const std::string& offer) const {
        const auto found = std::find_if(offers_.begin(), offers_.end(),
                                        [&](const OfferTerms& o) { return o.id == offer; });
        return found == offers_.end() ? nullptr : &*found;
    }

    /// The latest day of ordering that does not delay the job: from the latest arrival of any
    /// demand that it serves.
    std::optional<Date> order_by(const Purchase& purchase) const {
        const Supplier* supplier = supplier_of(purchase.supplier);
        const OfferTerms* offer = terms_of(purchase.offer);
        if (supplier == nullptr || offer == nullptr) return std::nullopt;
        std::optional<Date> latest;
        for (const std::string& demand : purchase.demands) {
            const auto found = schedule_.latest_arrivals.find(demand);
            const Date date =
                found == schedule_.latest_arrivals.end() ? schedule_.ready : found->second;
            latest = latest ? std::min(*latest, date) : date;
        }
        return latest ? std::optional(order_by_date(*supplier, *offer, *latest)) : std::nullopt;
    }

    void purchases_and_orders() {
        allocation_.emplace(resolved_.currency);
        std::map<std::string, std::vector<const Purchase*>> by_supplier;
        for (const Purchase& bought : bought_.purchases) {
            if (const Bought* before = bought_before(bought.offer)) {
                Used& used = used_[before->id];
                used.count += bought.count;
                used.lines.insert(used.lines.end(), bought.lines.begin(), bought.lines.end());
                used.demands.insert(used.demands.end(), bought.demands.begin(),
                                    bought.demands.end());
                continue;
            }
            by_supplier[bought.supplier].push_back(&bought);
            EstimatePurchase purchase;
            purchase.supplier = bought.supplier;
            if (const Supplier* supplier = supplier_of(bought.supplier))
                purchase.supplier_name = supplier->name;
            purchase.offer = bought.offer;
            purchase.sku = bought.sku;
            if (const auto dated = taken_.offers.find(bought.offer); dated != taken_.offers.end())
                purchase.catalog_class = dated->second.offer.catalog_class;
            purchase.description = bought.description;
            purchase.count = bought.count;
            purchase.needed = bought.needed;
            purchase.measure = bought.measure;
            purchase.price_unit = bought.price_unit;
            purchase.listed_price = bought.listed_price;
            purchase.listed_currency = bought.listed_currency.code;
            purchase.unit_price = bought.unit_price;
            purchase.amount = bought.amount;
            purchase.tax_percent = bought.tax_percent;
            purchase.demands = bought.demands;
            for (const std::string& demand : bought.demands)
                purchase.serves.push_back({demand, content_for(demand, bought.offer)});
            purchase.arrives = bought.arrives;
            purchase.order_by = order_by(bought);
            purchase.service = bought.service;
            purchase.owned = bought.owned;
            purchase.returnable = bought.returnable;
            purchase.decides_sizes =
                std::any_of(bought.demands.begin(), bought.demands.end(),
                            [&](const std::string& id) { return measured_first(id); });
            purchase.price_row = bought.row.file;
            purchase.valid_to = bought.valid_to;
            purchase.lines = charge(bought.amount, bought.lines,
                                    bought.service ? Category::services : Category::goods);
            out_.purchases.push_back(std::move(purchase));
        }
        for (const Bought& bought : resolved_.bought) paid(bought);
        for (const SupplierOrder& bought : bought_.orders)
            order(bought, by_supplier[bought.supplier]);
        progress_of_lines();
        out_.purchase_proven = bought_.proven;
        out_.purchase_bound = bought_.lower_bound;
        out_.prices_hold = bought_.prices_hold;
        for (const EstimatePurchase& purchase : out_.purchases) {
            if (purchase.valid_to && purchase.valid_to == out_.prices_hold)
                out_.prices_hold_offers.push_back(purchase.offer);
        }
        for (const Choice& choice : bought_.choices) {
            if (!choice.next_best) continue;
            std::string what;
            for (const contract::Use& use : choice.next_best->uses) {
                const OfferTerms* terms = terms_of(use.offer);
                what += (what.empty() ? "" : ", ") + std::to_string(use.count) + " x " +
                        (terms == nullptr || terms->description.empty() ? use.offer
                                                                        : terms->description);
            }
            out_.next_best.push_back({choice.demand, choice.next_best->suppliers, what,
                                      choice.next_best->cost - bought_.cost,
                                      choice.next_best->arrives});
        }
    }

    [[nodiscard]] const contract::Demand* demand_of(const std::string& id) const {
        const auto found =
            std::find_if(taken_.demands.begin(), taken_.demands.end(),
                         [&](const contract::Demand& each) { return each.id == id; });
        return found == taken_.demands.end() ? nullptr : &*found;
    }
    /// Whether parts wait for the measured size of what a demand brings.
    [[nodiscard]] bool measured_first(const std::string& id) const {
        const auto waits = [&](const NetworkStep& step) {
            const bool makes =
                step.phase == contract::Phase::cut || step.phase == contract::Phase::machine;
            return makes && std::find(step.needs.begin(), step.needs.end(), id) != step.needs.end();
        };
        return demand_of(id)->decides_sizes && std::any_of(steps_.begin(), steps_.end(), waits);
    }
    /// What one count of an offer holds for a demand; 0 for a plan.
    [[nodiscard]] double content_for(const std::string& id, const std::string& offer) const {
        const contract::Demand* demand = demand_of(id);
        if (demand == nullptr || !demand->amount) return 0;
        for (const contract::AmountOffer& each : demand->amount->offers) {
            if (each.offer == offer) return each.content;
        }
        return 0;
    }

    struct Used {
        std::int64_t count = 0;
        std::vector<contract::Share> lines;
        std::vector<std::string> demands;
    };

    /// The entry under `bought` that an offer stands for, or null.
    [[nodiscard]] const Bought* bought_before(const std::string& offer) const {
        // Planned anew, it is "owned/bought/<id>".
        std::string_view rest = offer;
        if (rest.starts_with("owned/")) rest.remove_prefix(6);
        if (!rest.starts_with("bought/")) return nullptr;
        rest.remove_prefix(7);
        const auto found = std::find_if(resolved_.bought.begin(), resolved_.bought.end(),
                                        [&](const Bought& each) { return each.id == rest; });
        return found == resolved_.bought.end() ? nullptr : &*found;
    }

    /// What is paid is a cost whatever becomes of it: of the lines that use it, else of the module
    /// that asked for it.
    void paid(const Bought& bought) {
        const Used& used = used_[bought.id];
        EstimatePurchase purchase;
        purchase.supplier = bought.supplier;
        const Supplier* supplier = catalog_.supplier(bought.supplier);
        purchase.supplier_name = supplier == nullptr ? bought.supplier : supplier->name;
        purchase.offer = "bought/" + bought.id;
        purchase.sku = bought.sku;
        purchase.catalog_class = bought.catalog_class;
        purchase.description = bought.title;
        purchase.count = bought.count;
        purchase.needed = used.count;
        purchase.price_unit = "each";
        if (bought.count > 0)
            purchase.unit_price = bought.amount.decimal().divided_by(Decimal(bought.count), 6);
        purchase.listed_price = purchase.unit_price;
        purchase.listed_currency = resolved_.currency.code;
        purchase.amount = bought.amount;
        purchase.tax = bought.tax;
        purchase.demands = used.demands;
        purchase.arrives = bought.state == Progress::ordered
                               ? bought.arrives.value_or(resolved_.start)
                               : bought.on.value_or(prepared_.begun);
        purchase.service = bought.charge == "service";
        purchase.state = bought.state;
        purchase.price_row = "bought";
        const Category category = bought.charge == "service"    ? Category::services
                                  : bought.charge == "delivery" ? Category::delivery
                                                                : Category::goods;
        const auto spread = [&](const Money& amount, Category of, bool count_to_lines) {
            if (!used.lines.empty() || bought.serves.empty())
                return charge(amount, used.lines, of, count_to_lines);
            const std::string& demand = bought.serves.front().demand;
            allocation_->add({demand.substr(0, demand.find('/')), ""}, of, amount);
            return std::vector<LineShare>{};
        };
        purchase.lines = spread(bought.amount, category, true);
        tax_paid_ += bought.tax;
        if (!resolved_.pricing.terms.tax_paid_recoverable && !bought.tax.is_zero())
            spread(bought.tax, Category::tax_as_cost, false);
        out_.purchases.push_back(std::move(purchase));
    }

    /// A line is as far as the slowest of the goods that serve it.
    void progress_of_lines() {
        std::map<std::string, Progress> slowest;
        for (const EstimatePurchase& purchase : out_.purchases) {
            const Progress state = purchase.owned ? Progress::received : purchase.state;
            for (const LineShare& share : purchase.lines) {
                const auto [at, first] = slowest.emplace(share.line, state);
                if (!first) at->second = std::min(at->second, state);
            }
        }
        for (EstimateLine& line : out_.lines) {
            const auto found = slowest.find(line.id);
            if (found != slowest.end()) line.state = found->second;
        }
    }

    /// What one order carries as a whole is split over its purchases by amount, and over their
    /// lines.
    void order(const SupplierOrder& bought, const std::vector<const Purchase*>& purchases) {
        const Supplier* supplier = supplier_of(bought.supplier);
        EstimateOrder made;
        made.supplier = bought.supplier;
        made.name = supplier == nullptr ? bought.supplier : supplier->name;
        made.invented = supplier != nullptr && supplier->invented;
        made.goods = bought.goods;
        made.services = bought.services;
        made.cuts = bought.cuts;
        made.cut_count = bought.cut_count;
        made.delivery = bought.delivery;
        made.small_order = bought.small_order;
        for (const OrderTax& tax : bought.taxes)
            made.taxes.push_back({tax.percent, tax.taxable, tax.tax});
        made.tax = bought.tax;
        made.total = bought.total;
        made.collected = bought.collected;
        made.mass = bought.mass_kg;
        made.arrives = bought.arrives;
        for (const EstimatePurchase& purchase : out_.purchases) {
            if (purchase.supplier == bought.supplier && purchase.state == Progress::planned &&
                purchase.order_by)
                made.order_by = made.order_by ? std::min(*made.order_by, *purchase.order_by)
                                              : *purchase.order_by;
        }
        std::vector<Decimal> weights;
        for (const Purchase* purchase : purchases) weights.push_back(purchase->amount.decimal());
        const auto spread = [&](const Money& amount, Category category, bool count_to_lines) {
            if (amount.is_zero() || purchases.empty()) return;
            const std::vector<Money> amounts = split(amount, weights);
            for (std::size_t i = 0; i < purchases.size(); ++i)
                charge(amounts[i], purchases[i]->lines, category, count_to_lines);
        };
        spread(bought.cuts, Category::services, true);
        spread(bought.delivery + bought.small_order, Category::delivery, true);
        tax_paid_ += bought.tax;
        if (!resolved_.pricing.terms.tax_paid_recoverable)
            spread(bought.tax, Category::tax_as_cost, false);
        out_.orders.push_back(std::move(made));
    }

    [[nodiscard]] const Person& person(const std::string& id) const {
        const auto found = std::find_if(resolved_.people.begin(), resolved_.people.end(),
                                        [&](const Person& p) { return p.id == id; });
        return found == resolved_.people.end() ? resolved_.people.front() : *found;
    }

    void file_labour(const NetworkStep& step, const Money& amount) {
        const std::string module = step.module.empty() ? "work" : step.module;
        if (step.pieces.empty()) {
            allocation_->add({module, ""}, Category::labour, amount);
            return;
        }
        const std::vector<Decimal> even(step.pieces.size(), Decimal(1));
        const std::vector<Money> amounts = split(amount, even);
        for (std::size_t i = 0; i < step.pieces.size(); ++i)
            allocation_->add({module, step.pieces[i]}, Category::labour, amounts[i]);
    }

    void labour() {
        struct HoursOf {
            double hours = 0;
            Money amount;
            std::set<Date> days;
            const NetworkStep* last = nullptr;
        };
        std::map<std::string, HoursOf> worked;
        for (std::size_t index = 0; index < steps_.size(); ++index) {
            const NetworkStep& step = steps_[index];
            Money cost = zero();
            const auto charge_hours = [&](const Person& who, double hours) -> HoursOf& {
                const Decimal rate = step.rate.value_or(who.rate);
                if (who.rate_stated || step.rate) out_.labour_stated = true;
                const Money amount = Price{rate, resolved_.currency, Decimal(1)}.amount_for(
                    Decimal::from_double(hours, 4));
                cost += amount;
                HoursOf& by = worked[who.id];
                if (by.last == nullptr) by.amount = zero();
                by.hours += hours;
                by.amount += amount;
                by.last = &step;
                return by;
            };
            for (const std::string& id : step.who) {
                const auto people = step.who.size() > 1 ? 1 : step.people;
                HoursOf& by = charge_hours(person(id), round_to(step.minutes / 60, 4) *
                                                           static_cast<double>(people));
                if (step.minutes > 0) {
                    by.days.insert(schedule_.tasks[index].start.date);
                    by.days.insert(schedule_.tasks[index].finish.date);
                }
            }
            for (const Worked& past : resolved_.worked) {
                if (past.step != step.id) continue;
                HoursOf& by = charge_hours(person(past.who), round_to(past.minutes / 60, 4));
                if (past.on && past.minutes > 0) by.days.insert(*past.on);
            }
            step_cost_.push_back(cost);
            file_labour(step, cost);
        }
        for (const Person& who : resolved_.people) {
            const auto found = worked.find(who.id);
            if (found == worked.end() || found->second.hours == 0) continue;
            HoursOf& by = found->second;
            const double hours = round_to(by.hours, 2);
            const double least =
                round_to(who.least_minutes / 60 * static_cast<double>(by.days.size()), 2);
            if (least > hours) {
                const Money rest = Price{who.rate, resolved_.currency, Decimal(1)}.amount_for(
                    Decimal::from_double(least - hours, 2));
                file_labour(*by.last, rest);
                by.amount += rest;
            }
            out_.schedule.hours.push_back(
                {who.id, who.title, hours, std::max(hours, least), who.rate, by.amount});
        }
    }

    void plans() {
        std::map<std::string, const contract::Demand*> demands;
        for (const contract::Demand& demand : taken_.demands) demands[demand.id] = &demand;
        for (const Choice& choice : bought_.choices) {
            if (choice.way.empty()) continue;
            const contract::Demand& demand = *demands.at(choice.demand);
            const auto way =
                std::find_if(demand.ways.begin(), demand.ways.end(),
                             [&](const contract::Way& w) { return w.id == choice.way; });
            if (way == demand.ways.end()) continue;
            out_.plans_to_keep[demand.id] = bought_plan_json(demand.shares, *way);
            const bool cut = demand.plan_type == "sheet" || demand.plan_type == "board";
            Json& list = demand.plan_type == "sheet"   ? out_.cutting_plans
                         : demand.plan_type == "board" ? out_.board_plans
                                                       : out_.further_plans;
            for (Json plan : way->plans) {
                plan["demand"] = choice.demand;
                list.push_back(std::move(plan));
            }
            if (!cut) continue;
            EstimateBound bound;
            bound.demand = choice.demand;
            bound.module = choice.demand.substr(0, choice.demand.find('/'));
            bound.material = demand.title;
            bound.used = way->used;
            bound.lower_bound = way->lower_bound;
            bound.proven = way->proven;
            bound.yield = way->yield;
            bound.waste = way->waste;
            out_.bounds.push_back(std::move(bound));
        }
    }

    void totals() {
        const PricingTerms& terms = resolved_.pricing.terms;
        const std::vector<CostLine> costs{
            {"goods", allocation_->sum(Category::goods), zero(), {}},
            {"services", allocation_->sum(Category::services), tax_paid_, {}},
            {"delivery", allocation_->sum(Category::delivery), zero(), {}},
            {"labour", allocation_->sum(Category::labour), zero(), {}}};
        build_ = with_place(project_, "/pricing", [&] { return build_up(terms, costs); });
        const Allocation::Settled settled =
            allocation_->settle(build_.contingency, build_.markup, build_.tax);
        out_.totals = settled.totals;
        out_.sale.net = build_.net;
        for (const ChargedTax& tax : build_.taxes)
            out_.sale.taxes.push_back({tax.percent, tax.taxable, tax.tax});
        out_.sale.total = build_.total;
        out_.pricing = resolved_.pricing;
        out_.papers = resolved_.papers;
        out_.deposit = build_.deposit;
        out_.balance = build_.balance;
        for (auto& [id, part] : Allocation::by_module(settled, resolved_.currency)) {
            const contract::Description* module = host_.find_module(id);
            out_.by_module.push_back({id,
                                      module != nullptr ? module->title
                                      : id == "work"    ? "Work of the project"
                                                        : "Whole job",
                                      part});
        }
        std::map<std::string, Totals> pieces = Allocation::by_piece(settled, resolved_.currency);
        for (const Piece& piece : resolved_.pieces) {
            const auto found = pieces.find(piece.id);
            out_.by_piece.push_back(
                {piece.id, piece.title,
                 found == pieces.end() ? no_totals(resolved_.currency) : found->second});
        }
        if (const auto whole = pieces.find(""); whole != pieces.end())
            out_.by_piece.push_back({"", "Whole job", whole->second});
    }

    void quantities() {
        for (const auto* source : {&taken_.quantities, &std::as_const(followed_).quantities}) {
            for (const auto& [module, rows] : *source) {
                for (const contract::QuantityRow& row : rows)
                    out_.quantities.push_back(
                        {module, row.ref, row.title, row.value, row.unit, row.lines});
            }
        }
        std::stable_sort(out_.quantities.begin(), out_.quantities.end(),
                         [](const auto& a, const auto& b) { return a.module < b.module; });
    }

    void dates() {
        for (std::size_t index = 0; index < steps_.size(); ++index) {
            const NetworkStep& step = steps_[index];
            const ScheduledTask& task = schedule_.tasks[index];
            EstimateTask made;
            made.id = step.id;
            made.title = step.title;
            made.pieces = step.pieces;
            for (const std::string& who : step.who)
                made.worker += (made.worker.empty() ? "" : ", ") + who;
            made.minutes = step.minutes;
            made.wait_minutes = step.wait_minutes;
            made.people = step.people;
            made.start = task.start.date;
            made.finish = task.done.date;
            made.latest_finish = task.latest_finish.date;
            made.slack_days = task.slack_days;
            made.critical = task.critical;
            made.waits_for = task.waits_for;
            made.needs = step.needs;
            made.worked_minutes = step.worked_minutes;
            made.done = step.done;
            made.cost = step_cost_[index];
            out_.schedule.tasks.push_back(std::move(made));
        }
        out_.schedule.critical_path = schedule_.critical_path;
        out_.schedule.ready = schedule_.ready;
        out_.latest_arrivals = schedule_.latest_arrivals;
    }

    /// Orders are paid when they must be ordered at the latest, what is bought on the day that is
    /// recorded, others than the maker on their last day of work; the deposit comes in when the job
    /// begins, the balance when it is ready.
    void cash() {
        std::vector<CashNeed> needs;
        for (const Bought& bought : resolved_.bought) {
            const Supplier* supplier = catalog_.supplier(bought.supplier);
            needs.push_back({bought.on.value_or(prepared_.begun),
                             supplier == nullptr ? bought.supplier : supplier->name,
                             bought.amount + bought.tax});
        }
        for (const EstimateOrder& order : out_.orders)
            needs.push_back({order.order_by.value_or(resolved_.start), order.name, order.total});
        for (const EstimateHours& hours : out_.schedule.hours) {
            if (hours.worker == "maker") continue;
            Date last = resolved_.start;
            for (std::size_t i = 0; i < steps_.size(); ++i) {
                const auto& who = steps_[i].who;
                if (std::find(who.begin(), who.end(), hours.worker) != who.end())
                    last = std::max(last, schedule_.tasks[i].finish.date);
            }
            needs.push_back({last, hours.title, hours.amount});
        }
        if (!out_.deposit.is_zero()) {
            needs.push_back({prepared_.begun, "the client's deposit", -out_.deposit});
            needs.push_back({out_.schedule.ready, "the client's balance", -out_.balance});
        }
        std::erase_if(needs, [](const CashNeed& need) { return need.amount.is_zero(); });
        for (const CashRow& row : cash_by_date(std::move(needs)))
            out_.cash.push_back({row.need.date, row.need.what, row.need.amount, row.so_far});
    }

    void add_findings(const std::string& module, const std::vector<contract::Finding>& findings) {
        for (const contract::Finding& finding : findings)
            out_.findings.push_back(
                {finding.severity, finding.code, module, finding.line, finding.text});
    }

    void gather_findings() {
        add_findings("", core_findings_);
        for (const auto* source :
             {&resolved_.findings, &taken_.findings, &std::as_const(followed_).findings}) {
            for (const auto& [module, findings] : *source) add_findings(module, findings);
        }
        add_findings("", bought_.findings);
        add_findings("", schedule_.findings);
        std::set<std::string> named;
        for (const auto* list :
             {&resolved_.absent, &taken_.failed, &std::as_const(followed_).failed}) {
            for (const AbsentModule& absent : *list) {
                if (!named.insert(absent.module + absent.reason).second) continue;
                add_findings("", {{contract::Severity::problem, "module-absent", "",
                                   "Module '" + absent.module + "' " + absent.reason +
                                       "; its lines are not priced."}});
            }
        }
        for (const RefusedModule& refused : host_.refused()) {
            add_findings("", {{contract::Severity::caution, "module-refused", "",
                               refused.file + " " + refused.reason + "."}});
        }
        std::stable_sort(out_.findings.begin(), out_.findings.end(),
                         [](const EstimateFinding& a, const EstimateFinding& b) {
                             return a.severity > b.severity;
                         });
        const auto same = [](const EstimateFinding& a, const EstimateFinding& b) {
            return a.code == b.code && a.line == b.line && a.text == b.text;
        };
        std::vector<EstimateFinding> once;
        for (EstimateFinding& finding : out_.findings) {
            if (std::none_of(once.begin(), once.end(),
                             [&](const EstimateFinding& other) { return same(other, finding); }))
                once.push_back(std::move(finding));
        }
        out_.findings = std::move(once);
    }

    void left_out() {
        for (const EstimateLine& line : out_.lines) {
            if (!line.not_priced.empty())
                out_.not_included.push_back(line.title + " (" + line.id + "): " + line.not_priced);
        }
        for (const Unmet& unmet : bought_.unmet) {
            const contract::Demand& demand =
                *std::find_if(taken_.demands.begin(), taken_.demands.end(),
                              [&](const contract::Demand& d) { return d.id == unmet.demand; });
            out_.not_included.push_back((demand.title.empty() ? demand.id : demand.title) + ": " +
                                        unmet.reason);
        }
        if (!out_.labour_stated)
            out_.not_included.push_back(
                "labour: no rate of work is stated under \"pricing\" or \"people\"");
        if (resolved_.pricing.terms.tax_paid_recoverable &&
            resolved_.pricing.terms.tax_charged_percent.is_zero()) {
            out_.not_included.push_back("tax: what is paid is claimed back, and none is charged");
        }
    }

    const Project& project_;
    PluginHost& host_;
    const Catalog& catalog_;
    const EstimateOptions& options_;
    const Prepared prepared_;
    const Resolved& resolved_ = prepared_.resolved;
    const TakenOff& taken_ = prepared_.taken;
    const std::vector<SupplierTerms>& suppliers_ = prepared_.problem.suppliers;
    const std::vector<OfferTerms>& offers_ = prepared_.problem.offers;
    Procurement bought_;
    std::map<std::string, Used> used_; ///< by id of what is bought already
    Followed followed_;
    std::vector<NetworkStep> steps_;
    Schedule schedule_;
    std::vector<contract::Finding> core_findings_;
    std::optional<Allocation> allocation_;
    std::map<std::string, std::size_t> line_index_;
    std::vector<Money> step_cost_;
    Money tax_paid_;
    PriceBuildUp build_;
    Estimate out_;
};

} // namespace

Estimate estimate(const Project& project, PluginHost& host, const Catalog& catalog,
                  const EstimateOptions& options) {
    return Builder(project, host, catalog, options).run();
}

} // namespace aumbry
