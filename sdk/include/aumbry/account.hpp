// The closing account: what was estimated stands against what it was, and what is left over becomes
// stock of the next job.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/project.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// The project as it was planned: without anything bought, cut or worked.
[[nodiscard]] Project as_planned(const Project& project);
/// The project as it is built: what is bought is whole again, so that its plans show what is left.
[[nodiscard]] Project as_built(const Project& project);

/// A row of the closing account.
struct AccountRow {
    std::string title;
    Money planned;
    Money actual;
};

/// A job at its end.
struct Account {
    std::string title;
    Currency currency;
    std::string length_unit;      ///< of who reads it, "mm" or "in"
    std::vector<AccountRow> rows; ///< goods, services, delivery, labour
    Money planned;                ///< of the rows
    Money actual;
    struct Hours {
        std::string who; ///< id of the person
        std::string title;
        double planned = 0;
        double worked = 0;
    };
    std::vector<Hours> hours;      ///< by person
    std::vector<std::string> open; ///< what is not bought or not done yet
    std::vector<EstimateLeftover> left;
};

/// Estimate against actual. `now` is the estimate with everything recorded, `planned` that of
/// as_planned(), `built` that of as_built().
[[nodiscard]] Account account_of(const Estimate& planned, const Estimate& now,
                                 const Estimate& built);
[[nodiscard]] Json to_json(const Account& account);

/// What is left as a stock document, `"aumbry_stock": 1`, which a project names under `stock`.
[[nodiscard]] Json stock_of(const std::vector<EstimateLeftover>& left, const std::string& from,
                            const std::vector<contract::Description>& modules);

} // namespace aumbry
