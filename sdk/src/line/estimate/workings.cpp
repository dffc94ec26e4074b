#include "line/estimate/workings.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <utility>

namespace aumbry {
namespace {

using contract::Working;

class Writer {
  public:
    explicit Writer(const Estimate& estimate) : estimate_(estimate) {}

    std::map<std::string, Working> take() { return std::move(out_); }

    void add(Working working) { out_[working.ref] = std::move(working); }

    [[nodiscard]] std::string money(const Money& amount) const {
        return amount.str() + ' ' + estimate_.currency.code;
    }

    void purchases() {
        for (const EstimatePurchase& purchase : estimate_.purchases) {
            Working working;
            working.ref = "buy." + purchase.offer;
            working.title = purchase.description;
            const std::string price =
                purchase.listed_price.str() + ' ' + purchase.listed_currency +
                (purchase.price_unit.empty()     ? ""
                 : purchase.price_unit == "each" ? " each"
                                                 : " per " + purchase.price_unit);
            working.formula =
                purchase.measure > 0 ? "price x count x measure of one" : "price x count";
            working.inputs.push_back(
                {"price", price, purchase.owned ? "owned" : purchase.price_row});
            working.inputs.push_back({"count", std::to_string(purchase.count), ""});
            if (purchase.count > purchase.needed)
                working.inputs.push_back({"needed", std::to_string(purchase.needed),
                                          "raised to a least quantity or a cheaper price break"});
            if (purchase.measure > 0)
                working.inputs.push_back(
                    {"measure", format_trimmed(purchase.measure, 6) + ' ' + purchase.price_unit,
                     ""});
            for (const std::string& wanted : purchase.wanted)
                working.inputs.push_back({"wanted", wanted, ""});
            for (const std::string& demand : purchase.demands) {
                working.inputs.push_back({"demand", demand, "demand." + demand});
                add_worked_out(demand, purchase.supplier, working);
            }
            for (const LineShare& share : purchase.lines)
                working.inputs.push_back(
                    {"serves " + share.line, money(share.amount), "line." + share.line});
            working.result = money(purchase.amount);
            working.source = "without tax; one price row of a supplier, or what is owned";
            add(std::move(working));
        }
    }

    void orders() {
        for (const EstimateOrder& order : estimate_.orders) {
            Working working;
            const std::string& of = order.second_of.empty() ? order.supplier : order.second_of;
            working.ref = "order." + order.supplier;
            working.title = "order to " + order.name;
            working.formula = "goods + services + cuts + delivery + small order + tax";
            for (const EstimatePurchase& purchase : estimate_.purchases) {
                if (purchase.supplier == order.supplier && purchase.state == Progress::planned)
                    working.inputs.push_back(
                        {purchase.description, money(purchase.amount), "buy." + purchase.offer});
            }
            working.inputs.push_back({"cuts (" + std::to_string(order.cut_count) + ')',
                                      money(order.cuts),
                                      "suppliers/" + of + "/supplier.json, cutting"});
            working.inputs.push_back({order.collected ? "collecting" : "delivery",
                                      money(order.delivery),
                                      "suppliers/" + of + "/supplier.json, delivery"});
            working.inputs.push_back({"small order", money(order.small_order),
                                      "suppliers/" + of + "/supplier.json, minimum_order"});
            working.inputs.push_back(
                {"tax", money(order.tax), "per rate and order, EN 16931 BR-CO-17"});
            working.result = money(order.total);
            add(std::move(working));
        }
    }

    void lines() {
        for (const EstimateLine& line : estimate_.lines) {
            Working working;
            working.ref = "line." + line.id;
            working.title = line.title;
            working.formula = "its shares of purchases, dealer cuts and delivery";
            Money of_purchases = Money::zero(estimate_.currency);
            for (const EstimatePurchase& purchase : estimate_.purchases) {
                for (const LineShare& share : purchase.lines) {
                    if (share.line != line.id) continue;
                    working.inputs.push_back(
                        {purchase.description, money(share.amount), "buy." + purchase.offer});
                    of_purchases += share.amount;
                }
            }
            const Money rest = line.cost - of_purchases;
            if (!rest.is_zero())
                working.inputs.push_back(
                    {"cuts and delivery", money(rest), "orders, by amount of the purchases"});
            for (const auto& [name, value] : line.derived.items()) {
                working.inputs.push_back({name + " of one", format_trimmed(value.get<double>(), 6),
                                          line.id + '.' + name});
            }
            working.result =
                line.not_priced.empty() ? money(line.cost) : "not priced: " + line.not_priced;
            working.source =
                "purchases are split by the share of each line, cents by largest remainder";
            add(std::move(working));
        }
    }

