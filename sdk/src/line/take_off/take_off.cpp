#include "aumbry/take_off.hpp"

#include "line/recorded/bought.hpp"
#include "line/take_off/module_steps.hpp"
#include "line/take_off/nearest_offer.hpp"
#include "line/take_off/offer_cost.hpp"
#include "modules/line_by_line.hpp"
#include "modules/names_check.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <set>

namespace aumbry {

namespace {

/// The values at a path: "material" (the role), "material.species", "fields.model",
/// "fields.coats.product" (any record's).
void collect_values(const Json& at, std::string_view path, std::vector<Json>& values) {
    if (at.is_array()) {
        for (const Json& item : at) collect_values(item, path, values);
        return;
    }
    if (path.empty()) {
        if (at.is_string() || at.is_number() || at.is_boolean()) {
            if (std::find(values.begin(), values.end(), at) == values.end()) values.push_back(at);
        }
        return;
    }
    if (!at.is_object()) return;
    const auto point = path.find('.');
    const auto found = at.find(std::string(path.substr(0, point)));
    if (found != at.end())
        collect_values(
            *found, point == std::string_view::npos ? std::string_view{} : path.substr(point + 1),
            values);
}

std::vector<Json> values_at(const contract::Line& line, std::string_view path) {
    std::vector<Json> values;
    if (path == "material") {
        if (line.material) values.emplace_back(line.material->id);
    } else if (path.starts_with("material.")) {
        if (line.material) collect_values(line.material->attributes, path.substr(9), values);
    } else if (path.starts_with("fields.")) {
        collect_values(line.fields, path.substr(7), values);
    } else if (path.starts_with("derived.")) {
        collect_values(line.derived, path.substr(8), values);
    }
    return values;
}

/// Whether an owned item has what is wanted, by the same rule as the catalog's: texts exactly,
/// numbers to six decimals.
bool matches(const Json& attributes, const std::vector<AttributeMatch>& wanted) {
    const auto equal = [](const Json& a, const Json& b) {
        if (a.is_number() && b.is_number())
            return round_to(a.get<double>(), 6) == round_to(b.get<double>(), 6);
        return a == b;
    };
    return std::all_of(wanted.begin(), wanted.end(), [&](const AttributeMatch& match) {
        const auto found = attributes.find(match.first);
        if (found == attributes.end()) return false;
        return std::any_of(match.second.begin(), match.second.end(), [&](const Json& value) {
            if (!found->is_array()) return equal(*found, value);
            return std::any_of(found->begin(), found->end(),
                               [&](const Json& item) { return equal(item, value); });
        });
    });
}

/// One call of take_off: the lines that are taken off together.
struct Group {
    const contract::Description* module = nullptr;
    const contract::LineKind* kind = nullptr;
    std::string key;  ///< for equality
    std::string name; ///< for people
    std::vector<contract::Line> lines;
};

std::vector<Group> group_lines(const Resolved& project, const PluginHost& host) {
    std::vector<Group> groups;
    for (const ResolvedLine& resolved : project.lines) {
        if (!resolved.not_priced.empty()) continue;
        const contract::Description* module = host.find_module(resolved.module);
        const contract::LineKind* kind = host.find_kind(resolved.line.kind);
        std::string key;
        std::string name;
        for (const std::string& path : kind->group_by) {
            const Json values = values_at(resolved.line, path);
            key += values.dump() + '\n';
            for (const Json& value : values)
                name += (name.empty() ? "" : ", ") +
                        (value.is_string() ? value.get<std::string>() : value.dump());
        }
        const auto same = std::find_if(groups.begin(), groups.end(), [&](const Group& group) {
            return group.kind == kind && group.key == key;
        });
        if (same != groups.end())
            same->lines.push_back(resolved.line);
        else
            groups.push_back({module, kind, key, name, {resolved.line}});
    }
    // By module, so that findings and demands of one module stand together whatever the order of
    // lines.
    std::stable_sort(groups.begin(), groups.end(),
                     [](const Group& a, const Group& b) { return a.module->id < b.module->id; });
    return groups;
}

/// Turns a stated price into an offer: one count of it is the whole amount, so that no rounding to
/// counts comes in.
void offer_stated_price(contract::Demand& demand, std::vector<StatedOffer>& stated) {
    if (!demand.amount || !demand.amount->stated) return;
    StatedOffer offer{"stated/" + demand.id, demand.title.empty() ? demand.id : demand.title,
                      demand.amount->unit, *demand.amount->stated};
    demand.amount->offers = {{offer.id, demand.amount->quantity, demand.amount->quantity, 0}};
    stated.push_back(std::move(offer));
}

class Gatherer {
  public:
    Gatherer(const Resolved& project, const Catalog& catalog, TakenOff& out)
        : project_(project), catalog_(catalog), out_(out) {
        for (const auto& [supplier, by] : project.suppliers.carriage) say_if_unknown(supplier);
    }

