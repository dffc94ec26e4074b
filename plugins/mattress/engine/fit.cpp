#include "mattress/engine/fit.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <fmt/format.h>

#include <utility>

namespace aumbry::mattress {
namespace {

void check(double nominal, double tolerance, const EaseLimits& limits) {
    if (!(nominal > 0))
        fail("mattress-size-figures", {}, fmt::format("a mattress side of {:g} mm", nominal),
             "give a size above 0 mm");
    if (!(tolerance >= 0) || tolerance >= nominal)
        fail(
            "mattress-tolerance", {},
            fmt::format("a tolerance of {:g} mm on a mattress side of {:g} mm", tolerance, nominal),
            "give 0 mm or more, usually 20 mm");
    if (!(limits.min_at_largest <= limits.max_at_smallest))
        fail("ease-limits", {},
             fmt::format("the least ease ({:g} mm) is above the most ({:g} mm)",
                         limits.min_at_largest, limits.max_at_smallest),
             "exchange them");
}

DirectionFit direction(double nominal, double frame, double tolerance, const EaseLimits& limits) {
    check(nominal, tolerance, limits);
    if (!(frame > 0))
        fail("frame-size", {}, fmt::format("a frame of {:g} mm inside", frame),
             "give a size above 0 mm");
    const auto ease = [&](double mattress) {
        return round_to((frame - mattress) / 2, length_decimals);
    };
    DirectionFit fit{
        nominal,         frame, ease(nominal + tolerance), ease(nominal), ease(nominal - tolerance),
        FitVerdict::fits};
    const bool tight = fit.ease_at_largest < limits.min_at_largest;
    const bool loose = fit.ease_at_smallest > limits.max_at_smallest;
    fit.verdict = tight && loose ? FitVerdict::too_tight_and_loose
                  : tight        ? FitVerdict::too_tight
                  : loose        ? FitVerdict::too_loose
                                 : FitVerdict::fits;
    return fit;
}

void tell(const char* what, const DirectionFit& fit, double tolerance, const EaseLimits& limits,
          std::vector<contract::Finding>& findings) {
    using contract::Severity;
    if (fit.ease_at_nominal < 0)
        findings.push_back(
            {Severity::problem, "mattress-larger-than-frame", "",
             fmt::format("the mattress is {:g} mm in {}, the frame {:g} mm inside: it "
                         "does not go in; make the frame {:g} mm",
                         fit.nominal, what, fit.frame, frame_for(fit.nominal, tolerance, limits))});
    else if (fit.ease_at_largest < limits.min_at_largest)
        findings.push_back(
            {fit.ease_at_largest < 0 ? Severity::problem : Severity::caution, "mattress-too-tight",
             "",
             fmt::format(
                 "a mattress at the upper end of its tolerance, {:g} mm in {}, has {:g} mm on "
                 "each side of a frame of {:g} mm, at least {:g} mm are wanted: make the frame "
                 "{:g} mm, or measure the mattress first",
                 fit.nominal + tolerance, what, fit.ease_at_largest, fit.frame,
                 limits.min_at_largest, frame_for(fit.nominal, tolerance, limits))});
    if (fit.ease_at_smallest > limits.max_at_smallest)
        findings.push_back(
            {Severity::caution, "mattress-too-loose", "",
             fmt::format(
                 "a mattress at the lower end of its tolerance, {:g} mm in {}, has {:g} mm on "
                 "each side of a frame of {:g} mm, no more than {:g} mm are wanted: make the "
                 "frame {:g} mm, or measure the mattress first",
                 fit.nominal - tolerance, what, fit.ease_at_smallest, fit.frame,
                 limits.max_at_smallest, frame_for(fit.nominal, tolerance, limits))});
}

} // namespace

double frame_for(double nominal, double tolerance, const EaseLimits& limits) {
    check(nominal, tolerance, limits);
    // Ease at the nominal size, halfway between what both ends allow.
    const double ease = (limits.min_at_largest + limits.max_at_smallest) / 2;
    return round_to(nominal + 2 * ease, length_decimals);
}

Fit fit_in_frame(double width, double length, double frame_width, double frame_length,
                 double tolerance, const EaseLimits& limits) {
    Fit fit;
    fit.width = direction(width, frame_width, tolerance, limits);
    fit.length = direction(length, frame_length, tolerance, limits);
    tell("width", fit.width, tolerance, limits, fit.findings);
    tell("length", fit.length, tolerance, limits, fit.findings);
    return fit;
}

} // namespace aumbry::mattress
