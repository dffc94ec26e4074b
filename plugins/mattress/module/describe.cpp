#include "mattress/module/mattress_module.hpp"

#include "mattress/engine/fit.hpp"

namespace aumbry::mattress {

using contract::Field;

namespace {

contract::LineKind mattress_kind() {
    contract::LineKind kind;
    kind.kind = "mattress";
    kind.title = "Mattress";
    kind.help = "A mattress: its size decides the bed, its mass the lift.";
    kind.fields = {
        choice_field("region", "Region", {"US", "EU", "UK", "AU", "JP"},
                     "where nominal sizes are taken from; EU when nothing is said"),
        text_field("size", "Nominal size",
                   "name of a nominal size of the region: 'queen', '160 x 200'"),
        quantity_field("width", "mm", "Width",
                       "width, free or as measured; wins over the nominal size"),
        quantity_field("length", "mm", "Length",
                       "length, free or as measured; wins over the nominal size"),
        required(quantity_field("thickness", "mm", "Thickness", "thickness, unloaded")),
        text_field("model", "Model", "the maker's name of it, when only that one will do"),
        text_field("firmness", "Firmness", "how firm, as price lists call it: 'medium firm'"),
        quantity_field("mass", "kg", "Mass of one", "as weighed or as its maker states; wins"),
        text_field("construction", "Construction",
                   "a construction of known density: 'foam, high density', 'latex'"),
        quantity_field("density", "kg/m3", "Density", "density over the whole thickness"),
        records_field(
            "layers", "Layers", "layers from below upwards; together as thick as the mattress",
            {text_field("name", "Name", "what the layer is"),
             required(quantity_field("thickness", "mm", "Thickness", "thickness of the layer")),
             required(quantity_field("density", "kg/m3", "Density", "density of the layer"))}),
        at_least(quantity_field("cover_mass", "kg", "Mass of the cover",
                                "mass of cover and border, on top of the layers"),
                 0),
        at_least(quantity_field("ease", "mm", "Ease at the sides",
                                "room between mattress and frame on each side; 10 to 20 mm is "
                                "usual (common practice)"),
                 0),
        at_least(quantity_field("ease_ends", "mm", "Ease at the ends",
                                "room at head and foot; as at the sides when nothing is said"),
                 0),
        quantity_field("frame_width", "mm", "Frame, width inside",
                       "when the room or a kit fixes it; otherwise width and ease give it"),
        quantity_field("frame_length", "mm", "Frame, length inside",
                       "when the room or a kit fixes it; otherwise length and ease give it"),
        at_least(quantity_field("base_height", "mm", "Height of the base",
                                "top of what carries the mattress, above the floor"),
                 0),
        at_least(quantity_field("frame_height", "mm", "Height of the frame",
                                "upper edge of the frame, above the floor"),
                 0),
        flag_field("clients_own", "The client's own",
                   "true when it is there already: it is measured, and nobody buys it"),
        flag_field("rolled", "Rolled", "true when it comes rolled and has to rest"),
        at_most(at_least(number_field("rest_days", "Days to rest",
                                      "days to unroll and air before use, as its maker states"),
                         0),
                60),
    };
    kind.derived = {
        {"width", "mm", "Width", "nominal or measured width"},
        {"length", "mm", "Length", "nominal or measured length"},
        {"thickness", "mm", "Thickness", "thickness, unloaded"},
        {"mass", "kg", "Mass", "mass of one"},
        {"frame_width", "mm", "Frame, width inside", "inside width of the frame that it lies in"},
        {"frame_length", "mm", "Frame, length inside",
         "inside length of the frame that it lies in"},
        {"lying_height", "mm", "Lying height", "top of the mattress above the floor"},
    };
    kind.group_by = {"fields.model", "fields.firmness", "derived.width", "derived.length",
                     "derived.thickness"};
    kind.offers = {{"mattress",
                    {{"model", "fields.model"},
                     {"width", "derived.width"},
                     {"length", "derived.length"},
                     {"firmness", "fields.firmness"}}}};
    return kind;
}

} // namespace

contract::Description MattressModule::describe() const {
    contract::Description description;
    description.id = "mattress";
    description.title = "Mattresses";
    description.version = "0.1.0";
    description.line_kinds = {mattress_kind()};

    contract::CatalogClass mattress;
    mattress.name = "mattress";
    mattress.title = "Mattresses";
    mattress.help = "Mattresses by size; width and length are needed to be found.";
    mattress.attributes = {
        text_field("model", "Model", "the maker's name of it"),
        required(quantity_field("width", "mm", "Width", "nominal width")),
        required(quantity_field("length", "mm", "Length", "nominal length")),
        quantity_field("thickness", "mm", "Thickness", "thickness"),
        quantity_field("mass", "kg", "Mass", "mass of one"),
        text_field("firmness", "Firmness", "'medium firm'"),
        text_field("construction", "Construction", "'foam, high density', 'latex'"),
        flag_field("rolled", "Rolled", "true when it comes rolled"),
        flag_field("returnable", "Returnable", "false when an opened one is not taken back"),
    };
    description.catalog_classes = {mattress};
    description.tables = {"mattress_sizes", "foam_densities"};
    const EaseLimits limits;
    description.settings = {
        with_default(at_least(quantity_field("tolerance", "mm", "Tolerance",
                                             "plus or minus on width and length; 20 mm (EN 1334, "
                                             "from memory)"),
                              0),
                     usual_tolerance),
        with_default(at_least(quantity_field("least_ease", "mm", "Least ease",
                                             "on each side of the largest mattress within "
                                             "tolerance (common practice)"),
                              0),
                     limits.min_at_largest),
        with_default(at_least(quantity_field("most_ease", "mm", "Most ease",
                                             "on each side of the smallest mattress within "
                                             "tolerance (common practice)"),
                              0),
                     limits.max_at_smallest),
        with_default(at_least(quantity_field("minutes_to_place", "min", "Time to place",
                                             "hands-on time to unroll and place one (common "
                                             "practice)"),
                              0),
                     15.0),
    };
    return description;
}

} // namespace aumbry::mattress