    /// The offers and owned items that match any line of a group, by id.
    std::vector<contract::Offer> offers_for(const Group& group) {
        nearest_.clear();
        std::map<std::string, contract::Offer> offers;
        std::set<std::string> asked;
        for (const contract::Line& line : group.lines) {
            for (const contract::OfferQuery& query : group.kind->offers) {
                std::vector<AttributeMatch> wanted;
                std::string key = query.catalog_class;
                for (const contract::Match& match : query.match) {
                    std::vector<Json> values = values_at(line, match.value);
                    if (values.empty()) continue;
                    key += '\n' + match.attribute + Json(values).dump();
                    wanted.emplace_back(match.attribute, std::move(values));
                }
                if (asked.insert(key).second)
                    gather(*group.module, query.catalog_class, wanted, offers);
            }
        }
        std::vector<contract::Offer> list;
        list.reserve(offers.size());
        for (auto& [id, offer] : offers) list.push_back(std::move(offer));
        return list;
    }

    /// Of the group that was asked for last: a sentence, or empty.
    [[nodiscard]] const std::string& nearest() const { return nearest_; }

    std::vector<contract::CuttingService>
    cutting_of(const std::vector<contract::Offer>& offers) const {
        std::vector<contract::CuttingService> services;
        for (const Supplier& supplier : catalog_.suppliers()) {
            if (!supplier.cutting.offered) continue;
            const bool used =
                std::any_of(offers.begin(), offers.end(), [&](const contract::Offer& offer) {
                    return offer.supplier == supplier.id;
                });
            if (!used) continue;
            services.push_back(supplier.cutting);
            services.back().cost_per_cut =
                cost_of_price(project_, supplier, supplier.cutting.price_per_cut);
        }
        return services;
    }

  private:
    void gather(const contract::Description& module, const std::string& catalog_class,
                const std::vector<AttributeMatch>& wanted,
                std::map<std::string, contract::Offer>& offers) {
        const std::size_t before = offers.size();
        const std::vector<const PriceRow*> listed = catalog_.match(catalog_class, wanted);
        DatedOffers dated = catalog_.offers_on(project_.priced_on, listed);
        const auto excluded = [&](std::string_view supplier) {
            const auto& list = project_.suppliers.exclude;
            return std::find(list.begin(), list.end(), supplier) != list.end();
        };
        for (DatedOffer& dated_offer : dated.valid) {
            if (excluded(dated_offer.offer.supplier)) continue;
            dated_offer.offer.carriage = carriage_of(dated_offer.offer.supplier);
            if (const Supplier* supplier = catalog_.supplier(dated_offer.offer.supplier))
                dated_offer.offer.cost =
                    cost_of_price(project_, *supplier, dated_offer.offer.price);
            offers.emplace(dated_offer.offer.id, dated_offer.offer);
            out_.offers.emplace(dated_offer.offer.id, std::move(dated_offer));
        }
        for (const PriceRow* row : dated.outdated) {
            if (excluded(row->supplier) || !outdated_.insert(row->offer_id()).second) continue;
            const bool ended = row->valid_to && *row->valid_to < project_.priced_on;
            out_.findings[""].push_back(
                {contract::Severity::caution, "price-outdated", "",
                 "The price of " + row->offer_id() + " (" + std::string(row->description) + ") " +
                     (ended ? "ended on " + format_date(*row->valid_to)
                            : "begins on " + format_date(*row->valid_from)) +
                     " and is left out; ask for a price valid on " +
                     format_date(project_.priced_on) + "."});
        }
        for (const OwnedItem& item : project_.owned) {
            if (item.catalog_class != catalog_class || !matches(item.attributes, wanted)) continue;
            contract::Offer offer;
            offer.id = "owned/" + item.id;
            offer.catalog_class = item.catalog_class;
            offer.description = item.title;
            offer.attributes = item.attributes;
            if (!item.value.is_zero()) offer.price = item.value.str();
            offer.cost = item.value.decimal().to_double();
            offer.price_unit = "pack";
            offer.limit = item.count;
            offer.owned = true;
            offers.emplace(offer.id, std::move(offer));
        }
        if (!listed.empty() || offers.size() > before) return;
        for (contract::Finding& finding : misspelt_names(catalog_, catalog_class, wanted)) {
            if (suggested_.insert(finding.text).second)
                out_.findings[""].push_back(std::move(finding));
        }
        if (nearest_.empty())
            nearest_ = nearest_offer(
                catalog_, catalog_class, wanted, project_.priced_on,
                [&](std::string_view supplier) {
                    return !excluded(supplier) && has_rate(supplier);
                },
                module.catalog_classes);
    }

