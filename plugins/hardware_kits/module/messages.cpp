#include "hardware_kits/module/messages.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>

namespace aumbry::hardware_kits {

std::string mass_text(double kg) {
    return format_trimmed(kg, 2) + " kg";
}

contract::Finding about(const contract::Line& line, contract::Finding finding) {
    finding.line = line.id;
    finding.text = display_name(line) + ": " + finding.text;
    if (!finding.text.ends_with('.') && !finding.text.ends_with('?')) finding.text += '.';
    return finding;
}

bool by_count(const contract::Offer& offer) {
    return offer.price_unit == "each" || offer.price_unit == "pack";
}

Alone alone_in(const contract::Settings& settings) {
    const Alone usual;
    return {number(settings.workshop, "heaviest_blank", usual.mass),
            number(settings.workshop, "longest_alone", usual.length),
            number(settings.workshop, "largest_alone", usual.area)};
}

const Json& records(const contract::Line& line, const char* field) {
    static const Json none = Json::array();
    const Json* found = find_value(line, field);
    return found != nullptr && found->is_array() ? *found : none;
}

void add_sizes(const contract::Line& line, const char* field, AssemblyStep& step) {
    for (const Json& each : records(line, field)) {
        const contract::Line* part =
            reference(line, each.is_string() ? each.get<std::string>() : text(each, "line"));
        if (part == nullptr || part->kind == "mattress") continue;
        step.longest = std::max(step.longest, number(*part, "derived.length", 0));
        step.largest = std::max(step.largest, number(*part, "derived.area", 0));
    }
}

void warn_of_seam(const contract::Line& line, const contract::Line& carrier,
                  std::vector<contract::Finding>& findings) {
    if (records(carrier, "seams").empty()) return;
    findings.push_back(
        {contract::Severity::warning, "seam-under-hardware", line.id,
         "'" + display_name(carrier) + "' has a seam, and hinges, pivots or springs of '" +
             display_name(line) +
             "' pull on it: make it in one piece, or back the seam with a whole part where they "
             "are screwed on, as the kit's maker allows."});
}

} // namespace aumbry::hardware_kits
