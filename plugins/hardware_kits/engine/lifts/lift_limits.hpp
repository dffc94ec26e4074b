// Limits of the hand, and whether a swing keeps them: force to open and to close, falling shut,
// flying open, and whether either end holds by itself.
#pragma once

#include "hardware_kits/engine/lifts/lift.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// Forces at the handle, N. The defaults are assumptions for one adult, without a source: set them
/// for who will use the piece.
struct HandLimits {
    double open = 150;  ///< greatest force to move it open
    double close = 150; ///< greatest force to move it shut
    double hold_back =
        100;             ///< greatest force to hold it back; above that it slams shut or flies open
    double end_hold = 5; ///< least force that must be overcome to leave an end without a catch
};

/// A force and the angle it occurs at.
struct Peak {
    double force = 0; ///< N
    double angle = 0; ///< deg
};

/// Part of the swing, in the order of opening.
struct Stretch {
    double from = 0; ///< deg
    double to = 0;
    Peak worst; ///< force that has to be held back
};

/// One limit not kept.
struct Breach {
    std::string code; ///< hand-force-open, hand-force-close, slams-shut, flies-open,
                      ///< start-not-held, end-not-held
    Peak peak;
    double limit = 0;
    std::string sentence;
};

struct Verdict {
    Peak hardest_open;
    Peak hardest_close;
    std::vector<Stretch> slams; ///< where it falls shut harder than the limit
    std::vector<Stretch> flies; ///< where it flies open harder than the limit
    double start_hold = 0;      ///< N at the handle to leave the start; negative: leaves by itself
    double end_hold = 0;        ///< N at the handle to leave the end; negative: leaves by itself
    std::vector<Breach> breaches;
};

/// Judges one swing. Throws FaultError for a limit that is negative or not a number.
[[nodiscard]] Verdict judge(const Lift& lift, const Swing& swing, const HandLimits& limits);

} // namespace aumbry::hardware_kits
