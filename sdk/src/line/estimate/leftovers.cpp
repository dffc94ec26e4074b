#include "line/estimate/leftovers.hpp"

#include "line/recorded/bought.hpp"
#include "values/plain_id.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <set>

namespace aumbry {

namespace {

/// What an offer is: class, title, attributes.
struct Thing {
    std::string catalog_class;
    std::string title;
    Json attributes = Json::object();
};

class Finder {
  public:
    Finder(const Resolved& project, const TakenOff& taken, const Provenance& from)
        : project_(project), taken_(taken), from_(from) {}

    [[nodiscard]] std::optional<Thing> thing(const std::string& offer) const {
        if (const auto dated = taken_.offers.find(offer); dated != taken_.offers.end()) {
            const contract::Offer& of = dated->second.offer;
            return Thing{of.catalog_class, of.description, of.attributes};
        }
        for (const OwnedItem& item : taken_.owned) {
            if (offer == "owned/" + item.id)
                return Thing{item.catalog_class, item.title, item.attributes};
        }
        if (const Bought* bought = bought_before(project_, offer)) {
            const auto listed = from_.bought_attributes.find(bought->id);
            if (listed == from_.bought_attributes.end()) return std::nullopt;
            return Thing{bought->catalog_class, bought->title, listed->second};
        }
        return std::nullopt;
    }

    /// The attribute that says what one of a thing holds in an amount's unit, or null.
    [[nodiscard]] const contract::Field* content_field(const Thing& thing, double content,
                                                       const std::string& unit) const {
        const contract::CatalogClass* of = from_.catalog_class(thing.catalog_class);
        if (of == nullptr) return nullptr;
        for (const contract::Field& field : of->attributes) {
            if (field.type != contract::FieldType::quantity) continue;
            if (!thing.attributes.contains(field.name)) continue;
            try {
                const Quantity held =
                    from_unit(thing.attributes.at(field.name).get<double>(), field.unit);
                const Quantity needed = from_unit(content, unit);
                if (held.dimension == needed.dimension &&
                    round_to(in_unit(held, unit), 6) == round_to(content, 6))
                    return &field;
            } catch (const FaultError&) {
                // Units that do not compare.
            }
        }
        return nullptr;
    }

  private:
    const Resolved& project_;
    const TakenOff& taken_;
    const Provenance& from_;
};

} // namespace

std::vector<EstimateLeftover> leftovers_of(const EstimatePlans& plans, const Resolved& project,
                                           const TakenOff& taken, const Procurement& procurement,
                                           const Provenance& from) {
    const Finder finder(project, taken, from);
    std::vector<EstimateLeftover> left;
    std::set<std::string> ids;
    const auto add = [&](const std::string& name, const Thing& thing, const std::string& what,
                         std::int64_t count, const std::string& offer) -> EstimateLeftover& {
        const std::string base = plain_id(name);
        std::string id = base;
        for (int n = 2; !ids.insert(id).second; ++n) id = base + '_' + std::to_string(n);
        left.push_back(
            {id, thing.catalog_class, what + thing.title, count, thing.attributes, offer});
        return left.back();
    };

    for (const contract::SheetPlan& plan : plans.cutting) {
        const auto thing = finder.thing(plan.offer);
        if (!thing) continue;
        for (const contract::Offcut& offcut : plan.offcuts) {
            if (!offcut.keep) continue;
            EstimateLeftover& made =
                add("offcut_" + plan.material, *thing, "Offcut: ", plan.copies, plan.offer);
            made.attributes["length"] = offcut.length;
            made.attributes["width"] = offcut.width;
        }
    }
    for (const contract::BoardPlan& plan : plans.board) {
        if (!plan.keep_offcut || !plan.offcut) continue;
        const auto thing = finder.thing(plan.offer);
        if (!thing) continue;
        EstimateLeftover& made =
            add("end_" + plan.material, *thing, "End: ", plan.copies, plan.offer);
        // The board says what it is in the plan: a list sold by the metre may leave its length
        // open.
        made.attributes["length"] = *plan.offcut;
        made.attributes["width"] = plan.board.width;
        made.attributes["thickness"] = plan.board.thickness;
    }
    for (const Choice& choice : procurement.choices) {
        const auto demand =
            std::find_if(taken.demands.begin(), taken.demands.end(),
                         [&](const contract::Demand& each) { return each.id == choice.demand; });
        if (demand == taken.demands.end() || !demand->amount) continue;
        // What is at hand is used up before anything new is opened.
        double content = 0;
        const contract::AmountOffer* smallest = nullptr;
        const auto before = [](const contract::AmountOffer& a, const contract::AmountOffer& b) {
            const bool bought = !a.offer.starts_with("owned/");
            const bool other_bought = !b.offer.starts_with("owned/");
            return bought != other_bought ? bought : a.content < b.content;
        };
        for (const contract::Use& use : choice.uses) {
            for (const contract::AmountOffer& offer : demand->amount->offers) {
                if (offer.offer != use.offer) continue;
                content += static_cast<double>(use.count) * offer.content;
                if (smallest == nullptr || before(offer, *smallest)) smallest = &offer;
            }
        }
        const double rest = round_to(content - demand->amount->quantity, 4);
        if (smallest == nullptr || rest <= 0) continue;
        const auto thing = finder.thing(smallest->offer);
        if (!thing || project.services.contains(thing->catalog_class)) continue;
        const std::string& unit = demand->amount->unit;
        if (const contract::Field* field = finder.content_field(*thing, smallest->content, unit)) {
            EstimateLeftover& made =
                add("rest_" + choice.demand.substr(choice.demand.find('/') + 1), *thing,
                    "Rest: ", 1, smallest->offer);
            made.attributes[field->name] = round_to(in_unit(from_unit(rest, unit), field->unit), 4);
        } else if ((unit.empty() || unit == "each" || unit == "piece") && rest >= 1) {
            add("rest_" + choice.demand.substr(choice.demand.find('/') + 1), *thing,
                "Left: ", static_cast<std::int64_t>(rest), smallest->offer);
        }
    }
    return left;
}

} // namespace aumbry
