#include "aumbry/job_record.hpp"

#include "line/estimate/members.hpp"
#include "line/recorded/bought.hpp"
#include "values/plain_id.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry {

namespace {

std::string free_id(const Json& section, const std::string& text) {
    const std::string base = plain_id(text);
    std::string id = base;
    for (int n = 2; section.contains(id); ++n) id = base + '_' + std::to_string(n);
    return id;
}

Json& section_of(Json& document, const char* key) {
    if (!document.contains(key)) document[key] = Json::object();
    return document[key];
}

/// One entry to be written, with its share of what is asked.
struct Entry {
    std::string id;
    Json json;
    Money amount;
    const EstimatePurchase* purchase = nullptr; ///< null: a charge
    bool invoiced = true;                       ///< fetching is on no invoice
};

double minutes_of_trip(const Estimate& estimate, const std::string& supplier) {
    for (const EstimateTask& task : estimate.schedule.tasks)
        if (task.id == "fetch/" + supplier) return task.minutes;
    return 0;
}

std::vector<Entry> entries_of(const Estimate& estimate, const EstimateOrder& order,
                              const OrderNews& news, Json taken) {
    std::vector<Entry> entries;
    const auto add = [&](const std::string& name, const std::string& title, const Money& amount,
                         const char* charge) -> Entry& {
        Entry entry;
        entry.id = free_id(taken, name);
        taken[entry.id] = true;
        entry.json = {{"supplier", order.second_of.empty() ? order.supplier : order.second_of}};
        entry.json["title"] = title;
        entry.json["charge"] = charge;
        entry.amount = amount;
        entries.push_back(std::move(entry));
        return entries.back();
    };
    for (const EstimatePurchase& purchase : estimate.purchases) {
        if (purchase.supplier != order.supplier || purchase.owned ||
            purchase.state != Progress::planned)
            continue;
        Entry& entry =
            add(purchase.sku.empty() ? purchase.description : purchase.sku, purchase.description,
                purchase.amount, purchase.service ? "service" : "goods");
        entry.purchase = &purchase;
        if (!purchase.sku.empty()) entry.json["sku"] = purchase.sku;
        if (!purchase.catalog_class.empty()) entry.json["class"] = purchase.catalog_class;
        entry.json["count"] = purchase.count;
        entry.json["for"] = Json::array();
        for (const Bought::Serves& serves : purchase.serves)
            entry.json["for"].push_back({{"demand", serves.demand}, {"content", serves.content}});
        if (news.state == Progress::ordered)
            entry.json["arrives"] = format_date(news.arrives.value_or(purchase.arrives));
    }
    const auto charge = [&](const std::string& name, const std::string& title, const Money& amount,
                            const char* kind, double trip = 0) {
        if (amount.is_zero() && trip <= 0) return;
        Entry& entry = add(order.supplier + '_' + name, title, amount, kind);
        entry.json["count"] = 0;
        entry.invoiced = name != "fetching";
        if (trip > 0) entry.json["trip"] = format_trimmed(trip, 4) + " min";
    };
    charge("cuts", "Cuts by " + order.name, order.cuts, "service");
    if (order.collected)
        charge("fetching", "Fetching from " + order.name, order.delivery, "delivery",
               minutes_of_trip(estimate, order.supplier));
    else
        charge("delivery", "Delivery by " + order.name, order.delivery, "delivery");
    charge("least_order", "Up to the minimum order, " + order.name, order.small_order, "delivery");
    return entries;
}

/// Tax on what is asked: it changes as the amount does, at the rates of the estimate.
Money tax_in_proportion(const Money& tax, const Money& estimated, const Money& asked) {
    if (tax.is_zero() || estimated.is_zero() || asked == estimated) return tax;
    return Money::round((tax.decimal() * asked.decimal()).divided_by(estimated.decimal(), 6),
                        tax.currency());
}

/// The plans by which what is recorded will be cut, in place of older ones of the same demands.
void keep_plans(Json& document, const Estimate& estimate, const std::vector<Entry>& entries) {
    std::set<std::string> kept;
    for (const Entry& entry : entries) {
        if (entry.purchase == nullptr) continue;
        for (const std::string& demand : entry.purchase->demands) {
            const auto plan = estimate.plans_to_keep.find(demand);
            if (plan == estimate.plans_to_keep.end()) continue;
            Json& plans = section_of(document, "as_bought");
            if (kept.insert(demand).second) plans[demand] = plan->second;
            for (Json& use : plans[demand]["way"]["uses"]) {
                const std::string offer = text(use, "offer");
                if (offer.starts_with("owned/bought/")) // planned anew on what was bought before
                    use["offer"] = offer.substr(std::string_view("owned/").size());
                if (offer != entry.purchase->offer ||
                    round_to(number(use, "measure", 0), 6) != round_to(entry.purchase->measure, 6))
                    continue;
                use["offer"] = "bought/" + entry.id;
                use.erase("measure");
            }
        }
    }
}

/// What is in hand has been fetched: the trip is done, in the time that was planned for it.
void record_trips(Json& document, const OrderNews& news) {
    if (news.state == Progress::ordered) return;
    double minutes = 0;
    for (const auto& [id, entry] : document["bought"].items())
        if (entry.is_object() && entry.contains("trip") && text(entry, "supplier") == news.supplier)
            minutes += in_unit(parse_quantity(text(entry, "trip")), "min");
    if (minutes <= 0) return;
    const std::string step = "fetch/" + news.supplier;
    Json& worked = section_of(document, "worked");
    for (const auto& [id, entry] : worked.items())
        if (entry.is_object() && text(entry, "step") == step && entry.value("done", false)) return;
    Json entry = {{"step", step},
                  {"who", "maker"},
                  {"hours", format_trimmed(minutes, 4) + " min"},
                  {"done", true}};
    if (news.on) entry["on"] = format_date(*news.on);
    worked[free_id(worked, news.supplier)] = std::move(entry);
}

/// A later state of what is recorded already, or with `same` what is new of the same state. Returns
/// how many entries changed.
std::size_t advance(Json& bought, const OrderNews& news, const Currency& currency, bool same) {
    std::vector<Json*> changed;
    for (auto& [id, entry] : bought.items()) {
        if (!entry.is_object() || text(entry, "supplier") != news.supplier) continue;
        const std::string state = text(entry, "state");
        const Progress now = state == "cut"        ? Progress::cut
                             : state == "received" ? Progress::received
                                                   : Progress::ordered;
        if (same ? now != news.state : now >= news.state) continue;
        entry["state"] = std::string(word_of(news.state));
        if (news.on) entry["on"] = format_date(*news.on);
        if (news.state != Progress::ordered)
            entry.erase("arrives");
        else if (news.arrives && entry.contains("arrives"))
            entry["arrives"] = format_date(*news.arrives);
        changed.push_back(&entry);
    }
    if (news.amount) {
        std::vector<Json*> invoiced;
        std::vector<Decimal> weights;
        Money before = Money::zero(currency);
        Money tax = Money::zero(currency);
        for (Json* entry : changed) {
            if (text(*entry, "title").starts_with("Fetching from ")) continue;
            const Money amount = Money::parse(text(*entry, "amount", "0"), currency);
            invoiced.push_back(entry);
            weights.push_back(amount.decimal());
            before += amount;
            tax += Money::parse(text(*entry, "tax", "0"), currency);
        }
        if (!invoiced.empty()) {
            const std::vector<Money> amounts = split(*news.amount, weights);
            const std::vector<Money> taxes =
                split(tax_in_proportion(tax, before, *news.amount), weights);
            for (std::size_t i = 0; i < invoiced.size(); ++i) {
                (*invoiced[i])["amount"] = amounts[i].str();
                if (taxes[i].is_zero())
                    invoiced[i]->erase("tax");
                else
                    (*invoiced[i])["tax"] = taxes[i].str();
            }
        }
    }
    return changed.size();
}

} // namespace

