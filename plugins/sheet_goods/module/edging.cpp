#include "sheet_goods/module/edging.hpp"

#include "sheet_goods/module/text.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <optional>

namespace aumbry::sheet_goods {

namespace {

using contract::Severity;

/// What is needed of one kind of band.
struct BandNeed {
    std::string species;
    double thickness = 0; ///< mm
    double width = 0;     ///< mm, at least
    double length = 0;    ///< m
    std::vector<contract::Share> shares;
};

std::vector<BandNeed> band_needs(const std::vector<Panel>& panels, const SheetMaterial& material,
                                 double overlength) {
    std::vector<BandNeed> needs;
    for (const Panel& panel : panels) {
        const auto lengths = panel.edge_lengths();
        for (std::size_t side = 0; side < panel.edges.size(); ++side) {
            const Edge& edge = panel.edges[side];
            if (edge.treatment != Treatment::banded) continue;
            const std::string species = edge.edging.empty() ? material.species : edge.edging;
            const double width = round_to(material.part_thickness() + 2 * edge.overhang, 4);
            const double metres = round_to((lengths[side] + 2 * edge.overhang + 2 * overlength) /
                                               1000 * static_cast<double>(panel.line->count),
                                           6);
            auto need = std::find_if(needs.begin(), needs.end(), [&](const BandNeed& n) {
                return n.species == species && n.thickness == edge.thickness;
            });
            if (need == needs.end())
                need = needs.insert(needs.end(), {species, edge.thickness, 0, 0, {}});
            need->width = std::max(need->width, width);
            need->length = round_to(need->length + metres, 6);
            const auto share =
                std::find_if(need->shares.begin(), need->shares.end(),
                             [&](const contract::Share& s) { return s.line == panel.line->id; });
            if (share == need->shares.end())
                need->shares.push_back({panel.line->id, metres});
            else
                share->weight = round_to(share->weight + metres, 6);
        }
    }
    return needs;
}

std::optional<contract::AmountOffer> content_of(const contract::Offer& offer) {
    const double length = number(offer.attributes, "length", 0) / 1000;
    const bool by_count =
        offer.price_unit == "each" || offer.price_unit == "pack" || offer.price_unit.empty();
    if (by_count) {
        if (length <= 0) return std::nullopt;
        return contract::AmountOffer{offer.id, round_to(length * offer.pack, 6), 0};
    }
    try {
        if (dimension_of_unit(offer.price_unit) != dimension::length) return std::nullopt;
        if (length <= 0)
            return contract::AmountOffer{offer.id, in_unit(from_unit(1, offer.price_unit), "m"), 1};
        return contract::AmountOffer{
            offer.id, round_to(length * offer.pack, 6),
            round_to(in_unit(from_unit(length * offer.pack, "m"), offer.price_unit), 6)};
    } catch (const FaultError&) {
        return std::nullopt;
    }
}

bool serves(const contract::Offer& offer, const BandNeed& need) {
    const double thickness = number(offer.attributes, "thickness", 0);
    const double width = number(offer.attributes, "width", 0);
    return offer.catalog_class == "edging" && text(offer.attributes, "species") == need.species &&
           round_to(thickness - need.thickness, 4) == 0 && width >= need.width;
}

} // namespace

double treated_length(const Panel& panel, Treatment treatment) {
    double length = 0;
    const auto lengths = panel.edge_lengths();
    for (std::size_t side = 0; side < panel.edges.size(); ++side) {
        if (panel.edges[side].treatment == treatment) length += lengths[side] / 1000;
    }
    return length;
}

void take_off_edging(const contract::TakeOffRequest& request, const std::vector<Panel>& panels,
                     const SheetMaterial& material, const Shop& shop, const std::string& group,
                     contract::TakeOffReply& reply) {
    std::size_t number_of_need = 0;
    for (const BandNeed& need : band_needs(panels, material, shop.edging_overlength)) {
        ++number_of_need;
        contract::Demand demand;
        demand.id =
            group + ".edging" + (number_of_need > 1 ? "_" + std::to_string(number_of_need) : "");
        const std::string what = length_text(need.thickness, shop.unit) + ' ' + need.species +
                                 " edging, at least " + length_text(need.width, shop.unit) +
                                 " wide";
        demand.title = what;
        demand.shares = need.shares;
        demand.amount.emplace();
        demand.amount->quantity = need.length;
        demand.amount->unit = "m";
        for (const contract::Offer& offer : request.offers) {
            if (!serves(offer, need)) continue;
            if (auto content = content_of(offer)) demand.amount->offers.push_back(*content);
        }
        contract::QuantityRow row{demand.id, what, need.length, "m", {}};
        contract::Working working;
        working.ref = demand.id;
        working.title = "Banding needed";
        working.formula =
            "sum over banded edges of (finished length + 2 x overhang + 2 x overlength) x count";
        for (const contract::Share& share : need.shares) {
            row.lines.push_back(share.line);
            working.inputs.push_back(
                {share.line, format_trimmed(share.weight, 3) + " m", share.line + ".banding"});
        }
        working.inputs.push_back({"overlength", length_text(shop.edging_overlength, shop.unit),
                                  "settings.sheet_goods.edging_overlength"});
        working.result = format_trimmed(need.length, 3) + " m";
        working.source = "common practice";
        if (demand.amount->offers.empty()) {
            reply.findings.push_back(
                {Severity::problem, "edging-not-offered", need.shares.front().line,
                 "Nobody offers " + what + ": add it to a price list, or choose another edge."});
        }
        reply.quantities.push_back(std::move(row));
        reply.workings.push_back(std::move(working));
        reply.demands.push_back(std::move(demand));
    }
}

} // namespace aumbry::sheet_goods
