#include "line/procure/dates.hpp"

#include <algorithm>
#include <set>

namespace aumbry {

Date arrival_date(const Supplier& supplier, const OfferTerms& offer, Date ordered) {
    return supplier.calendar.add_working_days(ordered, supplier.dispatch_days + offer.lead_days);
}

Date order_by_date(const Supplier& supplier, const OfferTerms& offer, Date needed) {
    return supplier.calendar.add_working_days(supplier.calendar.previous_working(needed),
                                              -(supplier.dispatch_days + offer.lead_days));
}

namespace procurement {

FinishOfArrival::FinishOfArrival(const Model& model)
    : model_(model), known_(model.demands.size()) {}

Date FinishOfArrival::operator()(std::size_t demand, Date arrives) {
    const auto [entry, is_new] = known_[demand].try_emplace(arrives);
    if (is_new)
        entry->second = model_.problem->finish({{model_.demands[demand].terms->id, arrives}});
    return entry->second;
}

std::optional<Model> restricted(const Model& model, FinishOfArrival& finish, Date by) {
    if (model.problem->finish({}) > by) return std::nullopt;
    Model result = model;
    for (std::size_t d = 0; d < result.demands.size(); ++d) {
        std::erase_if(result.demands[d].ways,
                      [&](const Way& way) { return finish(d, arrival(model, way)) > by; });
        if (result.demands[d].ways.empty()) return std::nullopt;
    }
    return result;
}

std::vector<Date> finish_dates(const Model& model, FinishOfArrival& finish) {
    std::set<Date> dates{model.problem->finish({})};
    Date earliest = *dates.begin();
    for (std::size_t d = 0; d < model.demands.size(); ++d) {
        std::set<Date> own;
        for (const Way& way : model.demands[d].ways) own.insert(finish(d, arrival(model, way)));
        earliest = std::max(earliest, *own.begin());
        dates.merge(own);
    }
    return {dates.lower_bound(earliest), dates.end()};
}

} // namespace procurement

} // namespace aumbry