    void say_if_unknown(const std::string& id) {
        std::vector<std::string> known;
        for (const Supplier& supplier : catalog_.suppliers()) known.push_back(supplier.id);
        if (std::find(known.begin(), known.end(), id) != known.end()) return;
        const std::string near = nearest_name(id, known);
        out_.findings[""].push_back({contract::Severity::caution, "unknown-supplier", "",
                                     "\"carriage\" under \"suppliers\" names '" + id +
                                         "', which no catalog has" +
                                         (near.empty() ? "." : "; did you mean '" + near + "'?")});
    }

    /// Whether the supplier's prices can be turned into the project's currency.
    [[nodiscard]] bool has_rate(std::string_view id) const {
        const Supplier* supplier = catalog_.supplier(id);
        if (supplier == nullptr || supplier->currency == project_.currency) return true;
        const auto& rates = project_.suppliers.rates;
        return std::any_of(rates.begin(), rates.end(), [&](const ExchangeRate& rate) {
            return rate.currency == supplier->currency.code;
        });
    }

    /// The only way in which a supplier's goods come: the project's word, else his terms.
    [[nodiscard]] std::optional<contract::Carriage> carriage_of(const std::string& id) const {
        const auto& wishes = project_.suppliers.carriage;
        if (const auto wish = wishes.find(id); wish != wishes.end()) return wish->second;
        const Supplier* supplier = catalog_.supplier(id);
        if (supplier == nullptr) return std::nullopt;
        if (!supplier->delivery.collect) return contract::Carriage::delivered;
        if (!supplier->delivery.delivers()) return contract::Carriage::vehicle;
        return std::nullopt;
    }

