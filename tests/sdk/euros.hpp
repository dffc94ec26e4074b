// Amounts for tests.
#pragma once

#include "aumbry/money.hpp"

namespace aumbry {

inline const Currency euro{"EUR", 2};

inline Money eur(const char* amount) {
    return Money::parse(amount, euro);
}

} // namespace aumbry
