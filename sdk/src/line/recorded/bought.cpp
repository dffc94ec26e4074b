#include "line/recorded/bought.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry {

namespace {

/// How often each part occurs in a way's plans: line with sizes as cut, whichever way it lies.
std::map<std::string, std::int64_t> parts_of(const contract::Way& way) {
    std::map<std::string, std::int64_t> parts;
    const auto placed = [&](const auto& plan) {
        for (const contract::Placement& part : plan.placements) {
            const auto [length, width] = part.rotated ? std::pair(part.width, part.length)
                                                      : std::pair(part.length, part.width);
            parts[part.line + ", " + format_trimmed(length, 1) + " x " + format_trimmed(width, 1) +
                  " mm"] += plan.copies;
        }
    };
    for (const contract::SheetPlan& plan : way.plans.sheets) placed(plan);
    for (const contract::BoardPlan& plan : way.plans.boards) {
        placed(plan);
        for (const contract::BoardPiece& piece : plan.pieces)
            parts[piece.line + ", " + format_trimmed(piece.length, 1) + " mm"] += plan.copies;
    }
    return parts;
}

bool same_shares(const std::vector<contract::Share>& a, const std::vector<contract::Share>& b) {
    const auto by_line = [](const std::vector<contract::Share>& shares) {
        std::map<std::string, double> sums;
        for (const contract::Share& share : shares) sums[share.line] += share.weight;
        return sums;
    };
    const auto left = by_line(a);
    const auto right = by_line(b);
    return std::equal(left.begin(), left.end(), right.begin(), right.end(),
                      [](const auto& one, const auto& other) {
                          return one.first == other.first &&
                                 round_to(one.second, 6) == round_to(other.second, 6);
                      });
}

/// What differs first, for a sentence; empty when nothing does.
std::string difference(const BoughtPlan& kept, const contract::Demand& demand) {
    if (!demand.ways.empty()) {
        const auto then = parts_of(kept.way);
        const auto now = parts_of(demand.ways.front());
        for (const auto& [part, count] : then) {
            const auto found = now.find(part);
            const std::int64_t is = found == now.end() ? 0 : found->second;
            if (is != count)
                return std::to_string(count) + " x " + part + " then, " + std::to_string(is) +
                       " now";
        }
        for (const auto& [part, count] : now) {
            if (!then.contains(part)) return std::to_string(count) + " x " + part + " are new";
        }
    }
    return same_shares(kept.shares, demand.shares) ? "" : "the lines that it serves";
}

/// Fits what is bought into what is needed now.
class Keeping {
  public:
    Keeping(const Resolved& project, std::vector<contract::Demand>& demands,
            std::vector<contract::Finding>& findings)
        : project_(project), demands_(demands), findings_(findings) {
        for (const Bought& each : project.bought) by_id_[each.id] = &each;
    }

    Loose run(const Loose& handed_over) {
        for (const BoughtPlan& kept : project_.as_bought)
            keep(kept, handed_over.plans.contains(kept.demand));
        let_go_of_what_serves_nothing();
        for (contract::Demand& demand : demands_) {
            if (demand.amount) offer_goods(demand);
        }
        return std::move(loose_);
    }

  private:
    [[nodiscard]] contract::Demand* demand_of(const std::string& id) const {
        const auto found =
            std::find_if(demands_.begin(), demands_.end(),
                         [&](const contract::Demand& each) { return each.id == id; });
        return found == demands_.end() ? nullptr : &*found;
    }

    /// A plan stays as long as its parts do. A module that planned with the goods `handed_over`
    /// shows whether it still does.
    void keep(const BoughtPlan& kept, bool handed_over) {
        contract::Demand* demand = demand_of(kept.demand);
        if (demand == nullptr) {
            if (!handed_over) (void)let_go(kept);
            findings_.push_back({contract::Severity::caution, "bought-for-nothing", "",
                                 "What was bought for " + kept.demand +
                                     " is no longer needed by any line; its cost stays and the "
                                     "material counts as surplus."});
            return;
        }
        const std::string differs = difference(kept, *demand);
        if (differs.empty())
            demand->ways = {as_bought(kept)};
        else if (!handed_over)
            tell_difference(*demand, differs, let_go(kept));
    }

    /// Whether any of it is cut already.
    bool let_go(const BoughtPlan& kept) {
        bool cut = false;
        for (const contract::Use& use : kept.way.uses) {
            if (!use.offer.starts_with("bought/")) continue;
            const Bought& each = *by_id_.at(use.offer.substr(7));
            cut = cut || each.state == Progress::cut;
            loose_.counts[each.id] += use.count;
        }
        loose_.plans.insert(kept.demand);
        return cut;
    }

    void tell_difference(const contract::Demand& demand, const std::string& differs, bool cut) {
        findings_.push_back(
            {cut ? contract::Severity::problem : contract::Severity::caution, "bought-differs",
             demand.shares.empty() ? "" : demand.shares.front().line,
             (demand.title.empty() ? demand.id : demand.title) +
                 " is no longer what it was bought for (" + differs + "); " +
                 (cut ? "it is cut already: put the parts back, or give the new ones a material of "
                        "their own, so that only they are planned."
                      : "it is planned anew on what is bought: tell the dealer when he has not cut "
                        "yet.")});
    }

