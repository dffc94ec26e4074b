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

NetworkStep trip_for(const SupplierOrder& order, const ProcureProblem& problem, double minutes) {
    NetworkStep step;
    step.id = "fetch/" + order.supplier;
    step.title = "Fetch from " + place_called(problem, order.supplier);
    step.phase = contract::Phase::prepare;
    step.operation = "fetch";
    step.who = {"maker"};
    const auto trips = std::max<std::int64_t>(1, order.trips);
    step.minutes = round_to(minutes * static_cast<double>(trips), 4);
    return step;
}

} // namespace

void add_trips(const Resolved& project, const ProcureProblem& problem, const Procurement& bought,
               std::vector<NetworkStep>& steps) {
    const double minutes = number(project.vehicle, "trip", 0);
    if (minutes <= 0) return;
    std::vector<NetworkStep> trips;
    for (const SupplierOrder& order : bought.orders) {
        if (!order.collected) continue;
        NetworkStep trip = trip_for(order, problem, minutes);
        for (const Purchase& purchase : bought.purchases) {
            if (purchase.supplier != order.supplier || purchase.owned || purchase.service) continue;
            for (const std::string& demand : purchase.demands)
                if (std::find(trip.needs.begin(), trip.needs.end(), demand) == trip.needs.end())
                    trip.needs.push_back(demand);
        }
        if (trip.needs.empty()) continue;
        for (NetworkStep& step : steps) {
            const bool waits =
                std::any_of(step.needs.begin(), step.needs.end(), [&](const std::string& demand) {
                    return std::find(trip.needs.begin(), trip.needs.end(), demand) !=
                           trip.needs.end();
                });
            if (waits) step.after.push_back(trip.id);
        }
        trips.push_back(std::move(trip));
    }
    steps.insert(steps.begin(), trips.begin(), trips.end());
}

} // namespace aumbry