    void part(const Part& part, const std::string& ref) {
        Working working;
        working.ref = ref;
        working.title = part.title;
        working.formula = "goods + services + delivery + labour + contingency + markup + tax";
        const Totals& totals = part.totals;
        for (const auto& [name, amount] :
             {std::pair{"goods", totals.goods}, std::pair{"services", totals.services},
              std::pair{"delivery", totals.delivery}, std::pair{"labour", totals.labour},
              std::pair{"contingency", totals.contingency}, std::pair{"markup", totals.markup},
              std::pair{"tax", totals.tax}}) {
            if (!amount.is_zero())
                working.inputs.push_back({name, money(amount), std::string("totals.") + name});
        }
        if (ref.starts_with("piece.")) {
            for (const EstimateLine& line : estimate_.lines) {
                if (line.piece == part.id && !line.cost.is_zero())
                    working.inputs.push_back({line.title, money(line.cost), "line." + line.id});
            }
        }
        working.result = money(totals.total);
        working.source = "shared costs are split by the share of each line; contingency, markup "
                         "and tax in proportion to cost";
        add(std::move(working));
    }

    void tasks() {
        for (const EstimateTask& task : estimate_.schedule.tasks) {
            Working working;
            working.ref = "task." + task.id;
            working.title = task.title;
            working.formula = "hours x rate of each person";
            working.inputs.push_back({"time", format_trimmed(task.minutes, 2) + " min", ""});
            if (task.wait_minutes > 0)
                working.inputs.push_back(
                    {"then waits", format_trimmed(task.wait_minutes / 60, 2) + " h", ""});
            working.inputs.push_back({"who", task.worker, ""});
            working.inputs.push_back({"people", std::to_string(task.people), ""});
            working.inputs.push_back(
                {"starts", format_date(task.start), "after " + task.waits_for});
            working.inputs.push_back(
                {"done", format_date(task.finish),
                 task.critical ? "critical" : "slack " + slack_in_words(task)});
            working.result = money(task.cost);
            add(std::move(working));
        }
    }

    void totals(const PriceBuildUp& build) {
        const Totals& totals = estimate_.totals;
        sum_of_orders(
            "totals.goods", "goods", totals.goods,
            [](const EstimateOrder& order) { return order.goods; }, true);
        sum_of_orders(
            "totals.services", "services and cuts", totals.services,
            [](const EstimateOrder& order) { return order.services + order.cuts; }, false);
        sum_of_orders(
            "totals.delivery", "delivery", totals.delivery,
            [](const EstimateOrder& order) { return order.delivery + order.small_order; }, false);

        Working labour{
            "totals.labour",       "labour",
            "sum of hours x rate", {},
            money(totals.labour),  "people and tasks of the project, steps of the modules"};
        for (const EstimateHours& hours : estimate_.schedule.hours) {
            labour.inputs.push_back({hours.title, money(hours.amount),
                                     format_trimmed(hours.charged, 2) + " h at " +
                                         hours.rate.str() + ' ' + estimate_.currency.code});
        }
        for (const EstimateTask& task : estimate_.schedule.tasks) {
            if (!task.cost.is_zero())
                labour.inputs.push_back({task.title, money(task.cost), "task." + task.id});
        }
        add(std::move(labour));

        const auto step = [&](const char* ref, const char* title, const Money& amount,
                              const char* prefix) {
            Working working{ref, title, "", {}, money(amount), "project, /pricing"};
            for (const PriceStep& price_step : build.steps) {
                if (!price_step.name.starts_with(prefix)) continue;
                working.formula += (working.formula.empty() ? "" : " + ") + price_step.formula;
                working.inputs.push_back(
                    {price_step.name, money(price_step.amount), price_step.formula});
            }
            add(std::move(working));
        };
        step("totals.contingency", "contingency", totals.contingency, "contingency");
        step("totals.markup", "markup", totals.markup, "mar");
        step("totals.tax", "tax", totals.tax, "tax");

        Working total{"total",
                      "total",
                      "goods + services + delivery + labour + contingency + markup + tax",
                      {},
                      money(totals.total),
                      ""};
        for (const auto& [name, amount] :
             {std::pair{"goods", totals.goods}, std::pair{"services", totals.services},
              std::pair{"delivery", totals.delivery}, std::pair{"labour", totals.labour},
              std::pair{"contingency", totals.contingency}, std::pair{"markup", totals.markup},
              std::pair{"tax", totals.tax}}) {
            total.inputs.push_back({name, money(amount), std::string("totals.") + name});
        }
        add(total);
        total.ref = "totals.total";
        add(std::move(total));
    }