    const Resolved& project_;
    const Catalog& catalog_;
    TakenOff& out_;
    std::set<std::string> outdated_;
    std::set<std::string> suggested_;
    std::string nearest_; ///< of the group at hand: what is offered nearest to what nobody offers
};

/// A group with what its module answered.
struct Asked {
    Group group;
    std::shared_ptr<const contract::TakeOffRequest> request;
    Answered<contract::TakeOffReply> answered;
    std::string nearest = {}; ///< what is offered nearest to what nobody offers
};

/// Leaves out the lines of a group that are not left out already.
void leave_out_rest(Asked& asked, const std::string& reason) {
    std::set<std::string> out;
    for (const LineLeftOut& each : asked.answered.left_out) out.insert(each.line);
    for (const contract::Line& line : asked.group.lines) {
        if (!out.contains(line.id)) asked.answered.left_out.push_back({line.id, reason, false});
    }
}

/// Adds what a module answered to its groups: those that stand beside each other.
void collect(const std::string& module, std::vector<Asked>& asked, TakenOff& out) {
    if (asked.empty()) return;
    std::vector<GroupReply> replies;
    std::vector<Asked*> answering;
    for (Asked& each : asked) {
        if (each.answered.reply == nullptr) continue;
        replies.push_back({each.answered.reply.get(), {}});
        answering.push_back(&each);
    }
    out.names[module] = check_groups(replies);
    for (std::size_t i = 0; i < replies.size(); ++i) {
        const contract::TakeOffReply& reply = *replies[i].reply;
        std::string& refused = replies[i].refused;
        try {
            if (refused.empty()) add_steps(out.steps, module, reply.steps);
        } catch (const ModuleError& error) {
            refused = error.reason();
        }
        if (!refused.empty()) {
            leave_out_rest(*answering[i], refused);
            continue;
        }
        for (contract::Demand demand : reply.demands) {
            demand.id = module + '/' + demand.id;
            if (!demand.order_after.empty()) demand.order_after = module + '/' + demand.order_after;
            offer_stated_price(demand, out.stated);
            if (!demand.ways.empty())
                out.asked.push_back({demand.id, module, answering[i]->request});
            out.demands.push_back(std::move(demand));
        }
        auto& quantities = out.quantities[module];
        quantities.insert(quantities.end(), reply.quantities.begin(), reply.quantities.end());
        for (contract::Finding finding : reply.findings) {
            const bool not_offered = finding.severity == contract::Severity::problem &&
                                     finding.code.ends_with("-not-offered");
            if (not_offered && !answering[i]->nearest.empty())
                finding.text += ' ' + answering[i]->nearest;
            out.findings[module].push_back(std::move(finding));
        }
        out.workings.insert(out.workings.end(), reply.workings.begin(), reply.workings.end());
    }
    std::vector<LineLeftOut> left_out;
    for (const Asked& each : asked)
        left_out.insert(left_out.end(), each.answered.left_out.begin(),
                        each.answered.left_out.end());
    for (const LineLeftOut& each : left_out)
        out.not_priced[each.line] = "module '" + module + "' " + each.reason;
    for (AbsentModule& absent : absences(module, left_out)) out.failed.push_back(std::move(absent));
}

/// Asks every module once.
TakenOff ask_modules(const Resolved& project, PluginHost& host, const Catalog& catalog,
                     const std::string& effort) {
    TakenOff out;
    out.owned = project.owned;
    Gatherer gatherer(project, catalog, out);
    std::vector<Asked> asked; // of the module under way
    std::string module;
    for (Group& group : group_lines(project, host)) {
        if (group.module->id != module) {
            collect(module, asked, out);
            asked.clear();
            module = group.module->id;
        }
        contract::TakeOffRequest request;
        request.kind = group.kind->kind;
        request.group = group.name;
        request.offers = gatherer.offers_for(group);
        request.cutting = gatherer.cutting_of(request.offers);
        request.settings = settings_for(project, module, effort);
        request.tables = tables_for(*group.module, catalog.tables());
        auto answered =
            take_off_line_by_line(group.lines, [&](const std::vector<contract::Line>& lines) {
                request.lines = lines;
                return host.take_off(module, request);
            });
        asked.push_back({std::move(group),
                         std::make_shared<const contract::TakeOffRequest>(std::move(request)),
                         std::move(answered), gatherer.nearest()});
    }
    collect(module, asked, out);
    return out;
}

} // namespace

TakenOff take_off(const Resolved& project, PluginHost& host, const Catalog& catalog,
                  const std::string& effort) {
    TakenOff taken = ask_modules(project, host, catalog, effort);
    if (project.bought.empty()) return taken;
    std::vector<contract::Finding> findings;
    Loose loose = keep_bought(project, taken.demands, findings);
    const std::vector<OwnedItem> whole = bought_as_owned(project, catalog, loose);
    if (!whole.empty()) {
        loose.counts.clear();
        for (const OwnedItem& item : whole) loose.counts[item.id.substr(7)] = item.count;
        Resolved handed_over = project;
        handed_over.owned.insert(handed_over.owned.end(), whole.begin(), whole.end());
        taken = ask_modules(handed_over, host, catalog, effort);
        // What nothing asked for may be asked for now.
        std::erase_if(findings, [](const contract::Finding& finding) {
            return finding.code == "bought-for-nothing";
        });
        (void)keep_bought(project, taken.demands, findings, loose);
    }
    taken.of_bought = std::move(findings);
    return taken;
}

} // namespace aumbry
