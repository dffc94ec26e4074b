// Keeping up with the job: what is ordered, received, cut and worked goes into the project itself,
// so that the same file plans what is left.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/project.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// What is said of an order.
struct OrderNews {
    std::string supplier;
    Progress state = Progress::ordered;
    std::optional<Date> on;
    std::optional<Date> arrives; ///< when the supplier promises it
    std::optional<Money> amount; ///< what he asks in all without tax, when it is not as estimated
};

/// The project's document with an order recorded: its purchases as the estimate has them go under
/// `bought`, the plans by which they are cut under `as_bought`. Entries of this supplier in an
/// earlier state advance to the new state, and nothing new is added. If nothing is left to order, a
/// new date or amount replaces the one recorded.
/// @throws FaultError "nothing-to-record" when the estimate orders nothing there, "bad-amount".
[[nodiscard]] Json record_order(const Json& document, const Estimate& estimate,
                                const OrderNews& news);

/// What is said of work.
struct WorkNews {
    std::string step;
    std::string hours; ///< as written: "3.5 h"
    std::string who = "maker";
    std::optional<Date> on;
    bool done = false;
};

/// The project's document with time worked recorded.
/// @throws FaultError "unknown-step" with the nearest, and what the entry's fields ask for.
[[nodiscard]] Json record_work(const Json& document, const Estimate& estimate,
                               const WorkNews& news);

} // namespace aumbry
