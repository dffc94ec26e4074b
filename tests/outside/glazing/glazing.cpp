// Glass panes, cut to size and priced by area, with the work on their edges priced by length.
#include <aumbry/plugin.hpp>

namespace {

using namespace aumbry;

/// Soda lime glass weighs 2500 kg/m3 (EN 572-1), so a square metre weighs 2.5 kg for each
/// millimetre.
constexpr double density = 2500;

class Glazing final : public Module {
  public:
    contract::Description describe() const override;
    contract::DeriveReply derive(const contract::DeriveRequest& request,
                                 const Host& host) const override;
    contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                    const Host& host) const override;
};

contract::Description Glazing::describe() const {
    const contract::CatalogClass glass{
        .name = "glass",
        .title = "Glass",
        .help = "glass cut to size, priced by m2",
        .attributes = {required(choice_field("type", "Type", {"float", "toughened", "laminated"},
                                             "how it breaks")),
                       required(quantity_field("thickness", "mm", "Thickness",
                                               "4 to 10 mm is usual for shelves"))}};
    const contract::CatalogClass edge_work{
        .name = "glass_edge",
        .title = "Edge of glass",
        .help = "work on the edges of glass, priced by m",
        .attributes = {required(
            choice_field("finish", "Finish", {"ground", "polished"}, "what the edge becomes"))}};
    const contract::LineKind pane{
        .kind = "glazing.pane",
        .title = "Glass pane",
        .help = "a rectangular pane of glass",
        .material_class = "glass",
        .fields =
            {required(at_most(quantity_field("length", "mm", "Length", "the longer side"), 6000)),
             required(at_most(quantity_field("width", "mm", "Width", "the shorter side"), 3210)),
             with_default(choice_field("edge", "Edge", {"cut", "ground", "polished"},
                                       "all four edges alike"),
                          "ground")},
        .derived = {{.name = "area", .unit = "m2", .title = "Area", .help = "of one face"},
                    {.name = "edge_length", .unit = "mm", .title = "Edges", .help = "all four"},
                    {.name = "mass", .unit = "kg", .title = "Mass", .help = "of one pane"}},
        .group_by = {"material"},
        .offers = {{.catalog_class = "glass",
                    .match = {{.attribute = "type", .value = "material.type"},
                              {.attribute = "thickness", .value = "material.thickness"}}},
                   {.catalog_class = "glass_edge",
                    .match = {{.attribute = "finish", .value = "fields.edge"}}}}};
    return {.id = "glazing",
            .title = "Glazing",
            .version = "1.2.0",
            .line_kinds = {pane},
            .catalog_classes = {glass, edge_work}};
}

contract::DeriveReply Glazing::derive(const contract::DeriveRequest& request, const Host&) const {
    contract::DeriveReply reply;
    for (const contract::Line& line : request.lines) {
        const double length = number(line, "length", 0), width = number(line, "width", 0);
        const double area = length * width / 1e6;
        Json values = {{"area", round_to(area, 6)},
                       {"edge_length", round_to(2 * (length + width), 4)}};
        const double thickness = number(line, "material.thickness", 0);
        if (thickness > 0) values["mass"] = round_to(area * thickness / 1e3 * density, 4);
        reply.lines.push_back({.line = line.id, .values = values});
        reply.workings.push_back(
            {.ref = line.id + ".mass",
             .title = "Mass of " + display_name(line),
             .formula = "area x thickness x density",
             .inputs = {{.name = "area",
                         .value = format_trimmed(area, 6) + " m2",
                         .source = line.id + ".area"},
                        {.name = "thickness",
                         .value = length_text(thickness, request.settings.length_unit)},
                        {.name = "density", .value = "2500 kg/m3", .source = "EN 572-1"}},
             .result = format_trimmed(number(values, "mass", 0), 4) + " kg",
             .source = "EN 572-1"});
    }
    return reply;
}

/// Panes are made to order: each is bought as one, at the price of its area.
contract::Demand panes_of(const contract::Line& line, const std::vector<contract::Offer>& offers) {
    const double count = static_cast<double>(line.count);
    const double area = number(line, "derived.area", 0);
    contract::Amount panes{.quantity = count, .unit = "each"};
    for (const contract::Offer& offer : offers) {
        if (offer.catalog_class == "glass")
            panes.offers.push_back({.offer = offer.id, .content = 1, .measure = round_to(area, 6)});
    }
    return {.id = line.id + ".glass",
            .title = display_name(line),
            .shares = {{.line = line.id, .weight = area * count}},
            .amount = panes,
            .returnable = false};
}

/// Work on edges is charged by its exact length: one count holds all of it. With a content of 1 m,
/// 4.6 m would be charged as five.
contract::Demand edges_of(const contract::Line& line, const std::string& finish,
                          const std::vector<contract::Offer>& offers) {
    const double metres =
        round_to(number(line, "derived.edge_length", 0) / 1e3 * static_cast<double>(line.count), 4);
    contract::Amount edges{.quantity = metres, .unit = "m"};
    for (const contract::Offer& offer : offers) {
        if (offer.catalog_class == "glass_edge" && offer.price_unit == "m" && metres > 0 &&
            text(offer.attributes, "finish") == finish)
            edges.offers.push_back(exactly(offer.id, metres));
    }
    return {.id = line.id + ".edges",
            .title = display_name(line) + ": " + finish + " edges",
            .shares = {{.line = line.id, .weight = 1}},
            .amount = edges,
            .returnable = false};
}

contract::TakeOffReply Glazing::take_off(const contract::TakeOffRequest& request,
                                         const Host& host) const {
    contract::TakeOffReply reply;
    contract::QuantityRow area{.ref = request.group + ".area", .title = "Glass", .unit = "m2"};
    for (const contract::Line& line : request.lines) {
        if (host.cancelled()) throw Cancelled{};
        area.value += number(line, "derived.area", 0) * static_cast<double>(line.count);
        area.lines.push_back(line.id);
        contract::Demand panes = panes_of(line, request.offers);
        if (panes.amount->offers.empty()) {
            reply.findings.push_back({.severity = contract::Severity::problem,
                                      .code = "no-glass-offered",
                                      .line = line.id,
                                      .text = "no supplier offers the glass of " +
                                              display_name(line) +
                                              ": add a price for it, or choose another"});
        }
        reply.demands.push_back(std::move(panes));
        const std::string edge = text(line, "edge", "cut");
        if (edge != "cut") {
            reply.demands.push_back(edges_of(line, edge, request.offers));
        } else {
            reply.findings.push_back({.severity = contract::Severity::caution,
                                      .code = "sharp-edges",
                                      .line = line.id,
                                      .text = display_name(line) +
                                              " has cut edges, which are sharp: handle it with "
                                              "gloves, or have them ground"});
        }
        if (text(line, "material.type", "float") == "float") {
            reply.findings.push_back(
                {.severity = contract::Severity::caution,
                 .code = "breaks-into-splinters",
                 .line = line.id,
                 .text = display_name(line) +
                         " is float glass, which breaks into splinters: ask your glazier and "
                         "local rules whether safety glass is needed there"});
        }
    }
    area.value = round_to(area.value, 6);
    reply.quantities.push_back(area);
    return reply;
}

} // namespace

AUMBRY_MODULE(Glazing)
