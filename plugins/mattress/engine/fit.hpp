// Fit of a mattress in its frame: ease on each side at both ends of the mattress's tolerance.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::mattress {

inline constexpr int length_decimals = 3; ///< mm

/// Recommended tolerance on width and length, mm (EN 1334, from memory).
inline constexpr double usual_tolerance = 20;

/// Ease wanted on each side. Common practice is 10 to 20 mm at the nominal size; with the usual
/// tolerance that is 0 mm at the largest and 30 mm at the smallest mattress.
struct EaseLimits {
    double min_at_largest = 0;   ///< mm; below it the mattress is pressed in
    double max_at_smallest = 30; ///< mm; above it the mattress slides and leaves gaps
};

enum class FitVerdict { fits, too_tight, too_loose, too_tight_and_loose };

/// One direction, width or length.
struct DirectionFit {
    double nominal = 0;          ///< mattress, mm
    double frame = 0;            ///< inside, mm
    double ease_at_largest = 0;  ///< mm on each side; negative: it does not go in
    double ease_at_nominal = 0;  ///< mm
    double ease_at_smallest = 0; ///< mm
    FitVerdict verdict = FitVerdict::fits;
};

struct Fit {
    DirectionFit width;
    DirectionFit length;
    std::vector<contract::Finding> findings;
};

/// A mattress of nominal width and length in a frame's inside width and length, all mm.
/// `tolerance` is plus or minus, on the whole side. Throws FaultError for sizes not above zero, a
/// tolerance that is negative or as large as the mattress, limits the wrong way round.
[[nodiscard]] Fit fit_in_frame(double width, double length, double frame_width, double frame_length,
                               double tolerance = usual_tolerance, const EaseLimits& limits = {});

/// The inside size of a frame that lies in the middle of what the limits allow, mm.
[[nodiscard]] double frame_for(double nominal, double tolerance = usual_tolerance,
                               const EaseLimits& limits = {});

} // namespace aumbry::mattress
