#include "solid_stock/module/solid_stock.hpp"

namespace aumbry::solid_stock {

using contract::Field;

namespace {

Field from_zero(Field field) {
    return at_least(std::move(field), 0);
}

contract::LineKind solid_kind() {
    contract::LineKind kind;
    kind.kind = "solid";
    kind.title = "Solid wood";
    kind.help = "A part of solid wood: a rail, a lipping, a slat, a board. Its grain runs along "
                "its length.";
    kind.material_class = "solid";
    kind.fields = {
        required(quantity_field("length", "mm", "Length", "finished length, along the grain")),
        quantity_field("width", "mm", "Width",
                       "finished width; the nominal size gives it when not stated"),
        quantity_field("thickness", "mm", "Thickness",
                       "finished thickness; the nominal size gives it when not stated"),
        text_field("nominal", "Nominal size",
                   "of dressed softwood, in inches by name: '1x4', '2x6' (PS 20)"),
        with_default(choice_field("from", "Made from", {"any", "dressed", "rough"},
                                  "dressed lengths, rough boards, or whichever is cheaper"),
                     "any"),
        flag_field(
            "upright", "Upright",
            "true when its length stands up and its width is the depth of the piece, as of the "
            "side of a bookcase: tells how high the piece is"),
    };
    kind.derived = {{"length", "mm", "Length", "finished"},
                    {"width", "mm", "Width", "finished"},
                    {"thickness", "mm", "Thickness", "finished"},
                    {"area", "m2", "Area", "of one face"},
                    {"edge_length", "mm", "Edge length", "all round the face"},
                    {"volume", "m3", "Volume", "as finished"},
                    {"mass", "kg", "Mass", "of one, when the density is known"}};
    kind.group_by = {"material.species", "material.grade"};
    kind.offers = {{"solid", {{"species", "material.species"}, {"grade", "material.grade"}}}};
    return kind;
}

contract::CatalogClass solid_class() {
    contract::CatalogClass solid;
    solid.name = "solid";
    solid.title = "Solid wood";
    solid.help = "Dressed wood by the length, rough boards by the board foot or cubic metre, "
                 "reclaimed boards by the piece. A material says species and grade.";
    solid.attributes = {
        text_field("species", "Species", "ash, white oak, spruce"),
        text_field("grade", "Grade",
                   "as the list calls it; rough hardwood by NHLA: FAS, No.1 Common"),
        choice_field("form", "Form", {"dressed", "rough"}, "planed to size, or rough sawn"),
        text_field("nominal", "Nominal size",
                   "of dressed softwood: '1x4', which is 3/4 x 3 1/2 in (PS 20)"),
        quantity_field("thickness", "mm", "Thickness",
                       "true when dressed, as graded when rough: 4/4 is 1 in"),
        quantity_field("width", "mm", "Width", "true; absent for boards of random width"),
        quantity_field("length", "mm", "Length", "of one; absent for boards of random length"),
        quantity_field("least_width", "mm", "Least width",
                       "of boards of random width; absent: as the grade has it"),
        quantity_field("least_length", "mm", "Least length",
                       "of boards of random length; absent: as the grade has it"),
        text_field("origin", "Origin",
                   "where old wood comes from: 'reclaimed floor', 'slipway', 'roof beams'"),
        quantity_field("density", "kg/m3", "Density",
                       "at the moisture it is used; from the reference table when not stated"),
        from_zero(quantity_field("bad_ends", "mm", "Bad ends",
                                 "cut off each end of a reclaimed board: checks, nail holes")),
        from_zero(
            quantity_field("preparation", "min", "Preparation",
                           "time to clean, free of nails and straighten one reclaimed board")),
    };
    return solid;
}

} // namespace

contract::Description SolidStockModule::describe() const {
    contract::Description description;
    description.id = "solid_stock";
    description.title = "Solid stock";
    description.version = "0.1.0";
    // Of what steel a piece's fasteners are, hardware kits know.
    description.after = {"hardware_kits"};
    description.line_kinds = {solid_kind()};
    description.catalog_classes = {solid_class()};
    description.tables = {"wood_species"};
    description.settings = {
        with_default(
            from_zero(quantity_field(
                "length_allowance", "mm", "Length allowance",
                "rough length less finished length; removed by the finish cuts (common practice)")),
            50.0),
        with_default(from_zero(quantity_field(
                         "width_allowance", "mm", "Width allowance",
                         "ripped width less finished width, for straightening (common practice)")),
                     6.0),
        with_default(from_zero(quantity_field(
                         "planing", "mm", "Planing",
                         "both faces together, from rough to finished (common practice)")),
                     5.0),
        with_default(at_most(at_least(number_field("acclimatise", "Days to acclimatise",
                                                   "that wood lies in the workshop before it is "
                                                   "dressed; 7 to 14 for wood from outside (common "
                                                   "practice)"),
                                      0),
                             90),
                     0.0),
        with_default(choice_field("order", "Order of cuts", {"crosscut first", "rip first"},
                                  "crosscut first for wood that moves"),
                     "crosscut first"),
        with_default(
            at_most(at_least(number_field("usual_yield", "Usual yield",
                                          "per cent of rough boards of a grade without rule that "
                                          "ends in parts; 70 to 80 is common practice"),
                             5),
                    100),
            75.0),
        with_default(
            from_zero(quantity_field("usual_least_width", "mm", "Usual least width",
                                     "of random boards where neither list nor grade says it "
                                     "(common practice)")),
            100.0),
        with_default(
            from_zero(quantity_field("usual_least_length", "mm", "Usual least length",
                                     "of random boards where neither list nor grade says it "
                                     "(common practice)")),
            2000.0),
        with_default(choice_field("carriage", "Carriage", {"vehicle", "delivered"},
                                  "vehicle: boards are fetched in the project's vehicle where that "
                                  "costs less, the dealer crosscuts what is too long; delivered: "
                                  "they come whole. A material may say its own"),
                     "vehicle"),
        with_default(from_zero(quantity_field(
                         "dealer_end", "mm", "Left at a dealer's crosscut",
                         "on each side of it, for a finish cut of your own (common practice)")),
                     4.0),
        with_default(from_zero(quantity_field("least_offcut_length", "mm", "Offcut worth keeping",
                                              "a shorter end of a board is firewood (common "
                                              "practice)")),
                     500.0),
        with_default(
            from_zero(number_field("minutes_per_piece", "Minutes a piece",
                                   "hands-on time to cut and dress one piece (common practice)")),
            4.0),
        with_default(
            from_zero(number_field("minutes_per_rough_piece", "Minutes a rough piece",
                                   "besides, to plane and square one piece of rough wood (common "
                                   "practice)")),
            6.0),
    };
    return description;
}

} // namespace aumbry::solid_stock
