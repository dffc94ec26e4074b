#include "hardware_kits/module/kinds.hpp"

#include "aumbry/plugin.hpp"

namespace aumbry::hardware_kits {

using contract::Field;

namespace {

/// A quantity that may be on either side of zero.
Field place_field(std::string name, std::string title, std::string help) {
    return at_least(quantity_field(std::move(name), "mm", std::move(title), std::move(help)), -1e4);
}

Field angle_field(std::string name, std::string title, double usual, std::string help) {
    return with_default(
        at_most(at_least(quantity_field(std::move(name), "deg", std::move(title), std::move(help)),
                         -180),
                180),
        usual);
}

Field torque_field(std::string name, std::string title, std::string help) {
    return at_least(quantity_field(std::move(name), "N·m", std::move(title), std::move(help)),
                    -1e5);
}

} // namespace

contract::LineKind lift_kind() {
    contract::LineKind kind;
    kind.kind = "lift";
    kind.title = "Lift";
    kind.help = "A panel hinged at one edge, with the springs that carry it: chosen from the real "
                "masses of what moves.";
    kind.fields = {
        angle_field("start_angle", "Angle closed", 0,
                    "of the panel above level where opening begins: 0 for a lift-up base, 90 for a "
                    "fold-up panel"),
        angle_field("end_angle", "Angle open", 90, "where opening ends: 0 for a fold-up panel"),
        line_field("kit", "Kit", {"kit"}, "the kit whose mountings and mass limits hold"),
        records_field(
            "moving", "Moving lines", "everything that moves, each with its place",
            {required(line_field("line", "Line", {}, "a line that moves with the panel")),
             place_field("from_hinge", "From the hinge",
                         "distance of its centre of mass from the hinge along the panel"),
             place_field("across", "Across",
                         "distance of its centre from the plane through the hinge, upwards when "
                         "the panel lies level"),
             quantity_field("mass", "kg", "Mass",
                            "of all its items together, when the line does not derive it"),
             choice_field("load", "Belongs to", {"panel", "mattress", "bedding"},
                          "a mattress line counts as mattress, all else as panel")}),
        quantity_field("bedding_mass", "kg", "Bedding, mass", "pillows and covers that stay on it"),
        place_field("bedding_from_hinge", "Bedding, from the hinge", "place of its centre"),
        place_field("bedding_across", "Bedding, across", "place of its centre"),
        quantity_field("weighed_mass", "kg", "Weighed panel",
                       "mass of the finished panel without mattress and bedding; takes the place "
                       "of what is reckoned"),
        place_field("weighed_from_hinge", "Weighed panel, from the hinge",
                    "place of its centre; as reckoned when nothing is said"),
        required(quantity_field("handle_from_hinge", "mm", "Handle, from the hinge",
                                "where the hand takes hold")),
        place_field("handle_across", "Handle, across", "from the plane through the hinge"),
        at_least(quantity_field("hinge_friction", "N·m", "Hinge friction", "against movement"), 0),
        flag_field("start_latched", "Catch when closed", "true when a catch holds it closed"),
        flag_field("end_latched", "Catch when open",
                   "true when a catch, stay or leg holds it open"),
        text_field("spring_model", "Spring", "one model, when only that one will do"),
        with_default(
            at_most(count_field("fewest_springs", "Springs, fewest", "springs fitted at least"),
                    12),
            2),
        with_default(at_most(count_field("most_springs", "Springs, most",
                                         "springs fitted at most; 0 for none"),
                             12),
                     2),
        records_field(
            "mountings", "Mountings", "where springs may sit; the kit's own when nothing is said",
            {text_field("name", "Name", "which holes"),
             required(place_field("fixed_x", "Frame, x",
                                  "end on the frame: level, from the hinge towards the "
                                  "open end of the panel")),
             required(
                 place_field("fixed_y", "Frame, y", "end on the frame: height above the hinge")),
             required(
                 place_field("along", "Panel, along", "end on the panel: from the hinge along it")),
             required(place_field("across", "Panel, across", "end on the panel: off it"))}),
        lines_field("held_by", "Held by", {},
                    "the lines that are its legs, straps, catches and stays, where they are not in "
                    "its kit"),
        quantity_field("wall_behind", "mm", "Wall behind",
                       "level distance from the hinge to the wall or headboard behind it"),
        quantity_field("rail_behind", "mm", "Rail behind",
                       "level distance from the hinge to the rail behind it"),
        place_field("rail_above", "Rail above", "upper edge of that rail above the hinge"),
        quantity_field("ceiling_above", "mm", "Ceiling above",
                       "height of the ceiling above the "
                       "hinge"),
        records_field("torques", "Coils and counterweights",
                      "what turns the panel besides gas springs",
                      {text_field("name", "Name", "which one"),
                       required(torque_field("at_start", "Torque closed",
                                             "in N m; above zero helps to open")),
                       required(torque_field("at_end", "Torque open", "likewise"))}),
    };
    kind.derived = {
        {"moving_mass", "kg", "Moving mass", "everything that moves, mattress and bedding too"},
        {"moving_centre", "mm", "Centre of what moves", "common centre, from the hinge"},
        {"kit_fixes_frame", "", "Kit fixes its frame",
         "1 when a step of the kit's maker fixes the frame to the building"},
        {"panel_mass", "kg", "Mass of the panel", "without mattress and bedding"},
    };
    kind.offers = {{"spring", {{"model", "fields.spring_model"}}}};
    return kind;
}

contract::LineKind fixing_kind() {
    contract::LineKind kind;
    kind.kind = "fixing";
    kind.title = "Fixing to the building";
    kind.help = "What holds a piece to wall or floor. The estimate says what must hold and never "
                "certifies it: a competent person must check.";
    kind.fields = {
        text_field("type", "Type", "what is bought: 'structural screw', 'frame fixing'"),
        quantity_field("diameter", "mm", "Diameter", "of the fixing"),
        quantity_field("length", "mm", "Length", "of the fixing"),
        text_field("product", "Product", "name of it, when only that one will do"),
        text_field(
            "anchor", "Plug or anchor",
            "what sits in the wall round each fixing, as price lists call it; when nothing is "
            "said a 'wall plug' in masonry and concrete, an 'injection anchor' in hollow "
            "masonry; 'none' where the fixing needs none"),
        choice_field("wall", "Wall",
                     {"unknown", "solid masonry", "hollow masonry", "concrete", "timber studs",
                      "metal studs", "plasterboard"},
                     "what the wall is made of; the workshop's wall when nothing is said"),
        required(records_field(
            "rows", "Rows", "rows of equal fixings",
            {required(quantity_field("height", "mm", "Height",
                                     "of the row above the floor, or above the lower edge of what "
                                     "hangs")),
             required(at_most(at_least(count_field("count", "Count", "fixings in the row"), 1),
                              1000))})),
        with_default(
            choice_field("stands", "Carried by", {"floor", "wall"}, "what carries its weight"),
            "floor"),
        quantity_field("depth", "mm", "Depth", "from the wall to its front edge"),
        quantity_field(
            "height", "mm", "Height",
            "of the piece, where a child may pull at it; the highest row when nothing is "
            "said"),
        lines_field("held", "Held", {}, "the lines whose mass it holds"),
        quantity_field("frame_mass", "kg", "Mass held", "instead of the lines held"),
        at_least(quantity_field("mass_from_wall", "mm", "Centre from the wall",
                                "half the depth when nothing is said"),
                 0),
        quantity_field("load", "kg", "Load", "what is put on it besides"),
        at_least(quantity_field("load_from_wall", "mm", "Load from the wall",
                                "half the depth when nothing is said"),
                 0),
        line_field("lift", "Lift", {"lift"}, "the lift that pulls on it"),
        place_field("hinge_from_wall", "Hinge from the wall", "level distance"),
        at_most(number_field("specific_gravity", "Specific gravity",
                             "of the wood that screws go into, oven-dry; 0.35 to 0.7"),
                1.5),
    };
    kind.derived = {{"screws", "", "Fixings", "fixings of one"},
                    {"frame_mass", "kg", "Mass held", "mass of what it holds"}};
    kind.group_by = {"fields.type", "fields.diameter", "fields.length", "fields.product"};
    kind.offers = {{"fastener",
                    {{"type", "fields.type"},
                     {"diameter", "fields.diameter"},
                     {"length", "fields.length"},
                     {"product", "fields.product"}}},
                   {"fastener", {{"type", "fields.anchor"}, {"diameter", "fields.diameter"}}}};
    return kind;
}

} // namespace aumbry::hardware_kits