Json record_order(const Json& document, const Estimate& estimate, const OrderNews& news) {
    if (news.amount && news.amount->is_negative())
        fail("bad-amount", {}, "the amount " + news.amount->str() + " is negative",
             "write what the supplier asks in all, without tax");
    Json result = document;
    Json& bought = section_of(result, "bought");
    // What is recorded already is what the news is about, not what is still to be ordered.
    if (advance(bought, news, estimate.currency, false) > 0) {
        record_trips(result, news);
        return result;
    }
    const auto order =
        std::find_if(estimate.orders.begin(), estimate.orders.end(),
                     [&](const EstimateOrder& each) { return each.supplier == news.supplier; });
    if (order == estimate.orders.end()) {
        if ((news.arrives || news.amount || news.on) &&
            advance(bought, news, estimate.currency, true) > 0)
            return result;
        std::string known;
        std::vector<std::string> ids;
        for (const EstimateOrder& each : estimate.orders) {
            known += (known.empty() ? "" : ", ") + each.supplier;
            ids.push_back(each.supplier);
        }
        const std::string near = nearest_name(news.supplier, ids);
        fail("nothing-to-record", {}, "nothing is to be ordered from '" + news.supplier + "'",
             !near.empty()   ? "did you mean '" + near + "'?"
             : known.empty() ? "everything is recorded already"
                             : "orders go to " + known);
    }
    std::vector<Entry> entries = entries_of(estimate, *order, news, bought);
    std::vector<Entry*> invoiced;
    for (Entry& entry : entries) {
        if (entry.invoiced) invoiced.push_back(&entry);
    }
    std::vector<Decimal> weights;
    Money estimated = Money::zero(estimate.currency);
    for (const Entry* entry : invoiced) {
        weights.push_back(entry->amount.decimal());
        estimated += entry->amount;
    }
    if (!invoiced.empty()) {
        // What is asked takes the place of what was estimated, in proportion.
        const Money asked = news.amount.value_or(estimated);
        const std::vector<Money> amounts = split(asked, weights);
        const std::vector<Money> taxes =
            split(tax_in_proportion(order->tax, estimated, asked), weights);
        for (std::size_t i = 0; i < invoiced.size(); ++i) {
            invoiced[i]->amount = amounts[i];
            if (!taxes[i].is_zero()) invoiced[i]->json["tax"] = taxes[i].str();
        }
    }
    for (Entry& entry : entries) {
        entry.json["amount"] = entry.amount.str();
        entry.json["state"] = std::string(word_of(news.state));
        if (news.on) entry.json["on"] = format_date(*news.on);
        bought[entry.id] = entry.json;
    }
    keep_plans(result, estimate, entries);
    record_trips(result, news);
    return result;
}

Json record_work(const Json& document, const Estimate& estimate, const WorkNews& news) {
    const auto known = std::find_if(estimate.schedule.tasks.begin(), estimate.schedule.tasks.end(),
                                    [&](const EstimateTask& task) { return task.id == news.step; });
    if (known == estimate.schedule.tasks.end()) {
        std::vector<std::string> ids;
        for (const EstimateTask& task : estimate.schedule.tasks) ids.push_back(task.id);
        const std::string near = nearest_name(news.step, ids);
        fail("unknown-step", {}, "there is no step '" + news.step + "'",
             near.empty() ? "aumbry plan --json lists them" : "did you mean '" + near + "'?");
    }
    Json result = document;
    Json& worked = section_of(result, "worked");
    const std::string id = free_id(worked, news.step.substr(news.step.find('/') + 1));
    Json entry = {{"step", news.step}, {"who", news.who}, {"hours", news.hours}};
    if (news.on) entry["on"] = format_date(*news.on);
    if (news.done) entry["done"] = true;
    FaultList faults("");
    (void)read_fields(worked_fields(), entry, pointer_to("/worked", id), {}, faults);
    faults.throw_if_any();
    worked[id] = std::move(entry);
    return result;
}

} // namespace aumbry
