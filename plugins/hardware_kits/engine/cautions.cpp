#include "hardware_kits/engine/cautions.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <iterator>

namespace aumbry::hardware_kits {

using contract::Severity;

const std::vector<Caution>& cautions() {
    static const std::vector<Caution> table{
        {"maker-and-codes-first", Hazard::lift, Severity::caution,
         "The kit maker's instructions and local codes come first; these figures only help to ask "
         "the right questions."},
        {"stored-energy", Hazard::lift, Severity::warning,
         "A loaded spring stores energy and can throw the panel or itself: never open, heat, drill "
         "or dismount one under load, and follow its maker's instructions.",
         At::springs, true},
        {"crushing-and-entrapment", Hazard::lift, Severity::warning,
         "A moving panel crushes and traps: keep hands, heads and bedding out of the gaps, and "
         "leave a way out from under it.",
         At::hanging, true},
        {"falling-panel", Hazard::lift, Severity::warning,
         "A panel can fall when a spring is cold, old or missing: prop it before anybody works or "
         "reaches under it, and stop using it when it no longer stays where it should.",
         At::springs, true},
        {"children", Hazard::lift, Severity::warning,
         "Children must not operate a lift, or be under or behind it while it moves; fit a lock "
         "where they live.",
         At::springs, true},
        {"closed-store", Hazard::store, Severity::warning,
         "A store under a lid can shut a child in: give it two vents of at least 650 mm2 each, 150 "
         "mm apart, and see that the lid opens from inside with no more than 50 N (as EN 71-1 asks "
         "of toy chests).",
         At::hanging, true},
        {"weigh-before-ordering", Hazard::lift, Severity::caution,
         "Weigh the finished panel with everything that moves with it before the springs are "
         "ordered, and run the estimate again with the weighed mass.",
         At::weighing},
        {"foldaway-beds", Hazard::fold_up, Severity::caution,
         "For foldaway beds see EN 1129-1 and -2 for safety and tests; fixing to the building is "
         "left to whoever installs."},
        {"unanchored-frame", Hazard::fold_up, Severity::warning,
         "Never load springs or pull down a panel while the frame is not fixed to the building: it "
         "tips over.",
         At::springs},
        {"bunk-beds", Hazard::bunk, Severity::warning,
         "A bed base 600 mm or more above the floor is a high bed: see EN 747-1 and -2; above 30 "
         "in (760 mm) also 16 CFR 1213 and 1513 on guardrails and openings. Have it checked "
         "against the rules in force."},
        {"fix-to-structure", Hazard::anchors, Severity::warning,
         "Fixings go into the structure of the building, not into lining alone. This estimate "
         "certifies nothing: a competent person must check wall, fixings and loads on site."},
        {"electric-work", Hazard::electric, Severity::warning,
         "Wiring, lights and sockets behind or on a moving panel are work for licensed persons; "
         "nothing that gets hot may be shut in."},
    };
    return table;
}

std::vector<Caution> cautions_for(Hazard hazard) {
    std::vector<Caution> some;
    std::copy_if(cautions().begin(), cautions().end(), std::back_inserter(some),
                 [hazard](const Caution& caution) { return caution.hazard == hazard; });
    return some;
}

const Caution& caution(const std::string& code) {
    const auto found = std::find_if(cautions().begin(), cautions().end(),
                                    [&](const Caution& caution) { return caution.code == code; });
    if (found == cautions().end())
        fail("unknown-caution", {}, "unknown caution '" + code + "'", "use one of cautions()");
    return *found;
}

const std::string& caution_text(const std::string& code) {
    return caution(code).text;
}

} // namespace aumbry::hardware_kits
