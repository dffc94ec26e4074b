#include "hardware_kits/module/kinds.hpp"

#include "aumbry/plugin.hpp"
#include "hardware_kits/engine/fasteners/joints.hpp"

namespace aumbry::hardware_kits {

using contract::Field;

contract::LineKind kit_kind() {
    contract::LineKind kind;
    kind.kind = "kit";
    kind.title = "Kit";
    kind.help = "A maker's kit of fittings, with its data sheet in the reference table 'kits'.";
    kind.fields = {
        required(
            text_field("model", "Model", "the kit, as its data sheet and price lists call it")),
        line_field("mattress", "Mattress", {"mattress"},
                   "the mattress that its plan is re-dimensioned for"),
        choice_field("hand", "Hand", {"either", "left", "right"}, "the hand that the piece needs"),
        quantity_field("panel_thickness", "mm", "Thickness of the panel",
                       "of the material that its plates are screwed to"),
        quantity_field("moving_mass", "kg", "Moving mass",
                       "mass that it moves, its mattress too, when no lift line names the kit"),
        choice_field("cut_step", "Rounded to",
                     {"0.1 mm", "0.5 mm", "1 mm", "1/16 in", "1/32 in", "1/64 in"},
                     "what cut sizes of its plan are rounded to; 1 mm or 1/16 in when nothing is "
                     "said"),
        records_field(
            "changes", "Left out and added", "parts of the box left out, and parts added to it",
            {required(text_field("item", "Part", "name of the part")),
             required(at_least(
                 count_field("count", "Count", "how many are added; below zero: left out"), -1e6)),
             required(text_field("reason", "Reason", "why; it is printed beside the part"))}),
    };
    kind.derived = {
        {"mass", "kg", "Mass", "mass of one kit as fitted"},
        {"plan_width_shift", "mm", "Shift in width", "mattress width less the plan's"},
        {"plan_length_shift", "mm", "Shift in length", "mattress length less the plan's"},
        {"plan_thickness_shift", "mm", "Shift in thickness", "mattress thickness less the plan's"},
        {"panel_length", "mm", "Panel, length", "cut size of its plan"},
        {"panel_width", "mm", "Panel, width", "cut size of its plan"},
        {"frame_length", "mm", "Frame, length inside", "cut size of its plan"},
        {"frame_width", "mm", "Frame, width inside", "cut size of its plan"},
        {"frame_depth", "mm", "Frame, depth", "cut size of its plan"},
        {"frame_height", "mm", "Frame, height", "cut size of its plan"},
        {"pivot_height", "mm", "Pivot, height", "place of the pivot, fixed by the kit"},
        {"pivot_setback", "mm", "Pivot, setback", "place of the pivot, fixed by the kit"},
    };
    kind.group_by = {"fields.model", "fields.hand"};
    kind.offers = {{"kit", {{"model", "fields.model"}}}};
    return kind;
}

contract::LineKind fastener_kind() {
    const Joint usual;
    contract::LineKind kind;
    kind.kind = "fastener";
    kind.title = "Fastener";
    kind.help = "Screws, dowels, bolts by joint or by count, with plugs over visible heads; and "
                "glue by joint.";
    kind.fields = {
        required(text_field("type", "Type",
                            "what it is, as price lists call it: 'screw', 'dowel', 'bolt', 'wood "
                            "glue', 'instant glue'; whatever ends in 'glue' is bought by volume")),
        quantity_field("diameter", "mm", "Diameter", "of thread or dowel"),
        quantity_field("length", "mm", "Length",
                       "when it is settled; otherwise chosen among those offered"),
        text_field("head", "Head", "'countersunk', 'pan'"),
        text_field("finish", "Finish", "'zinc', 'brass', 'stainless'"),
        text_field("product", "Product", "name of it, when only that one will do"),
        records_field(
            "joints", "Joints",
            "the joints of one item of the line; without them the line counts pieces",
            {text_field("name", "Name", "which joint"),
             required(quantity_field("length", "mm", "Length", "length of the joint")),
             quantity_field("width", "mm", "Width", "width glued, for glue"),
             with_default(at_least(count_field("count", "Count", "equal joints"), 1), 1)}),
        with_default(quantity_field("spacing", "mm", "Spacing",
                                    "greatest distance between neighbours; 150 to 200 mm (common "
                                    "practice)"),
                     usual.spacing),
        with_default(at_least(quantity_field("end_distance", "mm", "End distance",
                                             "of the first and last from the ends; 40 to 50 mm "
                                             "(common practice)"),
                              0),
                     usual.end_distance),
        with_default(at_most(at_least(count_field("least", "At least", "a joint"), 1), 1000),
                     usual.min_count),
        quantity_field("fixed_thickness", "mm", "Thickness fixed",
                       "of the part that the head sits in, or that a dowel is drilled into flat"),
        quantity_field("receiving_depth", "mm", "Depth that receives it",
                       "wood that the point or the dowel may go into"),
        at_least(
            quantity_field("counterbore", "mm", "Counterbore", "depth of the hole over the head"),
            0),
        choice_field(
            "into", "Bites into", {"face", "edge"},
            "a face, or the edge of a panel, which holds less; an edge where the wood that "
            "receives it is more than twice as deep as what is fixed, when nothing is "
            "said"),
        quantity_field("penetration", "mm", "Penetration",
                       "wanted into the receiving part; when nothing is said as much as is fixed, "
                       "into an edge twice that"),
        at_least(quantity_field("cover", "mm", "Cover",
                                "wood left before the far side; 2 mm for screws, 5 mm for dowels"),
                 0),
        flag_field("visible", "Visible", "true when heads show and get plugs"),
        quantity_field("plug_diameter", "mm", "Plug, diameter",
                       "hole over the head: 8, 10 or 12 mm (common practice)"),
        text_field("plug_wood", "Plug, wood", "species of the plug"),
        quantity_field("head_diameter", "mm", "Head, diameter", "the plug's hole must take it"),
        lines_field("dowels", "Dowels", {"fastener"},
                    "for glue: lines of dowels that it glues in besides its joints"),
        quantity_field("alternate", "mm", "Alternate glues every",
                       "wood glue and instant glue take turns every so much; 100 mm (common "
                       "practice)"),
        choice_field("phase", "Set when", {"assemble", "fasten", "fit", "install"},
                     "the phase of the work in which it is set; absent: glue and dowels as parts "
                     "are put together, all else after that"),
    };
    kind.derived = {{"pieces", "", "Pieces", "pieces for one item of the line"}};
    kind.group_by = {"fields.type", "fields.diameter", "fields.head", "fields.finish",
                     "fields.product"};
    kind.offers = {{"fastener",
                    {{"type", "fields.type"},
                     {"diameter", "fields.diameter"},
                     {"head", "fields.head"},
                     {"finish", "fields.finish"},
                     {"product", "fields.product"}}},
                   {"plug", {{"diameter", "fields.plug_diameter"}}},
                   {"glue", {{"type", "fields.type"}, {"product", "fields.product"}}}};
    return kind;
}

} // namespace aumbry::hardware_kits
