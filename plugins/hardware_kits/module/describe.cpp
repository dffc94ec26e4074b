#include "hardware_kits/module/hardware_kits_module.hpp"

#include "hardware_kits/engine/lifts/lift_limits.hpp"
#include "hardware_kits/engine/lifts/lift_scenarios.hpp"
#include "hardware_kits/module/kinds.hpp"

namespace aumbry::hardware_kits {

using contract::CatalogClass;
using contract::Field;

namespace {

CatalogClass catalog_class(std::string name, std::string title, std::string help,
                           std::vector<Field> attributes) {
    CatalogClass made;
    made.name = std::move(name);
    made.title = std::move(title);
    made.help = std::move(help);
    made.attributes = std::move(attributes);
    return made;
}

std::vector<CatalogClass> classes() {
    return {
        catalog_class(
            "kit", "Kits", "Kits of fittings, by model.",
            {required(text_field("model", "Model", "as its data sheet calls it")),
             choice_field("hand", "Hand", {"either", "left", "right"}, "the hand it is for"),
             quantity_field("mass", "kg", "Mass", "mass of one, packed")}),
        catalog_class("fastener", "Fasteners",
                      "Screws, dowels, bolts: how many one pack holds stands in the column 'pack'.",
                      {required(text_field("type", "Type", "'screw', 'dowel', 'bolt'")),
                       quantity_field("diameter", "mm", "Diameter", "of thread or dowel"),
                       quantity_field("length", "mm", "Length", "length"),
                       text_field("head", "Head", "'countersunk', 'pan'"),
                       text_field("drive", "Drive", "shape of the driver"),
                       text_field("finish", "Finish", "'zinc', 'brass', 'stainless'"),
                       text_field("product", "Product", "name of the product")}),
        catalog_class("plug", "Plugs", "Wooden plugs over screw heads.",
                      {required(quantity_field("diameter", "mm", "Diameter", "of the hole")),
                       text_field("wood", "Wood", "species")}),
        catalog_class("glue", "Glues", "Glues by the bottle.",
                      {required(text_field("type", "Type", "'wood glue', 'instant glue'")),
                       text_field("product", "Product", "name of the product"),
                       required(quantity_field("content", "L", "Content", "of one bottle"))}),
        catalog_class(
            "spring", "Gas springs",
            "Gas springs as their maker states them at 20 degrees Celsius.",
            {required(text_field("model", "Model", "as its maker calls it")),
             required(quantity_field("force", "N", "Force", "extension force F1")),
             at_least(number_field("progression", "Progression", "F2 / F1, usually 1.2 to 1.4"), 1),
             required(quantity_field("stroke", "mm", "Stroke", "stroke")),
             required(quantity_field("extended_length", "mm", "Extended length",
                                     "between centres of the end fittings")),
             quantity_field("closed_length", "mm", "Closed length", "fully compressed"),
             at_least(quantity_field("friction", "N", "Friction", "against movement"), 0),
             quantity_field("mass", "kg", "Mass", "mass of one")}),
    };
}

} // namespace

contract::Description HardwareKits::describe() const {
    contract::Description description;
    description.id = "hardware_kits";
    description.title = "Hardware kits";
    description.version = "0.1.0";
    description.line_kinds = {kit_kind(), fastener_kind(), lift_kind(), fixing_kind()};
    description.catalog_classes = classes();
    description.tables = {"kits"};
    const auto minutes = [](std::string name, std::string title, std::string help, double usual) {
        return with_default(
            at_least(quantity_field(std::move(name), "min", std::move(title), std::move(help)), 0),
            usual);
    };
    const auto force = [](std::string name, std::string title, std::string help, double usual) {
        return with_default(
            at_least(quantity_field(std::move(name), "N", std::move(title), std::move(help)), 0),
            usual);
    };
    const auto celsius = [](std::string name, std::string title, std::string help, double usual) {
        return with_default(
            at_most(at_least(number_field(std::move(name), std::move(title), std::move(help)), -40),
                    80),
            usual);
    };
    const HandLimits limits;
    const Assumptions assumed;
    description.settings = {
        minutes("minutes_per_fastener", "Time a fastener", "to drill and set one (common practice)",
                0.5),
        minutes("minutes_per_plug", "Time a plug", "to glue and cut one flush (common practice)",
                1.0),
        minutes("minutes_per_glue_metre", "Time a metre of glue",
                "to spread and clamp (common practice)", 1.0),
        minutes("clamping", "Clamping", "time a glued joint rests in clamps (common practice)",
                60.0),
        minutes("minutes_to_weigh", "Time to weigh a panel",
                "before its springs are ordered (common practice)", 10.0),
        minutes("minutes_to_hang", "Time to hang",
                "to hang a panel without a kit (common practice)", 45.0),
        minutes("minutes_to_fit_springs", "Time to fit springs", "without a kit (common practice)",
                30.0),
        minutes("minutes_per_anchor", "Time a fixing",
                "to find the structure, drill and fix (common practice)", 8.0),
        force("hand_open", "Hand, to open", "greatest force (assumed, for one adult)", limits.open),
        force("hand_close", "Hand, to close", "greatest force (assumed, for one adult)",
              limits.close),
        force("hold_back", "Hand, to hold back",
              "above it the panel slams shut or flies open (assumed)", limits.hold_back),
        force("end_hold", "Hold at the ends",
              "least force that must be overcome to leave an end (assumed)", limits.end_hold),
        with_default(at_least(quantity_field("stroke_reserve", "mm", "Stroke kept",
                                             "of a gas spring at both of its ends; 5 mm (common "
                                             "practice)"),
                              0),
                     5.0),
        celsius("rated_temperature", "Springs are rated at", "degrees Celsius (from memory)",
                assumed.rated_temperature),
        celsius("cold", "Coldest", "degrees Celsius in the room (assumed)", assumed.cold),
        celsius("warm", "Warmest", "degrees Celsius in the room (assumed)", assumed.warm),
        with_default(at_most(at_least(number_field("aged_force", "Force of an aged spring",
                                                   "per cent that is left (assumed)"),
                                      1),
                             100),
                     assumed.aged_force * 100),
        with_default(at_most(at_least(number_field("mass_range", "Range of mass",
                                                   "per cent by which real masses differ "
                                                   "(assumed)"),
                                      0),
                             50),
                     assumed.mass_range * 100),
        force("pull_down", "Pull on a panel", "hand pulling a loaded panel down (assumed)", 200),
        with_default(quantity_field("person", "kg", "Person",
                                    "who may sit down on the end of a panel (assumed)"),
                     100.0),
        with_default(at_most(number_field("glue_spread", "Glue spread",
                                          "g/m2 on both faces together; 150 to 200 (from memory)"),
                             2000),
                     180.0),
    };
    return description;
}

} // namespace aumbry::hardware_kits
