// Checks of plans beyond their members: what readers rely on when they draw, order and cut by them.
#pragma once

#include "aumbry/contract.hpp"

#include <functional>
#include <string>

namespace aumbry {

/// What is wrong with one plan of a list.
struct PlanFault {
    std::string pointer; ///< within the list: "/0/cuts/3/second"
    std::string wrong;   ///< "cut 4 names blank 9, and the plan has 7 blanks"
};

/// Calls `found` for every fault: sizes above zero, copies from 1 on, kerf and what is taken off
/// not below zero, parts and offcuts inside their sheet or board and apart from each other, cuts
/// that divide a blank that is there into blanks of the plan, a lift with a side view for each
/// step. `is_line` says whether there is such a line; empty: any is good.
void check_plans(const contract::Plans& plans,
                 const std::function<bool(const std::string&)>& is_line,
                 const std::function<void(const PlanFault&)>& found);

/// The type of plans of one type, as a demand names it; empty when it is none that the core knows.
[[nodiscard]] std::string type_of_plans(const contract::Plans& plans);

/// The first fault of a demand's plans as a module answered them, empty when there is none: those
/// of check_plans(), a type that is not the demand's, an offer that the module was not given.
[[nodiscard]] std::string fault_of_plans(const contract::Demand& demand,
                                         const contract::TakeOffRequest& request);

} // namespace aumbry
