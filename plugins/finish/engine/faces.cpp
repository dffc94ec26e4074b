#include "finish/engine/faces.hpp"

#include "aumbry/fault.hpp"

#include <fmt/core.h>

namespace aumbry::finish {

double coated_area(double length, double width, double thickness, const Coated& coated,
                   std::int64_t count) {
    if (length < 0 || width < 0 || thickness < 0 || count < 0)
        fail("size-out-of-range", {}, "a coated part has a size or count below zero",
             "give zero or more");
    const auto two_at_most = [](int number, const char* what) {
        if (number < 0 || number > 2)
            fail("faces-out-of-range", {},
                 fmt::format("a part is said to have {} coated {}", number, what),
                 "a flat part has none, one or two");
    };
    two_at_most(coated.faces, "faces");
    two_at_most(coated.long_edges, "long edges");
    two_at_most(coated.ends, "ends");
    const double square_mm = coated.faces * length * width +
                             coated.long_edges * length * thickness +
                             coated.ends * width * thickness;
    const double area = square_mm / 1e6 - coated.glued;
    if (coated.glued < 0 || area < -1e-9)
        fail("glued-out-of-range", {},
             fmt::format("{:g} m2 of a part are glued, of {:g} m2 that would be coated",
                         coated.glued, square_mm / 1e6),
             "name only glued areas of the faces that carry the finish");
    return (area < 0 ? 0.0 : area) * static_cast<double>(count);
}

} // namespace aumbry::finish
