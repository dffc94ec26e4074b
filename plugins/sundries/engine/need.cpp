#include "sundries/engine/need.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <array>

namespace aumbry::sundries {

namespace {

/// A field that says how much, its contract unit, and the unit that such things are sold in.
struct Measured {
    const char* kind;
    const char* field;
    const char* contract_unit; ///< empty: a plain number, taken as it is
    const char* sold_in;
};

constexpr std::array<Measured, 7> measures{{{"item", "length", "mm", "m"},
                                            {"item", "area", "m2", "m2"},
                                            {"item", "volume", "L", "L"},
                                            {"item", "mass", "kg", "kg"},
                                            {"service", "time", "min", "h"},
                                            {"service", "days", "", "day"},
                                            {"service", "distance", "mm", "km"}}};

} // namespace

double Need::quantity() const {
    return round_to(of_one * static_cast<double>(count) * (1 + waste / 100), 6);
}

Need read_need(const contract::Line& line) {
    Need need;
    need.count = line.count;
    need.waste = number(line, "waste", 0);
    for (const Measured& measure : measures) {
        if (line.kind != measure.kind || find_value(line, measure.field) == nullptr) continue;
        need.stated.emplace_back(measure.field);
        if (need.stated.size() > 1) continue;
        const double value = number(line, measure.field);
        need.name = measure.field;
        need.unit = measure.sold_in;
        need.of_one = *measure.contract_unit == '\0'
                          ? value
                          : in_unit(from_unit(value, measure.contract_unit), measure.sold_in);
    }
    return need;
}

std::string amount_text(double quantity, const std::string& unit) {
    const std::string value = format_trimmed(quantity, 3);
    if (unit.empty()) return value + (quantity == 1 ? " piece" : " pieces");
    return value + ' ' + unit + (unit == "day" && quantity != 1 ? "s" : "");
}

} // namespace aumbry::sundries
