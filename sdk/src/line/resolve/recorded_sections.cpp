// What the maker has: bought, planned as bought, worked, owned.
#include "line/resolve/sections.hpp"

#include "modules/plan_check.hpp"
#include "values/excerpt.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>
#include <utility>

namespace aumbry::resolving {

using contract::Field;

namespace {

std::optional<Date> date_of(const Json& values, const char* key) {
    return values.contains(key) ? std::optional(parse_date(text(values, key))) : std::nullopt;
}

bool is_bought(std::span<const Bought> bought, const std::string& id) {
    return std::any_of(bought.begin(), bought.end(),
                       [&](const Bought& each) { return each.id == id; });
}

} // namespace

std::vector<Bought> read_bought(const Reading& reading) {
    std::vector<Bought> all;
    const Json* bought = reading.section("bought");
    if (bought == nullptr) return all;
    const auto& states = find_field(bought_fields(), "state")->choices;
    for (const auto& [id, item] : bought->items()) {
        if (id.starts_with("x-")) continue;
        const std::string pointer = pointer_to("/bought", id);
        const std::size_t before = reading.faults.size();
        const Json values =
            read_fields(bought_fields(), item, pointer, reading.names, reading.faults);
        if (reading.faults.size() != before) continue;
        Bought read;
        read.id = id;
        read.supplier = text(values, "supplier");
        read.sku = text(values, "sku");
        read.title = text(values, "title");
        read.catalog_class = text(values, "class");
        read.count = static_cast<std::int64_t>(number(values, "count", 1));
        read.amount = reading.money(values, "amount", pointer);
        read.tax = reading.money(values, "tax", pointer);
        read.charge = text(values, "charge", "goods");
        const auto state = std::find(states.begin(), states.end(), text(values, "state"));
        read.state = static_cast<Progress>(1 + (state - states.begin()));
        read.on = date_of(values, "on");
        read.arrives = date_of(values, "arrives");
        read.trip_minutes = number(values, "trip", 0);
        for (const Json& serves : values.value("for", Json::array()))
            read.serves.push_back({text(serves, "demand"), number(serves, "content", 0)});
        all.push_back(std::move(read));
    }
    return all;
}

std::vector<BoughtPlan> read_as_bought(const Reading& reading, std::span<const Bought> bought) {
    std::vector<BoughtPlan> all;
    const Json* plans = reading.section("as_bought");
    if (plans == nullptr) return all;
    for (const auto& [demand, entry] : plans->items()) {
        const std::string pointer = pointer_to("/as_bought", demand);
        try {
            BoughtPlan plan = read_bought_plan(entry);
            // Lines may be gone since; then the plan no longer fits, which is told elsewhere.
            check_plans(plan.way.plans, {}, [&](const PlanFault& fault) {
                reading.faults.add("bad-plan", pointer + "/way/plans" + fault.pointer,
                                   "the plan cannot be cut by: " + fault.wrong,
                                   "correct it, or take the plan out of \"as_bought\"");
            });
            plan.demand = demand;
            for (const contract::Use& use : plan.way.uses) {
                if (!use.offer.starts_with("bought/")) continue;
                const std::string id = use.offer.substr(7);
                if (!is_bought(bought, id))
                    reading.faults.add("unknown-purchase", pointer,
                                       "nothing called " + in_quotes(id) + " is bought",
                                       "take the plan out, or write the purchase under \"bought\"");
            }
            all.push_back(std::move(plan));
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults())
                reading.faults.add_at(fault, pointer + fault.place.pointer);
        }
    }
    return all;
}

std::vector<Worked> read_worked(const Reading& reading, std::span<const Person> people) {
    std::vector<Worked> all;
    const Json* worked = reading.section("worked");
    if (worked == nullptr) return all;
    for (const auto& [id, entry] : worked->items()) {
        if (id.starts_with("x-")) continue;
        const std::string pointer = pointer_to("/worked", id);
        const std::size_t before = reading.faults.size();
        const Json values =
            read_fields(worked_fields(), entry, pointer, reading.names, reading.faults);
        if (reading.faults.size() != before) continue;
        Worked read;
        read.step = text(values, "step");
        read.who = text(values, "who", "maker");
        read.minutes = number(values, "hours", 0);
        read.on = date_of(values, "on");
        read.done = flag(values, "done", false);
        if (std::none_of(people.begin(), people.end(),
                         [&](const Person& person) { return person.id == read.who; }))
            reading.faults.add("unknown-person", pointer + "/who",
                               "there is nobody called " + in_quotes(read.who),
                               "add them under \"people\"");
        all.push_back(std::move(read));
    }
    return all;
}

std::vector<OwnedItem> read_owned(const Reading& reading, const KnownModules& modules) {
    std::vector<OwnedItem> all;
    const Json* owned = reading.section("owned");
    if (owned == nullptr) return all;
    for (const auto& [id, item] : owned->items()) {
        if (id.starts_with("x-")) continue;
        const std::string pointer = pointer_to("/owned", id);
        const std::string name = item.is_object() ? text(item, "class") : std::string();
        if (name.empty()) {
            reading.faults.add("missing-key", pointer,
                               "the owned item " + in_quotes(id) + " has no class",
                               modules.missing_class_advice());
            continue;
        }
        const contract::CatalogClass* found = modules.find_class(name);
        if (found == nullptr) continue; // of a module that is not loaded: nothing can use it
        std::vector<Field> fields(common_owned_fields().begin(), common_owned_fields().end());
        fields.insert(fields.end(), found->attributes.begin(), found->attributes.end());
        Json values = read_fields(fields, item, pointer, reading.names, reading.faults);
        OwnedItem read;
        read.id = id;
        read.title = text(values, "title", id);
        read.catalog_class = name;
        read.count = static_cast<std::int64_t>(number(values, "count", 1));
        read.value = reading.money(values, "value", pointer);
        for (const Field& field : common_owned_fields()) values.erase(field.name);
        read.attributes = std::move(values);
        all.push_back(std::move(read));
    }
    return all;
}

} // namespace aumbry::resolving