    /// The way of a plan that stays. What was reckoned for cuts is in the amounts paid.
    [[nodiscard]] contract::Way as_bought(const BoughtPlan& kept) const {
        contract::Way way = kept.way;
        way.id = "as_bought";
        std::erase_if(way.dealer_cuts, [&](const contract::DealerCuts& cuts) {
            return std::any_of(kept.way.uses.begin(), kept.way.uses.end(),
                               [&](const contract::Use& use) {
                                   return use.offer.starts_with("bought/") &&
                                          by_id_.at(use.offer.substr(7))->supplier == cuts.supplier;
                               });
        });
        return way;
    }

    /// A module that is offered nothing demands nothing: what was bought for it may do.
    void let_go_of_what_serves_nothing() {
        std::set<std::string> in_plans;
        for (const BoughtPlan& kept : project_.as_bought) {
            for (const contract::Use& use : kept.way.uses)
                if (use.offer.starts_with("bought/")) in_plans.insert(use.offer.substr(7));
        }
        for (const Bought& each : project_.bought) {
            const bool serves = std::any_of(each.serves.begin(), each.serves.end(),
                                            [&](const Bought::Serves& serves_what) {
                                                return demand_of(serves_what.demand) != nullptr;
                                            });
            if (!each.serves.empty() && !in_plans.contains(each.id) && !serves)
                loose_.counts[each.id] = each.count;
        }
    }

    /// What one of it holds is recorded; handed over as owned it only called the demand forth.
    void offer_goods(contract::Demand& demand) const {
        for (const Bought& each : project_.bought) {
            for (const Bought::Serves& serves : each.serves) {
                if (serves.demand != demand.id || serves.content <= 0) continue;
                std::erase_if(demand.amount->offers, [&](const contract::AmountOffer& offer) {
                    return offer.offer == "owned/bought/" + each.id;
                });
                demand.amount->offers.push_back({"bought/" + each.id, serves.content, 0, 0});
            }
        }
    }

    const Resolved& project_;
    std::vector<contract::Demand>& demands_;
    std::vector<contract::Finding>& findings_;
    std::map<std::string, const Bought*> by_id_;
    Loose loose_;
};

} // namespace

Loose keep_bought(const Resolved& project, std::vector<contract::Demand>& demands,
                  std::vector<contract::Finding>& findings, const Loose& handed_over) {
    return Keeping(project, demands, findings).run(handed_over);
}

std::vector<OwnedItem> bought_as_owned(const Resolved& project, const Catalog& catalog,
                                       const Loose& loose) {
    std::vector<OwnedItem> items;
    for (const Bought& each : project.bought) {
        const auto found = loose.counts.find(each.id);
        if (found == loose.counts.end() || each.state == Progress::cut) continue;
        const PriceRow* row = catalog.find(each.supplier + '/' + each.sku);
        if (row == nullptr) continue;
        OwnedItem item;
        item.id = "bought/" + each.id;
        item.title = each.title;
        item.catalog_class = each.catalog_class;
        item.count = std::min(found->second, each.count);
        item.value = Money::zero(project.currency);
        item.attributes = catalog.attributes(*row);
        if (each.state == Progress::ordered) item.arrives = each.arrives;
        items.push_back(std::move(item));
    }
    return items;
}

const Bought* bought_before(const Resolved& project, std::string_view offer) {
    if (offer.starts_with("owned/")) offer.remove_prefix(6);
    if (!offer.starts_with("bought/")) return nullptr;
    offer.remove_prefix(7);
    const auto found = std::find_if(project.bought.begin(), project.bought.end(),
                                    [&](const Bought& each) { return each.id == offer; });
    return found == project.bought.end() ? nullptr : &*found;
}

std::vector<OfferTerms> bought_terms(const Resolved& project) {
    std::vector<OfferTerms> list;
    for (const Bought& each : project.bought) {
        OfferTerms terms;
        terms.id = "bought/" + each.id;
        terms.sku = each.sku;
        terms.description = each.title;
        terms.limit = each.count;
        terms.owned = true;
        if (each.state == Progress::ordered) terms.arrives = each.arrives;
        list.push_back(std::move(terms));
    }
    return list;
}

namespace {

/// The day, or that of the latest record where it is later.
Date after_records(const Resolved& project, Date from) {
    for (const Bought& each : project.bought) {
        if (each.on) from = std::max(from, *each.on);
    }
    for (const Worked& each : project.worked) {
        if (each.on) from = std::max(from, *each.on);
    }
    return from;
}

} // namespace

Date planned_from(const Resolved& project) {
    return after_records(project, project.start);
}

Date ordered_from(const Resolved& project) {
    return after_records(project, project.orders_from.value_or(project.start));
}

} // namespace aumbry
