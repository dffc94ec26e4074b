#include "hardware_kits/engine/lifts/lift_limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace aumbry::hardware_kits {
namespace {

Peak hardest(const std::vector<SwingSample>& samples, double SwingSample::*force) {
    Peak peak{samples.front().*force, samples.front().angle};
    for (const SwingSample& sample : samples)
        if (sample.*force > peak.force) peak = {sample.*force, sample.angle};
    return peak;
}

/// Stretches where the hand has to hold back more than `limit`.
std::vector<Stretch> held_back(const std::vector<SwingSample>& samples, double SwingSample::*force,
                               double limit) {
    std::vector<Stretch> stretches;
    bool inside = false;
    for (const SwingSample& sample : samples) {
        const double held = -(sample.*force);
        if (held <= limit) {
            inside = false;
            continue;
        }
        if (!inside) stretches.push_back({sample.angle, sample.angle, {held, sample.angle}});
        inside = true;
        stretches.back().to = sample.angle;
        if (held > stretches.back().worst.force) stretches.back().worst = {held, sample.angle};
    }
    return stretches;
}

/// Whether masses, not springs, drive the panel at an angle of the swing.
bool gravity_drives(const std::vector<SwingSample>& samples, double angle, bool opening) {
    const auto at = std::find_if(samples.begin(), samples.end(),
                                 [angle](const SwingSample& s) { return s.angle == angle; });
    return at != samples.end() && (opening ? at->gravity > 0 : at->gravity < 0);
}

Peak worst_of(const std::vector<Stretch>& stretches) {
    return std::max_element(
               stretches.begin(), stretches.end(),
               [](const Stretch& a, const Stretch& b) { return a.worst.force < b.worst.force; })
        ->worst;
}

} // namespace

Verdict judge(const Lift& lift, const Swing& swing, const HandLimits& limits) {
    const std::array named{std::pair{"open", limits.open}, std::pair{"close", limits.close},
                           std::pair{"hold back", limits.hold_back},
                           std::pair{"end hold", limits.end_hold}};
    for (const auto& [name, limit] : named)
        if (!(limit >= 0) || !std::isfinite(limit))
            fail("hand-limit", {}, fmt::format("the limit '{}' is {:g} N", name, limit),
                 "give a force of 0 N or more");

    const std::vector<SwingSample>& samples = swing.samples;
    const std::string& when = swing.scenario.name;
    Verdict verdict;
    verdict.hardest_open = hardest(samples, &SwingSample::hand_to_open);
    verdict.hardest_close = hardest(samples, &SwingSample::hand_to_close);
    verdict.slams = held_back(samples, &SwingSample::hand_to_close, limits.hold_back);
    verdict.flies = held_back(samples, &SwingSample::hand_to_open, limits.hold_back);
    verdict.start_hold = samples.front().hand_to_open;
    verdict.end_hold = samples.back().hand_to_close;

    const auto breach = [&](const char* code, Peak peak, double limit, std::string sentence) {
        verdict.breaches.push_back({code, peak, limit, std::move(sentence)});
    };
    if (const Peak& peak = verdict.hardest_open; peak.force > limits.open)
        breach("hand-force-open", peak, limits.open,
               fmt::format("{}: opening takes {:.0f} N at {:.0f} deg, more than {:.0f} N", when,
                           peak.force, peak.angle, limits.open));
    if (const Peak& peak = verdict.hardest_close; peak.force > limits.close)
        breach("hand-force-close", peak, limits.close,
               fmt::format("{}: closing takes {:.0f} N at {:.0f} deg, more than {:.0f} N", when,
                           peak.force, peak.angle, limits.close));
    const auto held_back_breach = [&](const char* code, const std::vector<Stretch>& stretches,
                                      bool opening) {
        if (stretches.empty()) return;
        const Peak peak = worst_of(stretches);
        const bool falls = gravity_drives(samples, peak.angle, opening);
        const char* how =
            opening ? (falls ? "falls open" : "flies open") : (falls ? "slams shut" : "flies shut");
        breach(code, peak, limits.hold_back,
               fmt::format("{}: {}; at {:.0f} deg it has to be held back with {:.0f} N, more than "
                           "{:.0f} N",
                           when, how, peak.angle, peak.force, limits.hold_back));
    };
    held_back_breach("slams-shut", verdict.slams, false);
    held_back_breach("flies-open", verdict.flies, true);
    if (!lift.start_latched && verdict.start_hold < limits.end_hold)
        breach("start-not-held", {verdict.start_hold, samples.front().angle}, limits.end_hold,
               fmt::format(
                   "{}: does not stay at {:.0f} deg; {:.0f} N hold it there, less than {:.0f} N",
                   when, samples.front().angle, verdict.start_hold, limits.end_hold));
    if (!lift.end_latched && verdict.end_hold < limits.end_hold)
        breach("end-not-held", {verdict.end_hold, samples.back().angle}, limits.end_hold,
               fmt::format(
                   "{}: does not stay at {:.0f} deg; {:.0f} N hold it there, less than {:.0f} N",
                   when, samples.back().angle, verdict.end_hold, limits.end_hold));
    return verdict;
}

} // namespace aumbry::hardware_kits
