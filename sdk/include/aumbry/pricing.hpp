// Pricing: from what a job costs to what the client is asked for. Tax that the maker pays and tax
// that the client is charged are two things.
#pragma once

#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/pricing_terms.hpp"
#include "aumbry/tax.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// What a part of the job costs. Amounts without tax.
struct CostLine {
    std::string name; ///< "goods", "services", "delivery", "labour"
    Money amount;
    Money tax_paid;                     ///< tax on it that the maker pays
    std::optional<Decimal> tax_charged; ///< rate on what is sold, instead of the project's
};

/// One figure of the build-up and how it came about.
struct PriceStep {
    std::string name;    ///< "contingency", "markup", "tax 21 %"
    std::string formula; ///< "7 % of 1000.00"
    Money amount;
};

/// From costs to the client's total: costs + contingency + markup = net; net + tax = total.
struct PriceBuildUp {
    Money costs;       ///< all lines, with tax paid when it is a cost
    Money tax_paid;    ///< on purchases
    Money tax_as_cost; ///< the part of it that is in `costs`: all or nothing
    Money contingency;
    Money markup;                 ///< also when asked for as a margin
    Money net;                    ///< price without tax
    std::vector<TaxAtRate> taxes; ///< by rising rate
    Money tax;
    Money total;
    Money deposit;
    Money balance; ///< total less deposit
    std::vector<PriceStep> steps;
};

/// Contingency, then markup or margin, then tax by rate. Each figure is rounded once; contingency
/// and markup are spread over the lines in proportion to find what each rate of tax is charged on,
/// and tax is rounded per rate (EN 16931, BR-CO-17).
/// @throws FaultError "markup-and-margin", "bad-margin", "bad-percent", "bad-deposit".
[[nodiscard]] PriceBuildUp build_up(const PricingTerms& terms, const std::vector<CostLine>& lines);

/// Money that must be there on a day.
struct CashNeed {
    Date date{};
    std::string what;
    Money amount;
};

/// Needs by date, those of one day and name added; and what is needed in all up to each day.
struct CashRow {
    CashNeed need;
    Money so_far;
};
[[nodiscard]] std::vector<CashRow> cash_by_date(std::vector<CashNeed> needs);

} // namespace aumbry
