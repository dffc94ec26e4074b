#include "solid_stock/module/dangers.hpp"

#include "aumbry/plugin.hpp"

#include <algorithm>
#include <array>
#include <set>

namespace aumbry::solid_stock {

namespace {

using contract::Line;
using contract::Severity;

/// Woods of needle-leaved trees, by the words in their names; all else is taken for hardwood.
bool is_softwood(const std::string& species) {
    static constexpr std::array words{"pine",    "spruce",  "larch",   "fir", "cedar",
                                      "hemlock", "cypress", "redwood", "yew"};
    return std::any_of(words.begin(), words.end(),
                       [&](const char* word) { return species.find(word) != std::string::npos; });
}

/// Woods that iron turns blue-black in the damp.
bool is_rich_in_tannin(const std::string& species) {
    static constexpr std::array words{"oak", "chestnut", "walnut", "cherry", "cedar", "redwood"};
    return std::any_of(words.begin(), words.end(),
                       [&](const char* word) { return species.find(word) != std::string::npos; });
}

/// Whether an offer is old wood: it says where it comes from, or what it takes to prepare it.
bool is_reclaimed(const contract::Offer& offer) {
    return !text(offer.attributes, "origin").empty() ||
           number(offer.attributes, "preparation", 0) > 0 ||
           offer.description.find("eclaimed") != std::string::npos;
}

bool is_said_reclaimed(const Line& line) {
    if (!line.material) return false;
    const Json& said = line.material->attributes;
    return !text(said, "origin").empty() ||
           text(said, "title").find("eclaimed") != std::string::npos;
}

} // namespace

void say_dangers(const contract::TakeOffRequest& request, const std::string& step,
                 std::vector<contract::Finding>& findings) {
    const auto say = [&](const char* code, std::string sentence) {
        findings.push_back({Severity::warning, code, "", std::move(sentence), step});
    };
    const std::string species = text(request.lines.front(), "material.species", "");
    const auto old = std::find_if(request.offers.begin(), request.offers.end(), is_reclaimed);
    if (old != request.offers.end() ||
        std::any_of(request.lines.begin(), request.lines.end(), is_said_reclaimed)) {
        const std::string what = species.empty() ? "Old wood" : "Old " + species;
        say("nails-in-old-wood",
            what + " hides nails that break a blade and throw its teeth: go over every board with "
                   "a metal detector and draw what it finds before saw or planer.");
        say("old-preservative",
            what + " from slipways, boats, roofs or sleepers may hold tar, preservative or "
                   "antifouling paint, which poison as dust: find out where it comes from, have "
                   "what smells or is painted tested, and do not saw, sand or burn it before.");
    }
    if (!species.empty() && !is_softwood(species))
        say("hardwood-dust",
            "Dust of hardwood such as " + species +
                " can cause cancer of the nose and asthma: extract it at the saw and wear a mask "
                "for fine dust (FFP2 or N95 at least).");
}

void say_tannin(const contract::FollowRequest& request, std::vector<contract::Finding>& findings) {
    const auto rows = request.quantities.find("hardware_kits");
    if (rows == request.quantities.end()) return;
    std::set<std::string> said;
    for (const Line& line : request.lines) {
        const std::string species = text(line, "material.species", "");
        if (!is_rich_in_tannin(species)) continue;
        const bool steel = std::any_of(
            rows->second.begin(), rows->second.end(), [&](const contract::QuantityRow& row) {
                return row.ref == "plain_steel." + line.piece && row.value > 0;
            });
        if (!steel || !said.insert(line.piece + '\n' + species).second) continue;
        findings.push_back({Severity::caution, "steel-in-tannin", line.id,
                            display_name(line) + ": " + species +
                                " turns blue-black where plain or zinc-plated steel touches it in "
                                "the damp; take screws of stainless steel or brass, and brush off "
                                "filings."});
    }
}

} // namespace aumbry::solid_stock
