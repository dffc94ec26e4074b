// What is recorded of a job under way: what is bought, the plans by which it was bought, and the
// time worked.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// How far something is.
enum class Progress { planned, ordered, received, cut };
/// "planned" ...
[[nodiscard]] std::string_view word_of(Progress progress);

/// Something that is bought: its price is paid whatever becomes of it.
struct Bought {
    std::string id;
    std::string supplier;
    std::string sku;
    std::string title;
    std::string catalog_class;
    std::int64_t count = 1;
    Money amount; ///< of all, without tax
    Money tax;
    std::string charge = "goods"; ///< "goods", "service", "delivery"
    Progress state = Progress::ordered;
    std::optional<Date> on;
    std::optional<Date> arrives;
    double trip_minutes = 0; ///< to fetch the order, on the entry that says what fetching costs
    /// A demand that it serves and what one of it holds, in the demand's unit.
    struct Serves {
        std::string demand;
        double content = 0;
    };
    std::vector<Serves> serves;
};

/// The plan by which a demand was bought: it stays as long as its parts do.
struct BoughtPlan {
    std::string demand;
    std::vector<contract::Share> shares; ///< of the demand then
    contract::Way
        way; ///< its uses name "bought/<id>", what is owned, or what is still to be bought
};

/// Time worked on a step.
struct Worked {
    std::string step;
    std::string who;
    double minutes = 0;
    std::optional<Date> on;
    bool done = false; ///< nothing of the step is left
};

/// Reads an entry of `as_bought`; the demand is its key. @throws FaultError, placed within the
/// entry.
[[nodiscard]] BoughtPlan read_bought_plan(const Json& entry);
/// Writes one.
[[nodiscard]] Json bought_plan_json(const std::vector<contract::Share>& shares,
                                    const contract::Way& way);

} // namespace aumbry
