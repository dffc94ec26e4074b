// What coating uses up besides coating: one for so many square metres of coats.
#pragma once

#include <array>

namespace aumbry::finish {

struct Consumable {
    const char* type;    ///< as price lists call it
    const char* setting; ///< of the module: the m2 of coats that one serves
    double usual = 0;    ///< m2 (common practice)
};

[[nodiscard]] constexpr std::array<Consumable, 3> consumables() {
    return {{{"roller", "roller_serves", 20},
             {"rag", "rag_serves", 10},
             {"masking tape", "tape_serves", 30}}};
}

} // namespace aumbry::finish
