// Glass panes, cut to size and priced by area, with the work on their edges priced by length.
#include <aumbry/plugin.hpp>
#include <aumbry/rounding.hpp>

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
    contract::CatalogClass glass;
    glass.name = "glass";
    glass.title = "Glass";
    glass.help = "glass cut to size, priced by m2";
    glass.attributes = {required(choice_field("type", "Type", {"float", "toughened", "laminated"},
                                              "how it breaks")),
                        required(quantity_field("thickness", "mm", "Thickness",
                                                "4 to 10 mm is usual for shelves"))};
    contract::CatalogClass edge_work;
    edge_work.name = "glass_edge";
    edge_work.title = "Edge of glass";
    edge_work.help = "work on the edges of glass, priced by m";
    edge_work.attributes = {required(
        choice_field("finish", "Finish", {"ground", "polished"}, "what the edge becomes"))};

    contract::LineKind pane;
    pane.kind = "glazing.pane";
    pane.title = "Glass pane";
    pane.help = "a rectangular pane of glass";
    pane.material_class = "glass";
    pane.fields = {
        required(at_most(quantity_field("length", "mm", "Length", "the longer side"), 6000)),
        required(at_most(quantity_field("width", "mm", "Width", "the shorter side"), 3210)),
        with_default(
            choice_field("edge", "Edge", {"cut", "ground", "polished"}, "all four edges alike"),
            "ground")};
    pane.derived = {{"area", "m2", "Area", "of one face"},
                    {"edge_length", "mm", "Edges", "all four"},
                    {"mass", "kg", "Mass", "of one pane"}};
    pane.group_by = {"material"};
    pane.offers = {{"glass", {{"type", "material.type"}, {"thickness", "material.thickness"}}},
                   {"glass_edge", {{"finish", "fields.edge"}}}};

    contract::Description description;
    description.id = "glazing";
    description.title = "Glazing";
    description.version = "1.2.0";
    description.contract = "0.1";
    description.line_kinds = {pane};
    description.catalog_classes = {glass, edge_work};
    return description;
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
        reply.lines.push_back({line.id, values});
        reply.workings.push_back({line.id + ".mass",
                                  "Mass of " + display_name(line),
                                  "area x thickness x density",
                                  {{"area", format_trimmed(area, 6) + " m2", line.id + ".area"},
                                   {"thickness", format_trimmed(thickness, 4) + " mm", ""},
                                   {"density", "2500 kg/m3", "EN 572-1"}},
                                  format_trimmed(number(values, "mass", 0), 4) + " kg",
                                  "EN 572-1"});
    }
    return reply;
}

contract::TakeOffReply Glazing::take_off(const contract::TakeOffRequest& request,
                                         const Host&) const {
    contract::TakeOffReply reply;
    contract::QuantityRow area{request.group + ".area", "Glass", 0, "m2", {}};
    for (const contract::Line& line : request.lines) {
        const double count = static_cast<double>(line.count);
        const double one = number(line, "derived.area", 0);
        area.value += one * count;
        area.lines.push_back(line.id);

        // Panes are made to order: each is bought as one, at the price of its area.
        contract::Amount panes{count, "each", {}};
        contract::Amount edges{
            round_to(number(line, "derived.edge_length", 0) / 1e3 * count, 4), "m", {}};
        const std::string edge = text(line, "edge", "cut");
        for (const contract::Offer& offer : request.offers) {
            if (offer.catalog_class == "glass")
                panes.offers.push_back({offer.id, 1, round_to(one, 6)});
            if (offer.catalog_class == "glass_edge" && text(offer.attributes, "finish") == edge)
                edges.offers.push_back({offer.id, 1, 1});
        }
        reply.demands.push_back({line.id + ".glass",
                                 display_name(line),
                                 {{line.id, one * count}},
                                 panes,
                                 {},
                                 "",
                                 false,
                                 false});
        if (edge != "cut") {
            reply.demands.push_back({line.id + ".edges",
                                     display_name(line) + ": " + edge + " edges",
                                     {{line.id, 1}},
                                     edges,
                                     {},
                                     "",
                                     false,
                                     false});
        } else {
            reply.findings.push_back(
                {contract::Severity::caution, "sharp-edges", line.id,
                 display_name(line) + " has cut edges, which are sharp: handle it with gloves, or "
                                      "have them ground"});
        }
        if (text(line, "material.type", "float") == "float") {
            reply.findings.push_back(
                {contract::Severity::caution, "breaks-into-splinters", line.id,
                 display_name(line) +
                     " is float glass, which breaks into splinters: ask your glazier and local "
                     "rules whether safety glass is needed there"});
        }
        if (panes.offers.empty()) {
            reply.findings.push_back({contract::Severity::problem, "no-glass-offered", line.id,
                                      "no supplier offers the glass of " + display_name(line) +
                                          ": add a price for it, or choose another"});
        }
    }
    area.value = round_to(area.value, 6);
    reply.quantities.push_back(area);
    return reply;
}

} // namespace

AUMBRY_MODULE(Glazing)
