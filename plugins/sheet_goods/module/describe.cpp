#include "sheet_goods/module/describe.hpp"

#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/shop.hpp"

#include "aumbry/plugin.hpp"

namespace aumbry::sheet_goods {

using contract::Field;

namespace {

Field length_from_zero(std::string name, std::string title, std::string help) {
    return at_least(quantity_field(std::move(name), "mm", std::move(title), std::move(help)), 0);
}

Field edge_field(const char* name, std::string help) {
    return record_field(
        name, std::string(name) + " edge", std::move(help),
        {with_default(choice_field("treatment", "Treatment",
                                   {"raw", "rounded", "banded", "lipped", "scribed"},
                                   "raw as sawn, rounded over, banded with edging from the roll, "
                                   "lipped with solid wood, or scribed to a wall"),
                      "raw"),
         quantity_field("thickness", "mm", "Thickness",
                        "of banding (as the material says, or 0.5 mm) or lipping (6 mm); it is "
                        "part of the finished size"),
         length_from_zero("allowance", "Allowance",
                          "left on by the saw for what follows; for a scribed edge the scribing "
                          "allowance when not stated"),
         length_from_zero(
             "overhang", "Overhang",
             "banding or lipping stands over by so much all round until it is flushed"),
         text_field("edging", "Edging",
                    "species of the banding, when it is not that of the material"),
         line_field("lipping", "Lipping", {"solid"},
                    "the solid part that the edge is lipped with: it is made first")});
}

contract::LineKind panel_kind() {
    contract::LineKind kind;
    kind.kind = "panel";
    kind.title = "Panel";
    kind.help = "A flat part cut from a sheet. Its front and back edges run along its length, its "
                "left and right ends along its width.";
    kind.material_class = "sheet";
    kind.fields = {
        required(
            quantity_field("length", "mm", "Length",
                           "finished length, edging included; of a tapered part along its front")),
        required(
            quantity_field("width", "mm", "Width",
                           "finished width, edging included; of a tapered part at its left end")),
        quantity_field("length_back", "mm", "Length at the back",
                       "finished length along the back of a part that is tapered to a wall; the "
                       "left end is square"),
        quantity_field("width_right", "mm", "Width at the right",
                       "finished width at the right end of a part that is tapered to a wall"),
        with_default(choice_field("grain", "Grain", {"length", "width", "any"},
                                  "which way the grain runs on the part; any: as it cuts best"),
                     "length"),
        with_default(at_most(count_field("faces", "Faces showing", "0, 1 or 2 faces that show"), 2),
                     1),
        text_field(
            "show_grade", "Grade that shows",
            "least grade of a face that shows, when it is not the grade of the material's face"),
        record_field("edges", "Edges", "what is done to each edge; raw when not stated",
                     {edge_field("front", "along the length, towards the viewer or down"),
                      edge_field("back", "along the length, opposite the front"),
                      edge_field("left", "the end from which lengths are measured"),
                      edge_field("right", "the end opposite")}),
        choice_field("hand", "Hand", {"left", "right", "pair"},
                     "said on the label; of a pair every second part is the mirror image of what "
                     "is described here, its left and right edges change places"),
        text_field("match", "Match group",
                   "parts of one group are cut side by side so that the grain runs on from one to "
                   "the next: a bank of drawer fronts"),
        count_field("match_place", "Place in the group",
                    "1 for the first part of the group; in document order when not stated"),
        choice_field("match_run", "Parts follow", {"length", "width"},
                     "the parts of the group follow one another along their length or along their "
                     "width; with the grain when not stated"),
        records_field(
            "seams", "Seams", "where a panel larger than a sheet is put together",
            {required(
                 quantity_field("at", "mm", "Position", "from the left end, or from the front")),
             with_default(
                 choice_field("along", "Measured along", {"length", "width"},
                              "length: the seam runs across the panel; width: it runs along it"),
                 "length"),
             with_default(choice_field("joint", "Joint",
                                       {"butt", "tongue", "spline", "lap", "dowel"},
                                       "how the sections are joined"),
                          "butt"),
             length_from_zero("overlap", "Overlap", "what a tongue or lap takes beyond the seam"),
             with_default(flag_field("cover_strip", "Cover strip", "a strip covers the seam"),
                          false)}),
        record_field(
            "load", "Load", "what the panel carries as a shelf",
            {required(quantity_field("mass", "kg", "Mass",
                                     "all that lies on it, evenly spread; books are 20 to 40 kg a "
                                     "metre (common practice)")),
             with_default(
                 flag_field("own_mass", "With its own mass", "the panel's own mass counts too"),
                 true),
             quantity_field("span", "mm", "Span", "between supports; the length when not stated"),
             quantity_field("depth", "mm", "Depth", "that carries; the width when not stated"),
             at_most(at_least(number_field("creep", "Creep",
                                           "a long load sags so many times as far as at once; the "
                                           "module's setting when not stated"),
                              1),
                     10),
             quantity_field(
                 "limit", "mm", "Limit",
                 "sag that is still good; the module's share of the span when not stated"),
             with_default(choice_field("support", "Support", {"both ends", "clamped", "one end"},
                                       "lies on both ends; held at both ends so that it cannot "
                                       "turn; or stands out from a wall"),
                          "both ends")}),
        flag_field("upright", "Upright",
                   "true when its length stands up, as of the sides of a case: tells how high the "
                   "piece is; of a pair as deep as loaded shelves that is taken so"),
        line_field("groove_for", "Groove for", {"panel"},
                   "the panel that sits in a groove or housing of this one: its true thickness "
                   "decides the groove"),
    };
    kind.derived = {
        {"length", "mm", "Length", "finished, the longer side of a tapered part"},
        {"width", "mm", "Width", "finished, the wider end of a tapered part"},
        {"thickness", "mm", "Thickness", "true thickness where it is known, else nominal"},
        {"cut_length", "mm", "Cut length", "of the blank"},
        {"cut_width", "mm", "Cut width", "of the blank"},
        {"area", "m2", "Area", "of one face as finished"},
        {"edge_length", "mm", "Edge length", "all round, as finished"},
        {"banding", "mm", "Banding", "length of the banded edges, as finished"},
        {"volume", "m3", "Volume", "as finished"},
        {"mass", "kg", "Mass", "of one, when the density is known"},
        {"sag", "mm", "Sag", "under its load after long time, when it states a load"}};
    for (const std::string& attribute : specification())
        kind.group_by.push_back("material." + attribute);
    kind.offers = {{"sheet",
                    {{"species", "material.species"},
                     {"core", "material.core"},
                     {"thickness", "material.thickness"},
                     {"colour", "material.colour"}}},
                   {"edging", {}}};
    return kind;
}

contract::CatalogClass sheet_class() {
    contract::CatalogClass sheet;
    sheet.name = "sheet";
    sheet.title = "Sheets";
    sheet.help = "Plywood, board and other sheets. A material states what parts need; size, and "
                 "what one offer is made of, comes from price lists.";
    sheet.attributes = {
        text_field("species", "Species", "wood or stuff of the faces: birch, poplar, oak, MDF"),
        text_field(
            "core", "Core",
            "what lies between the faces, when it is not the same: veneer, MDF, particleboard"),
        text_field("grade", "Grade", "grades of face and back: 'BB/CP', 'II/III', 'A-1'"),
        text_field("face_grade", "Face grade", "of the better face, when `grade` does not say it"),
        text_field("back_grade", "Back grade", "of the other face, when `grade` does not say it"),
        text_field("colour", "Colour", "colour or decor of a faced board"),
        // What lies outside these is a slip of the unit or of the decimal sign.
        at_most(quantity_field("thickness", "mm", "Thickness", "nominal, as price lists call it"),
                120),
        quantity_field("true_thickness", "mm", "True thickness",
                       "as measured, or as its maker states it"),
        at_most(at_least(quantity_field("length", "mm", "Length", "of the sheet"), 20), 6500),
        at_most(at_least(quantity_field("width", "mm", "Width", "of the sheet"), 20), 6500),
        choice_field("grain", "Grain", {"length", "width", "none"},
                     "which way the grain of the faces runs"),
        quantity_field("density", "kg/m3", "Density", "from the reference table when not stated"),
        quantity_field("modulus_along", "N/mm2", "Modulus along",
                       "of elasticity in bending, along the grain of the faces"),
        quantity_field("modulus_across", "N/mm2", "Modulus across",
                       "of elasticity in bending, across the grain of the faces"),
        text_field("edging", "Edging",
                   "species of the banding of parts made of it, when it is not its own; an edge "
                   "may say another"),
        quantity_field("edging_thickness", "mm", "Edging thickness",
                       "of that banding; 0.5 mm (0.02 in) when not stated"),
        length_from_zero(
            "clean_up", "Clean-up",
            "cut off every edge of this sheet or offcut, when it is not the workshop's"),
    };
    return sheet;
}

contract::CatalogClass edging_class() {
    contract::CatalogClass edging;
    edging.name = "edging";
    edging.title = "Edging";
    edging.help = "Banding by the roll or length.";
    edging.attributes = {
        text_field("species", "Species", "wood or stuff: birch, ABS"),
        text_field("colour", "Colour", "colour or decor"),
        quantity_field("thickness", "mm", "Thickness", "of the band"),
        quantity_field("width", "mm", "Width", "of the band; wider than the panel is thick"),
        quantity_field("length", "mm", "Length",
                       "of one roll or length; sold by the metre when not stated")};
    return edging;
}

} // namespace

contract::Description describe_module() {
    contract::Description description;
    description.id = "sheet_goods";
    description.title = "Sheet goods";
    description.version = "0.1.0";
    // Whether a piece is fixed to the building, hardware kits know.
    description.after = {"hardware_kits"};
    description.line_kinds = {panel_kind()};
    description.catalog_classes = {sheet_class(), edging_class()};
    description.tables = {"panel_materials", "sheet_grades"};
    description.settings = setting_fields();
    return description;
}

} // namespace aumbry::sheet_goods
