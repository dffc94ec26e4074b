#include "hardware_kits/module/messages.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

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

const Json& records(const contract::Line& line, const char* field) {
    static const Json none = Json::array();
    const Json* found = find_value(line, field);
    return found != nullptr && found->is_array() ? *found : none;
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
