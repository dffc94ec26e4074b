// The trips on which goods are fetched, as working steps.
#pragma once

#include "line/schedule/network.hpp"

namespace aumbry {

/// Adds a step for every order that is collected, or was when it was recorded: it waits for all
/// goods of the order, takes the time of the vehicle's trips ("trip"), and what needs the goods
/// comes after it. No trips are planned where the project states no vehicle.
void add_trips(const Resolved& project, const ProcureProblem& problem, const Procurement& bought,
               std::vector<NetworkStep>& steps);

} // namespace aumbry
