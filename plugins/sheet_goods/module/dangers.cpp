#include "sheet_goods/module/dangers.hpp"

#include "sheet_goods/module/derive.hpp"
#include "sheet_goods/module/text.hpp"
#include "sheet_goods/module/work.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace aumbry::sheet_goods {

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
constexpr double as_deep = 60;        // mm by which an upright differs from a shelf in depth

bool is_one_of(const std::string& species, const auto& words) {
    return std::any_of(words.begin(), words.end(),
                       [&](const char* word) { return species.find(word) != std::string::npos; });
}

/// Woods of broad-leaved trees, by the words in their names.
bool is_hardwood(const std::string& species) {
    static constexpr std::array words{
        "birch",  "maple",    "oak",  "ash",   "beech", "walnut",   "cherry",   "okoume",
        "poplar", "mahogany", "teak", "alder", "elm",   "chestnut", "hornbeam", "iroko"};
    return is_one_of(species, words);
}

/// Every line of a piece, once, in the order of the lines.
template <class Panels>
std::vector<std::string> pieces_of(const Panels& panels) {
    std::vector<std::string> pieces;
    for (const Panel& panel : panels)
        if (std::find(pieces.begin(), pieces.end(), panel.line->piece) == pieces.end())
            pieces.push_back(panel.line->piece);
    return pieces;
}

} // namespace

void say_unwieldy(const std::vector<Panel>& panels, const SheetMaterial& material, const Shop& shop,
                  const std::string& group, std::vector<contract::Finding>& findings) {
    for (const std::string& piece : pieces_of(panels)) {
        std::string parts;
        for (const Panel& panel : panels) {
            if (panel.line->piece != piece) continue;
            const PanelSize outer = panel.outer();
            const double longest = std::max(outer.length, outer.width);
            const double mass = mass_of(panel, material).value_or(0);
            const bool heavy = mass > shop.heaviest_blank.value_or(one_person_lifts);
            if (!heavy && longest <= shop.longest_alone && panel.area() <= shop.largest_alone)
                continue;
            parts += (parts.empty() ? "" : ", ") + panel.name + " (" +
                     length_text(longest, shop.unit) +
                     (mass > 0 ? ", " + mass_text(mass, shop.unit, 0) : "") + ")";
        }
        if (parts.empty()) continue;
        contract::Finding finding{
            Severity::caution, "parts-for-two", "",
            "Two people carry " + parts + ": longer than " +
                length_text(shop.longest_alone, shop.unit) + ", larger than " +
                format_trimmed(shop.largest_alone, 2) + " m2 or heavier than " +
                mass_text(shop.heaviest_blank.value_or(one_person_lifts), shop.unit) + "."};
        finding.step = step_id("cut", group, piece);
        findings.push_back(std::move(finding));
    }
}

void say_dust(const std::vector<Panel>& panels, const SheetMaterial& material,
              const std::string& group, std::vector<contract::Finding>& findings) {
    const bool bound = material.species == "MDF" || material.core == "MDF" ||
                       material.species == "particleboard" || material.core == "particleboard";
    if (panels.empty() || (!bound && !is_hardwood(material.species))) return;
    contract::Finding finding{
        Severity::warning, bound ? "board-dust" : "hardwood-dust", "",
        bound ? "Dust of " + material.species +
                    " is fine and carries its resin deep into the lungs: extract it at the saw and "
                    "wear a mask for fine dust (FFP2 or N95 at least)."
              : "Dust of hardwood such as " + material.species +
                    " can cause cancer of the nose and asthma: extract it at the saw and wear a "
                    "mask for fine dust (FFP2 or N95 at least)."};
    finding.step = step_id("cut", group, panels.front().line->piece);
    findings.push_back(std::move(finding));
}

Stand stand_of(double height, double depth, double mass) {
    Stand stand{height, depth, mass, 0, 0, 0};
    stand.held = mass * standard_gravity * depth / 2 / 1000;
    stand.climbed =
        child * standard_gravity * in_front + child_pull * std::min(height / 1000, pull_height);
    stand.pull = stand.held / (height / 1000);
    return stand;
}

void warn_of_tipping(const contract::FollowRequest& request, const Shop& shop,
                     std::vector<contract::Finding>& findings) {
    const auto fixed = [&](const std::string& piece) {
        const auto rows = request.quantities.find("hardware_kits");
        return rows != request.quantities.end() &&
               std::any_of(rows->second.begin(), rows->second.end(),
                           [&](const contract::QuantityRow& row) {
                               return row.ref == "fixings." + piece && row.value > 0;
                           });
    };
    std::map<std::string, std::vector<const Line*>> pieces;
    for (const Line& line : request.lines)
        if (line.kind == "panel" && !line.piece.empty() && line.derived.contains("length"))
            pieces[line.piece].push_back(&line);
    for (const auto& [piece, lines] : pieces) {
        if (fixed(piece)) continue;
        const auto is_upright = [&, &parts = lines](const Line& line) {
            if (const Json* said = find_value(line, "upright"); said != nullptr)
                return said->get<bool>();
            if (find_value(line, "load") != nullptr) return false;
            const double depth = number(line, "derived.width", 0);
            std::int64_t alike = 0;
            bool carries = false;
            for (const Line* other : parts) {
                if (std::abs(number(*other, "derived.width", 0) - depth) > as_deep) continue;
                const bool shelf = find_value(*other, "load") != nullptr;
                carries = carries || shelf;
                if (!shelf &&
                    number(*other, "derived.length", 0) == number(line, "derived.length", 0))
                    alike += other->count;
            }
            return carries && alike >= 2;
        };
        const Line* upright = nullptr;
        double mass = 0;
        for (const Line* line : lines) {
            mass += number(*line, "derived.mass", 0) * static_cast<double>(line->count);
            if (is_upright(*line) && (upright == nullptr || number(*line, "derived.length") >
                                                                number(*upright, "derived.length")))
                upright = line;
        }
        if (upright == nullptr) continue;
        const Stand stand = stand_of(number(*upright, "derived.length"),
                                     number(*upright, "derived.width"), round_to(mass, 2));
        if (stand.height < tall || stand.held >= stand.climbed) continue;
        contract::Finding finding{
            Severity::warning, "tips-over", upright->id,
            "Nothing of the project holds '" + piece +
                "' to the building, and it can tip over on " +
                "a child: " + length_text(stand.height, shop.unit) + " high and " +
                length_text(stand.depth, shop.unit) + " deep by its upright '" +
                display_name(*upright) + "', its " + mass_text(stand.mass, shop.unit, 0) +
                " of panels hold it with " + format_trimmed(stand.held, 1) +
                " N·m, a child of 27.2 kg who climbs on it turns it with " +
                format_trimmed(stand.climbed, 1) + " N·m, and a pull of " +
                format_trimmed(stand.pull, 0) +
                " N at its top is enough. Add a line of kind fixing that holds it; no test of a "
                "standard is claimed by this."};
        finding.client = true;
        findings.push_back(std::move(finding));
    }
}

} // namespace aumbry::sheet_goods
