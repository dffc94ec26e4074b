#include "line/schedule/fetching.hpp"

#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

namespace aumbry {
namespace {

std::string place_called(const ProcureProblem& problem, const std::string& supplier) {
    for (const SupplierTerms& terms : problem.suppliers)
        if (terms.supplier.id == supplier && !terms.supplier.name.empty())
            return terms.supplier.name;
    return supplier;
}

NetworkStep trip_to(const std::string& supplier, const std::string& name, double minutes) {
    NetworkStep step;
    step.id = "fetch/" + supplier;
    step.title = "Fetch from " + name;
    step.phase = contract::Phase::prepare;
    step.operation = "fetch";
    step.who = {"maker"};
    step.minutes = round_to(minutes, 4);
    return step;
}

/// Orders that are still to go out and are collected.
std::vector<NetworkStep> trips_to_plan(double minutes, const ProcureProblem& problem,
                                       const Procurement& bought) {
    std::vector<NetworkStep> trips;
    for (const SupplierOrder& order : bought.orders) {
        if (!order.collected) continue;
        const auto times = std::max<std::int64_t>(1, order.trips);
        NetworkStep trip = trip_to(order.supplier, place_called(problem, order.supplier),
                                   minutes * static_cast<double>(times));
        for (const Purchase& purchase : bought.purchases) {
            if (purchase.supplier != order.supplier || purchase.owned || purchase.service) continue;
            for (const std::string& demand : purchase.demands) add_once(trip.needs, demand);
        }
        if (!trip.needs.empty()) trips.push_back(std::move(trip));
    }
    return trips;
}

/// Orders that are recorded: nothing but the record says that they are fetched.
void add_recorded(const Resolved& project, std::vector<NetworkStep>& trips) {
    for (const Bought& entry : project.bought) {
        if (entry.trip_minutes <= 0) continue;
        const std::string from = "Fetching from ";
        const bool named = entry.title.starts_with(from);
        NetworkStep trip =
            trip_to(entry.supplier, named ? entry.title.substr(from.size()) : entry.supplier,
                    entry.trip_minutes);
        for (const Bought& goods : project.bought) {
            if (goods.supplier != entry.supplier || goods.state != Progress::ordered ||
                goods.charge != "goods")
                continue;
            for (const Bought::Serves& serves : goods.serves) add_once(trip.needs, serves.demand);
        }
        while (std::any_of(trips.begin(), trips.end(),
                           [&](const NetworkStep& other) { return other.id == trip.id; }))
            trip.id += "_again";
        trips.push_back(std::move(trip));
    }
}

bool share_any(const std::vector<std::string>& some, const std::vector<std::string>& others) {
    return std::any_of(some.begin(), some.end(), [&](const std::string& one) {
        return std::find(others.begin(), others.end(), one) != others.end();
    });
}

} // namespace

void add_trips(const Resolved& project, const ProcureProblem& problem, const Procurement& bought,
               std::vector<NetworkStep>& steps) {
    std::vector<NetworkStep> trips;
    if (const double minutes = number(project.vehicle, "trip", 0); minutes > 0)
        trips = trips_to_plan(minutes, problem, bought);
    add_recorded(project, trips);
    for (NetworkStep& step : steps)
        for (const NetworkStep& trip : trips)
            if (share_any(step.needs, trip.needs)) step.after.push_back(trip.id);
    steps.insert(steps.begin(), trips.begin(), trips.end());
}

} // namespace aumbry
