#include "hardware_kits/engine/kits/kit.hpp"

#include "aumbry/fault.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace aumbry::hardware_kits {
namespace {

std::string nearest_item(const Kit& kit, const std::string& item) {
    std::vector<std::string> names;
    std::transform(kit.contents.begin(), kit.contents.end(), std::back_inserter(names),
                   [](const KitItem& known) { return known.item; });
    const std::string nearest = nearest_name(item, names);
    return nearest.empty() ? "name a part that is in the box" : "did you mean '" + nearest + "'?";
}

/// How a size is checked: its name, unit, and what to do on either side.
struct Check {
    const char* code;
    const char* what;
    const char* unit;
    const char* below;
    const char* above;
};

void check_range(const Kit& kit, const std::optional<Range>& range,
                 const std::optional<double>& value, const Check& check,
                 std::vector<contract::Finding>& findings) {
    if (!range) return;
    if (!value) {
        findings.push_back(
            {contract::Severity::note, fmt::format("{}-not-checked", check.code), "",
             fmt::format(
                 "kit '{}' is made for a {} of {:g} to {:g} {}; it is not known here, check it",
                 kit.name, check.what, range->min, range->max, check.unit)});
        return;
    }
    if (*value >= range->min && *value <= range->max) return;
    const bool below = *value < range->min;
    findings.push_back(
        {contract::Severity::problem,
         fmt::format("{}-{}", check.code, below ? "too-small" : "too-large"), "",
         fmt::format("the {} of {:g} {} is {} kit '{}' is made for, {:g} to {:g} {}: {}",
                     check.what, *value, check.unit, below ? "less than" : "more than", kit.name,
                     range->min, range->max, check.unit, below ? check.below : check.above)});
}

} // namespace

std::vector<ContentRow> kit_contents(const Kit& kit, const std::vector<KitChange>& changes) {
    std::vector<ContentRow> rows;
    for (const KitItem& item : kit.contents) {
        if (item.count < 0 || item.spares < 0 || item.spares > item.count)
            fail("kit-count", {},
                 fmt::format("kit '{}' holds {} of '{}', {} of them spares", kit.name, item.count,
                             item.item, item.spares),
                 "give counts of 0 or more, and no more spares than there are");
        rows.push_back({item.item, item.count, item.spares, 0, item.count, ""});
    }
    for (const KitChange& change : changes) {
        if (change.count == 0 || change.reason.empty())
            fail("kit-change", {},
                 fmt::format("the change of '{}' in kit '{}' has {}", change.item, kit.name,
                             change.count == 0 ? "no count" : "no reason"),
                 "say how many are left out or added, and why");
        auto row = std::find_if(rows.begin(), rows.end(),
                                [&](const ContentRow& known) { return known.item == change.item; });
        if (row == rows.end()) {
            if (change.count < 0)
                fail("kit-item-unknown", {},
                     fmt::format("kit '{}' holds no '{}' that could be left out", kit.name,
                                 change.item),
                     nearest_item(kit, change.item));
            rows.push_back({change.item, 0, 0, 0, 0, ""});
            row = std::prev(rows.end());
        }
        row->change += change.count;
        row->used += change.count;
        row->reason += (row->reason.empty() ? "" : "; ") + change.reason;
        if (row->used < 0)
            fail("kit-item-count", {},
                 fmt::format("{} of '{}' are left out of kit '{}', which holds {}", -row->change,
                             change.item, kit.name, row->in_box),
                 "leave out no more than there are");
    }
    return rows;
}

std::vector<contract::Finding> kit_fits(const Kit& kit, const KitDuty& duty) {
    std::vector<contract::Finding> findings;
    const KitFit& fit = kit.fit;
    const char* smaller = "choose a kit for that size";
    const char* larger =
        "it does not go into the kit's frame; choose a larger kit or a smaller mattress";
    check_range(kit, fit.mattress_width, duty.mattress_width,
                {"kit-mattress-width", "mattress width", "mm", smaller, larger}, findings);
    check_range(kit, fit.mattress_length, duty.mattress_length,
                {"kit-mattress-length", "mattress length", "mm", smaller, larger}, findings);
    check_range(kit, fit.mattress_thickness, duty.mattress_thickness,
                {"kit-mattress-thickness", "mattress thickness", "mm",
                 "straps and stops will not hold it",
                 "the panel will not close; choose a thinner mattress"},
                findings);
    check_range(
        kit, fit.moving_mass, duty.moving_mass,
        {"kit-moving-mass", "moving mass", "kg",
         "its springs would throw the panel open; choose weaker springs",
         "its springs would let the panel fall; choose stronger springs or a lighter build"},
        findings);
    check_range(kit, fit.material_thickness, duty.material_thickness,
                {"kit-material-thickness", "material thickness", "mm",
                 "its screws would come through",
                 "its plates and screws do not reach; use thinner material"},
                findings);
    if (kit.hand != Hand::either && duty.hand != Hand::either && kit.hand != duty.hand)
        findings.push_back(
            {contract::Severity::problem, "kit-hand", "",
             fmt::format(
                 "kit '{}' is for the {} hand, the piece needs the {}: order the other hand",
                 kit.name, kit.hand == Hand::left ? "left" : "right",
                 duty.hand == Hand::left ? "left" : "right")});
    return findings;
}

} // namespace aumbry::hardware_kits
