// The people of a job: who works on it, and who stands on its papers.
#pragma once

#include "aumbry/date.hpp"
#include "aumbry/money.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// A pair of hands.
struct Person {
    std::string id; ///< "maker" is always there
    std::string title;
    Decimal rate; ///< an hour, in the project's currency; zero: not stated
    bool rate_stated = false;
    WorkCalendar calendar;
    std::vector<Date>
        dates; ///< the only dates on which the person is there; empty: every working day
    double min_minutes = 0;
};

/// Who stands on a paper. All empty: not stated.
struct Party {
    std::string name;
    std::vector<std::string> address; ///< its lines
    std::string contact;
    std::string tax_number;
};

} // namespace aumbry
