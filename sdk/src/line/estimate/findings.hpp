// What the maker should know, and what the total leaves out.
#pragma once

#include "line/estimate/provenance.hpp"
#include "line/schedule/work_plan.hpp"

#include "aumbry/estimate.hpp"

namespace aumbry {

/// What all stages found, problems first and by stage within one severity: recorded, schedule's
/// network, modules by stage, purchase, dates, modules that are absent or refused. What several say
/// alike stands once.
[[nodiscard]] std::vector<EstimateFinding>
findings_of(const Resolved& project, const TakenOff& taken, const Procurement& bought,
            const Followed& followed, const WorkPlan& work,
            const std::vector<std::string>& refused);

/// Sentences: lines without a price, demands that nobody can fill, work without a rate, tax that
/// is not charged.
[[nodiscard]] std::vector<std::string> not_included(const std::vector<EstimateLine>& lines,
                                                    const Procurement& bought,
                                                    const TakenOff& taken,
                                                    const PricingTerms& terms, bool labour_stated);

} // namespace aumbry
