#include "solid_stock/module/dangers.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace aumbry::solid_stock {

namespace {

using contract::Line;
using contract::Severity;

constexpr double standard_gravity = 9.80665; // m/s2
// A child of 27.2 kg (60 lb) climbing, as tests of tipping take it (ASTM F2057-23); that it pulls
// with 44.5 N (10 lbf) at 1422 mm (56 in) at most is the same standard's, from memory; that its
// centre hangs 150 mm in front of the front edge is assumed.
constexpr double child = 27.2;        // kg
constexpr double in_front = 0.15;     // m
constexpr double child_pull = 44.5;   // N
constexpr double pull_height = 1.422; // m
constexpr double tall = 686;          // mm: 27 in, from which the rules on tipping hold (CPSC)

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

void say_tipping(const contract::FollowRequest& request, std::vector<contract::Finding>& findings) {
    struct Stands {
        const Line* upright = nullptr;
        double mass = 0; // kg of solid wood
    };
    std::map<std::string, Stands> pieces;
    for (const Line& line : request.lines) {
        if (line.piece.empty()) continue;
        Stands& piece = pieces[line.piece];
        piece.mass += number(line, "derived.mass", 0) * static_cast<double>(line.count);
        if (flag(line, "upright") &&
            (piece.upright == nullptr ||
             number(line, "derived.length", 0) > number(*piece.upright, "derived.length", 0)))
            piece.upright = &line;
    }
    const auto rows = request.quantities.find("hardware_kits");
    for (const auto& [id, piece] : pieces) {
        const bool fixed = rows != request.quantities.end() &&
                           std::any_of(rows->second.begin(), rows->second.end(),
                                       [&, &name = id](const contract::QuantityRow& row) {
                                           return row.ref == "fixings." + name && row.value > 0;
                                       });
        if (fixed || piece.upright == nullptr) continue;
        const double height = number(*piece.upright, "derived.length", 0);
        const double depth = number(*piece.upright, "derived.width", 0);
        const double held = piece.mass * standard_gravity * depth / 2 / 1000;
        const double climbed =
            child * standard_gravity * in_front + child_pull * std::min(height / 1000, pull_height);
        if (height < tall || held >= climbed) continue;
        const std::string& unit = request.settings.length_unit;
        contract::Finding finding{
            Severity::warning, "tips-over", piece.upright->id,
            "Nothing of the project holds '" + id +
                "' to the building, and it can tip over on a child: " +
                aumbry::length_text(height, unit) + " high and " +
                aumbry::length_text(depth, unit) + " deep by its upright '" +
                display_name(*piece.upright) + "', its " + mass_text(piece.mass, unit, 0) +
                " of solid wood hold it with " + format_trimmed(held, 1) +
                " N·m, a child of 27.2 kg who climbs on it turns it with " +
                format_trimmed(climbed, 1) +
                " N·m. Add a line of kind fixing that holds it; no test of a standard is claimed "
                "by this."};
        finding.client = true;
        findings.push_back(std::move(finding));
    }
}

} // namespace aumbry::solid_stock
