// Keeping up with the job: what is ordered, received, cut and worked goes into the project itself,
// so that the same file plans what is left; and at the end what was estimated stands against what
// it was, and what is left over becomes stock of the next job.
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
/// `bought`, the plans by which they are cut under `as_bought`. What is recorded already and not
/// that far yet moves on instead: what is still to be ordered there is not among what has come.
/// When nothing is to be ordered there, another day or amount of the same state takes its place.
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