    void demands() {
        for (const EstimateNextBest& next : estimate_.next_best) {
            Working& working = demand(next.demand);
            std::string suppliers;
            for (const std::string& supplier : next.suppliers)
                suppliers += (suppliers.empty() ? "" : " and ") + supplier;
            working.inputs.push_back({"next best",
                                      next.what + (suppliers.empty() ? "" : " from " + suppliers) +
                                          ", in hand " + format_date(next.arrives),
                                      "the job would cost " + money(next.more) + " more"});
        }
        for (const EstimateBound& bound : estimate_.bounds) {
            if (bound.used == 0) continue; // wood by volume has no plan to be proven
            Working& working = demand(bound.demand);
            working.inputs.push_back({"used", std::to_string(bound.used), ""});
            working.inputs.push_back({"at least", std::to_string(bound.lower_bound),
                                      bound.proven ? "proven: cannot be beaten"
                                                   : "not proven: a better plan may exist"});
            working.inputs.push_back({"yield", format_trimmed(bound.yield * 100, 1) + " %", ""});
        }
        for (const EstimatePurchase& purchase : estimate_.purchases) {
            for (const std::string& id : purchase.demands) {
                Working& working = demand(id);
                working.inputs.push_back(
                    {purchase.description,
                     std::to_string(purchase.count) + " x, " + money(purchase.amount),
                     "buy." + purchase.offer});
            }
        }
    }

  private:
    /// How a module came to what is bought of a supplier: its working called after the demand and,
    /// at the end, the supplier.
    void add_worked_out(const std::string& demand, const std::string& supplier,
                        Working& working) const {
        const std::string prefix = demand.substr(demand.find('/') + 1) + '.';
        for (auto at = out_.lower_bound(prefix); at != out_.end() && at->first.starts_with(prefix);
             ++at) {
            if (!supplier.empty() && at->first.ends_with('_' + supplier))
                working.inputs.push_back({"worked out", at->second.result, at->first});
        }
    }

    Working& demand(const std::string& id) {
        Working& working = out_["demand." + id];
        if (working.ref.empty()) {
            working.ref = "demand." + id;
            working.title = id;
            working.formula = "least delivered cost over all demands together";
            working.result =
                estimate_.purchase_proven               ? "proven cheapest"
                : estimate_.purchase_not_bounded.empty()
                    ? "best found; no way costs less than " + money(estimate_.purchase_bound)
                    : "best found; " + estimate_.purchase_not_bounded;
        }
        return working;
    }

    template <class Take>
    void sum_of_orders(const char* ref, const char* title, const Money& total, const Take& take,
                       bool with_owned) {
        Working working{ref, title, "sum over orders", {}, money(total), "without tax"};
        for (const EstimateOrder& order : estimate_.orders) {
            if (!take(order).is_zero())
                working.inputs.push_back(
                    {order.name, money(take(order)), "order." + order.supplier});
        }
        if (with_owned) {
            for (const EstimatePurchase& purchase : estimate_.purchases) {
                if (purchase.owned && !purchase.amount.is_zero())
                    working.inputs.push_back(
                        {purchase.description, money(purchase.amount), "buy." + purchase.offer});
            }
        }
        add(std::move(working));
    }

    const Estimate& estimate_;
    std::map<std::string, Working> out_;
};

} // namespace

std::map<std::string, Working> workings_of(const Estimate& estimate, const Resolved& resolved,
                                           const PriceBuildUp& build,
                                           const std::vector<Working>& taken_off,
                                           const std::vector<Working>& followed) {
    Writer writer(estimate);
    for (const auto* list : {&resolved.workings, &taken_off, &followed}) {
        for (const Working& working : *list) writer.add(working);
    }
    writer.purchases();
    writer.orders();
    writer.lines();
    writer.tasks();
    for (const Part& piece : estimate.by_piece)
        writer.part(piece, "piece." + (piece.id.empty() ? "whole_job" : piece.id));
    for (const Part& module : estimate.by_module)
        writer.part(module, "module." + (module.id.empty() ? "whole_job" : module.id));
    writer.totals(build);
    writer.demands();
    return writer.take();
}

} // namespace aumbry
