#include "hardware_kits/engine/lifts/lift_choice.hpp"

#include "hardware_kits/engine/cautions.hpp"
#include "hardware_kits/engine/decimals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>

namespace aumbry::hardware_kits {
namespace {

constexpr double unheld = 1e9; // both ends latched: no end needs the springs

double share_past(const Breach& breach) {
    const double base = std::max(breach.limit, 1.0);
    const bool too_little = breach.code == "start-not-held" || breach.code == "end-not-held";
    return (too_little ? breach.limit - breach.peak.force : breach.peak.force - breach.limit) /
           base;
}

Lift with_offer(const Lift& lift, const SpringOffer& offer) {
    Lift fitted = lift;
    fitted.springs.push_back({offer.spring, offer.mounting, offer.count, false});
    return fitted;
}

void look_at(SpringOffer& offer, const Lift& lift, const std::vector<Scenario>& scenarios,
             const HandLimits& limits) {
    const Lift fitted = with_offer(lift, offer);
    if (const std::vector<Fault> faults = faults_of(fitted); !faults.empty()) {
        for (const Fault& fault : faults) offer.reasons.push_back(fault.sentence());
        return;
    }
    offer.mountable = true;
    offer.safest_end = unheld;
    std::map<std::string, Breach> worst;
    for (const Scenario& scenario : scenarios) {
        if (!scenario.judged) continue;
        const Verdict verdict = judge(fitted, sweep(fitted, scenario), limits);
        offer.hardest =
            std::max({offer.hardest, verdict.hardest_open.force, verdict.hardest_close.force});
        if (!fitted.start_latched)
            offer.safest_end = std::min(offer.safest_end, verdict.start_hold);
        if (!fitted.end_latched) offer.safest_end = std::min(offer.safest_end, verdict.end_hold);
        for (const Breach& breach : verdict.breaches) {
            const auto [place, added] = worst.try_emplace(breach.code, breach);
            if (!added && share_past(breach) > share_past(place->second)) place->second = breach;
        }
    }
    for (const auto& [code, breach] : worst) {
        offer.reasons.push_back(breach.sentence);
        offer.excess += share_past(breach);
    }
    offer.excess = round_to(offer.excess, 4);
    offer.fits = worst.empty();
}

bool better(const SpringOffer& a, const SpringOffer& b) {
    return a.safest_end != b.safest_end ? a.safest_end > b.safest_end : a.hardest < b.hardest;
}

std::string name_of(const SpringOffer& offer) {
    return fmt::format("{} x '{}' at '{}'", offer.count, offer.spring.name, offer.mounting.name);
}

/// Whether a breach throws the panel, which maims; the others are a burden.
bool moves_by_itself(const std::string& code) {
    return code == "slams-shut" || code == "flies-open";
}

void tell_unjudged(SpringChoice& choice, const Lift& fitted, const std::vector<Scenario>& scenarios,
                   const HandLimits& limits) {
    std::map<std::string, Breach> worst;
    for (const Scenario& scenario : scenarios) {
        if (scenario.judged) continue;
        for (const Breach& breach : judge(fitted, sweep(fitted, scenario), limits).breaches) {
            const auto [place, added] = worst.try_emplace(breach.code, breach);
            if (!added && share_past(breach) > share_past(place->second)) place->second = breach;
        }
    }
    for (const auto& [code, breach] : worst)
        choice.findings.push_back(
            {moves_by_itself(code) ? contract::Severity::warning : contract::Severity::caution,
             "unloaded-" + code, "",
             breach.sentence + "; once its springs are on, leave it propped where they are slack "
                               "until the mattress is in, and move it with a second person; what "
                               "the maker of the kit says comes first"});
}

} // namespace

SpringChoice choose_springs(const Lift& lift, const std::vector<GasSpring>& springs,
                            const std::vector<Mounting>& mountings, const std::vector<int>& counts,
                            const std::vector<Scenario>& scenarios, const HandLimits& limits) {
    if (springs.empty() || mountings.empty() || counts.empty())
        fail("nothing-to-choose", {}, "no springs, mountings or counts to choose among",
             "offer at least one of each");
    if (std::none_of(scenarios.begin(), scenarios.end(),
                     [](const Scenario& s) { return s.judged; }))
        fail("nothing-to-judge", {}, "no scenario is to be judged", "mark at least one");
    if (std::vector<Fault> faults = faults_of(lift); !faults.empty())
        throw FaultError(std::move(faults));

    SpringChoice choice;
    for (const GasSpring& spring : springs)
        for (const Mounting& mounting : mountings)
            for (const int count : counts) {
                SpringOffer offer{spring, mounting, count, false, false, 0, 0, 0, {}};
                look_at(offer, lift, scenarios, limits);
                choice.offers.push_back(std::move(offer));
            }
    for (std::size_t i = 0; i < choice.offers.size(); ++i) {
        const SpringOffer& offer = choice.offers[i];
        if (offer.fits && (!choice.chosen || better(offer, choice.offers[*choice.chosen])))
            choice.chosen = i;
        if (offer.mountable && !offer.fits &&
            (!choice.nearest || offer.excess < choice.offers[*choice.nearest].excess))
            choice.nearest = i;
    }
    if (choice.chosen) {
        choice.nearest.reset();
        const SpringOffer& offer = choice.offers[*choice.chosen];
        const auto fitting = std::count_if(choice.offers.begin(), choice.offers.end(),
                                           [](const SpringOffer& o) { return o.fits; });
        const std::string ends =
            offer.safest_end == unheld
                ? "both ends have a catch"
                : fmt::format("the weaker end is held with {:.0f} N", offer.safest_end);
        choice.why = fmt::format(
            "{}: of {} within limits it has the safest ends; {}, the hand never needs more than "
            "{:.0f} N",
            name_of(offer), fitting, ends, offer.hardest);
        tell_unjudged(choice, with_offer(lift, offer), scenarios, limits);
    } else if (choice.nearest) {
        const SpringOffer& offer = choice.offers[*choice.nearest];
        choice.why =
            fmt::format("none of {} keeps the limits; nearest is {}: {}", choice.offers.size(),
                        name_of(offer), fmt::join(offer.reasons, "; "));
    } else {
        choice.why = fmt::format("none of {} can be mounted; the first: {}", choice.offers.size(),
                                 fmt::join(choice.offers.front().reasons, "; "));
    }
    if (!choice.chosen)
        choice.findings.push_back({contract::Severity::problem, "no-spring-fits", "", choice.why});
    choice.findings.push_back({contract::Severity::caution, "weigh-before-ordering", "",
                               caution_text("weigh-before-ordering")});
    return choice;
}

} // namespace aumbry::hardware_kits
