// When the work is done, and when money must be there.
#pragma once

#include "line/estimate/labour.hpp"
#include "line/estimate/provenance.hpp"

#include "aumbry/pricing.hpp"

namespace aumbry {

/// All tasks, hours and dates. `accept_by` is the last day on which neither an order nor work would
/// be late.
[[nodiscard]] EstimateSchedule dated_work(const Resolved& project, const WorkPlan& work,
                                          const Labour& labour,
                                          const std::vector<EstimateOrder>& orders);

/// Money by date. Orders are paid when they must be ordered at the latest, what is bought on the
/// day that is recorded, others than the maker on their last day of work; the deposit or the first
/// stage comes in with the orders, further stages on their days, the rest when the job is ready,
/// and the tax charged goes out then, less the tax paid where that is claimed back.
[[nodiscard]] std::vector<EstimateCash> cash_of(const Resolved& project,
                                                const std::vector<EstimateOrder>& orders,
                                                const WorkPlan& work, const Labour& labour,
                                                const PriceBuildUp& price, const Provenance& from);

} // namespace aumbry
