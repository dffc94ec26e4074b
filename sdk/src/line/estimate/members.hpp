// Members of records of the estimate that other documents hold too.
#pragma once

#include "documents/document.hpp"

#include "aumbry/estimate.hpp"

namespace aumbry {

AUMBRY_RECORD(TaxAtRate, "tax") {
    visit.must("percent", self.percent);
    visit.must("taxable", self.taxable);
    visit.must("tax", self.tax);
}

} // namespace aumbry
