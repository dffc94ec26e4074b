// The purchases of an estimate: what is bought for it, and what is paid already.
#pragma once

#include "line/estimate/allocation.hpp"
#include "line/estimate/provenance.hpp"
#include "line/schedule/work_plan.hpp"

#include "aumbry/estimate.hpp"

namespace aumbry {

/// A purchase and whom it is for.
struct ChargedPurchase {
    EstimatePurchase purchase; ///< its `lines` still empty
    Category category = Category::goods;
    std::vector<contract::Share> shares; ///< of lines
    Cell otherwise;                      ///< bears it when no line does
};

/// What is bought, by supplier and sku, then what is paid already: that is a cost whatever becomes
/// of it, of the lines that use it, else of the module that asked for it.
[[nodiscard]] std::vector<ChargedPurchase>
purchases_of(const Resolved& project, const TakenOff& taken, const ProcureProblem& problem,
             const Procurement& bought, const WorkPlan& work, const Provenance& from);

/// What else could have been bought for each demand.
[[nodiscard]] std::vector<EstimateNextBest> next_best_of(const ProcureProblem& problem,
                                                         const Procurement& bought);

/// The name by which a supplier of the problem is shown.
[[nodiscard]] const Supplier* supplier_of(const ProcureProblem& problem, const std::string& id);

} // namespace aumbry
