#include "aumbry/account.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"
#include "aumbry/stock.hpp"

#include <algorithm>

namespace aumbry {

Project as_planned(const Project& project) {
    Project planned = project;
    for (const char* key : {"bought", "as_bought", "worked"}) planned.document.erase(key);
    return planned;
}

Project as_built(const Project& project) {
    Project built = project;
    if (built.document.contains("bought") && built.document["bought"].is_object()) {
        for (auto& [id, entry] : built.document["bought"].items()) {
            if (entry.is_object() && text(entry, "state") == "cut") entry["state"] = "received";
        }
    }
    return built;
}

namespace {

Money labour_of(const Estimate& estimate) {
    Money amount = Money::zero(estimate.currency);
    for (const EstimateHours& hours : estimate.schedule.hours) amount += hours.amount;
    return amount;
}

} // namespace

Account account_of(const Estimate& planned, const Estimate& now, const Estimate& built) {
    Account account;
    account.title = now.title;
    account.currency = now.currency;
    account.length_unit = now.length_unit;
    account.planned = Money::zero(now.currency);
    account.actual = Money::zero(now.currency);
    const auto row = [&](const char* title, const Money& before, const Money& after) {
        account.rows.push_back({title, before, after});
        account.planned += before;
        account.actual += after;
    };
    row("Goods", planned.totals.goods, now.totals.goods);
    row("Services and cuts", planned.totals.services, now.totals.services);
    row("Delivery and fetching", planned.totals.delivery, now.totals.delivery);
    row("Labour", labour_of(planned), labour_of(now));
    for (const EstimateHours& hours : planned.schedule.hours)
        account.hours.push_back({hours.worker, hours.title, hours.hours, 0});
    for (const EstimateHours& hours : now.schedule.hours) {
        const auto found =
            std::find_if(account.hours.begin(), account.hours.end(),
                         [&](const Account::Hours& each) { return each.who == hours.worker; });
        if (found == account.hours.end())
            account.hours.push_back({hours.worker, hours.title, 0, hours.hours});
        else
            found->worked = hours.hours;
    }
    for (const EstimateOrder& order : now.orders)
        account.open.push_back("not bought: the order to " + order.name + ", " +
                               order.total.grouped() + ' ' + now.currency.code);
    for (const EstimatePurchase& purchase : now.purchases) {
        if (purchase.state == Progress::ordered)
            account.open.push_back("not received: " + purchase.description);
    }
    for (const EstimateTask& task : now.schedule.tasks) {
        if (!task.done && task.minutes > 0) account.open.push_back("not done: " + task.title);
    }
    account.left = built.leftovers;
    return account;
}

Json to_json(const Account& account) {
    Json rows = Json::array();
    for (const AccountRow& row : account.rows)
        rows.push_back({{"title", row.title},
                        {"planned", row.planned.str()},
                        {"actual", row.actual.str()},
                        {"difference", (row.actual - row.planned).str()}});
    Json hours = Json::array();
    for (const Account::Hours& each : account.hours)
        hours.push_back(
            {{"title", each.title}, {"planned", each.planned}, {"worked", each.worked}});
    Json left = Json::array();
    for (const EstimateLeftover& each : account.left)
        left.push_back({{"id", each.id},
                        {"class", each.catalog_class},
                        {"title", each.title},
                        {"count", each.count},
                        {"attributes", each.attributes}});
    return {{"title", account.title},
            {"currency", account.currency.code},
            {"rows", rows},
            {"planned", account.planned.str()},
            {"actual", account.actual.str()},
            {"difference", (account.actual - account.planned).str()},
            {"hours", hours},
            {"open", account.open},
            {"left", left}};
}

Json stock_of(const std::vector<EstimateLeftover>& left, const std::string& from,
              const std::vector<contract::Description>& modules) {
    const auto field_of = [&](const std::string& class_name,
                              const std::string& name) -> const contract::Field* {
        for (const contract::Description& module : modules) {
            for (const contract::CatalogClass& each : module.catalog_classes) {
                if (each.name != class_name) continue;
                for (const contract::Field& field : each.attributes) {
                    if (field.name == name) return &field;
                }
            }
        }
        return nullptr;
    };
    Json owned = Json::object();
    for (const EstimateLeftover& each : left) {
        Json item = {{"class", each.catalog_class}, {"title", each.title}};
        if (each.count != 1) item["count"] = each.count;
        for (const auto& [name, value] : each.attributes.items()) {
            const contract::Field* field = field_of(each.catalog_class, name);
            if (field == nullptr) continue;
            if (field->type == contract::FieldType::quantity && value.is_number())
                item[name] = format_trimmed(value.get<double>(), 6) + ' ' + field->unit;
            else
                item[name] = value;
        }
        owned[each.id] = std::move(item);
    }
    return {{"aumbry_stock", stock_version}, {"from", from}, {"owned", owned}};
}

} // namespace aumbry
