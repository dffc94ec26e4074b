#include "sundries/engine/offers.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <array>

namespace aumbry::sundries {

namespace {

struct Attribute {
    const char* name;
    const char* contract_unit;
};
constexpr std::array<Attribute, 6> attributes{{{"length", "mm"},
                                               {"area", "m2"},
                                               {"volume", "L"},
                                               {"mass", "kg"},
                                               {"time", "min"},
                                               {"distance", "mm"}}};

bool is_day(const std::string& unit) {
    return unit == "d" || unit == "day" || unit == "days";
}

/// One of the offer's items counted in `unit` by the attribute of that dimension. A day of hire is
/// no 24 hours of work, so days only ever come from the attribute `days`.
std::optional<double> stated(const contract::Offer& offer, const std::string& unit) {
    if (is_day(unit)) {
        const double days = number(offer.attributes, "days", 0);
        return days > 0 ? std::optional(days) : std::nullopt;
    }
    for (const Attribute& attribute : attributes) {
        const double value = number(offer.attributes, attribute.name, 0);
        if (value <= 0 || dimension_of_unit(attribute.contract_unit) != dimension_of_unit(unit))
            continue;
        // A distance and a length are of one dimension but not of one kind.
        if ((std::string_view(attribute.name) == "distance") != (unit == "km" || unit == "mi"))
            continue;
        return in_unit(from_unit(value, attribute.contract_unit), unit);
    }
    return std::nullopt;
}

/// How many of `unit` one `of` is; none when they are of different kinds.
std::optional<double> ratio(const std::string& of, const std::string& unit) {
    if (is_day(of) != is_day(unit)) return std::nullopt;
    if (is_day(of)) return 1.0;
    if (dimension_of_unit(of) != dimension_of_unit(unit)) return std::nullopt;
    return in_unit(from_unit(1, of), unit);
}

std::optional<contract::AmountOffer> find_content(const contract::Offer& offer,
                                                  const std::string& unit) {
    contract::AmountOffer found;
    found.offer = offer.id;
    const bool by_count = offer.price_unit == "each" || offer.price_unit == "pack";
    if (unit.empty()) {
        found.content = offer.pack;
        if (by_count) return found;
        const auto measure = stated(offer, offer.price_unit);
        if (!measure) return std::nullopt;
        found.measure = round_to(*measure * offer.pack, 6);
        return found;
    }
    const auto of_item = stated(offer, unit);
    if (of_item) {
        found.content = round_to(*of_item * offer.pack, 6);
        if (by_count) return found;
        const auto measure = stated(offer, offer.price_unit);
        if (!measure) return std::nullopt;
        found.measure = round_to(*measure * offer.pack, 6);
        return found;
    }
    if (by_count) return std::nullopt;
    const auto sold = ratio(offer.price_unit, unit);
    if (!sold) return std::nullopt;
    found.content = round_to(*sold, 9);
    found.measure = 1;
    return found;
}

} // namespace

std::optional<contract::AmountOffer> content_of(const contract::Offer& offer,
                                                const std::string& unit) {
    try {
        auto found = find_content(offer, unit);
        if (found) found->mass = round_to(number(offer.attributes, "mass", 0) * offer.pack, 4);
        return found;
    } catch (const FaultError&) {
        return std::nullopt; // a price per something that is no unit: it says nothing of how much
                             // it holds
    }
}

} // namespace aumbry::sundries
