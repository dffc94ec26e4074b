// What being done sooner costs, and what fewer suppliers cost: the least cost of the purchase under
// each finish date and with each number of suppliers.
#pragma once

#include "aumbry/line.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// One purchase of a curve.
struct PurchaseStep {
    struct Goods {
        std::string offer;
        std::string supplier; ///< its name
        std::string description;
        std::int64_t count = 0;
    };
    std::vector<std::string> suppliers; ///< ids, sorted
    std::vector<Goods> goods;           ///< bought, by supplier and sku
    Money cost;        ///< delivered: all orders without tax, or with it when it is a cost
    Money more;        ///< than the least cost of the curve
    Money lower_bound; ///< nothing of this finish or number costs less
    bool proven = false;
    Date ready{}; ///< when the job is done
};

struct PurchaseCurves {
    std::string title;
    std::string alternative; ///< empty: the base
    Currency currency;
    std::vector<PurchaseStep> by_finish;    ///< by earlier finish: each costs more and is ready
                                            ///< sooner than the one before
    std::vector<PurchaseStep> by_suppliers; ///< by more suppliers: each costs less than the one
                                            ///< before
};

/// Both curves, `finish_by` and `max_suppliers` of the options in force for each; their objective
/// is left aside. A finish that the steps of follow make no sooner is left out.
/// @throws FaultError as estimate().
[[nodiscard]] PurchaseCurves purchase_curves(const Project& project, PluginHost& host,
                                             const Catalog& catalog,
                                             const EstimateOptions& options = {});

[[nodiscard]] Json to_json(const PurchaseCurves& curves);

} // namespace aumbry
