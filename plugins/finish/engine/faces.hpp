// The area of a part that carries a finish.
#pragma once

#include <cstdint>

namespace aumbry::finish {

/// Which faces and edges of a flat part carry the finish. The part lies flat: two faces of length x
/// width, two long edges of length x thickness, two ends of width x thickness.
struct Coated {
    int faces = 2;
    int long_edges = 2;
    int ends = 2;
    /// Area of one part that is glued to another and so carries nothing, m2. It is taken off once
    /// for each part named, so two parts glued face to face each leave theirs out.
    double glued = 0;
};

/// Square metres of `count` parts; sizes in mm. Fails for a negative size or count, for more than
/// two faces, edges or ends, and when more is glued than would be coated.
[[nodiscard]] double coated_area(double length, double width, double thickness,
                                 const Coated& coated, std::int64_t count);

} // namespace aumbry::finish
