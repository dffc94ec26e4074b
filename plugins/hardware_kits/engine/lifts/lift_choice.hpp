// Choice of springs: which of the springs and mountings offered keeps the hand force within limits
// with the safest ends, or that none does.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/engine/lifts/lift_limits.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// One offer looked at, under every scenario.
struct SpringOffer {
    GasSpring spring;
    Mounting mounting;
    int count = 1;
    bool mountable = false; ///< its stroke and mounting suit the swing
    bool fits = false;      ///< keeps every limit in every judged scenario
    double safest_end =
        0;              ///< least force that holds an end without a catch, over judged scenarios, N
    double hardest = 0; ///< greatest force of the hand, over judged scenarios, N
    double excess =
        0; ///< how far past its limits, in shares of them, summed over kinds; 0 when it fits
    std::vector<std::string>
        reasons; ///< why it does not fit: the worst of each kind, or what is wrong with it
};

struct SpringChoice {
    std::vector<SpringOffer> offers;    ///< springs by mountings by counts, in the order given
    std::optional<std::size_t> chosen;  ///< index into offers
    std::optional<std::size_t> nearest; ///< when none fits: the one least past its limits
    std::string why; ///< one sentence: what was chosen and why, or that none does
    std::vector<contract::Finding>
        findings; ///< what holds outside the judged scenarios, and what to do before ordering
};

/// Looks at each spring at each mounting in each count, added to `lift`. Among those within limits
/// the one with the greatest hold at its weaker end wins; then the least hand force; then the
/// earlier in the order given. An offer that cannot be mounted is kept with its reason. Throws
/// FaultError when nothing is offered or when the lift itself is faulty.
[[nodiscard]] SpringChoice choose_springs(const Lift& lift, const std::vector<GasSpring>& springs,
                                          const std::vector<Mounting>& mountings,
                                          const std::vector<int>& counts,
                                          const std::vector<Scenario>& scenarios,
                                          const HandLimits& limits);

} // namespace aumbry::hardware_kits
