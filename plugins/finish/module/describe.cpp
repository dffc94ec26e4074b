#include "finish/engine/coats.hpp"
#include "finish/engine/consumables.hpp"
#include "finish/module/finish.hpp"

namespace aumbry::finish {

using contract::Field;

namespace {

Field percent(std::string name, std::string title, std::string help) {
    return at_most(at_least(number_field(std::move(name), std::move(title), std::move(help)), 0),
                   100);
}

std::vector<std::string> substrate_names() {
    std::vector<std::string> names;
    for (const Substrate& substrate : substrates()) names.push_back(substrate.name);
    return names;
}

std::vector<Field> product_fields() {
    return {
        quantity_field("spread_rate", "m2/L", "Spread rate",
                       "what a litre covers in one coat, as the maker states it: 8 to 12 m2/L is "
                       "usual for water-based varnish"),
        at_most(quantity_field("recoat", "min", "Recoat after",
                               "drying time until the next coat, at about 20 degrees: 2 to 4 h for "
                               "water-based varnish"),
                43200),
        texts_field("recoat_points", "Recoat after, by climate",
                    "the product's own data, which take the place of the rule for cold and damp "
                    "air: '10 degC 50 %: 8 h; 20 degC: 4 h; 20 degC 80 %: 6 h'"),
        at_most(quantity_field("cure", "min", "Cured after",
                               "from the last coat until it may be used lightly"),
                86400),
    };
}

Field volume_solids() {
    Field field =
        percent("volume_solids", "Volume solids",
                "per cent of the volume that stays as film, from the product's data sheet");
    field.above_minimum = true;
    return field;
}

std::vector<Field> coat_fields() {
    std::vector<Field> fields{
        required(text_field("product", "Product", "what price lists call it")),
        with_default(
            at_most(at_least(
                        count_field(
                            "coats", "Coats",
                            "how many of this product; four on visible plywood is common practice"),
                        1),
                    20),
            1)};
    for (Field& field : product_fields()) fields.push_back(std::move(field));
    fields.push_back(volume_solids());
    fields.push_back(at_most(quantity_field("film", "mm", "Dry film",
                                            "thickness of a dry coat, as '40 um' or '1.5 mil'; "
                                            "with volume solids it gives the spread rate"),
                             5));
    fields.push_back(
        percent("thinning", "Thinning", "per cent of the product's volume added as thinner"));
    fields.push_back(with_default(
        percent("loss", "Loss", "per cent lost on the tool and in the tin; 10 is common practice"),
        10.0));
    fields.push_back(
        at_most(at_least(number_field("absorption", "First coat takes",
                                      "how many times as much the first coat takes on bare wood, "
                                      "when it is not that of the substrate"),
                         1),
                5));
    fields.push_back(
        text_field("grit", "Abrasive after",
                   "grit used after each of these coats on which another goes, as price lists call "
                   "it: '320'"));
    fields.push_back(
        with_default(choice_field("sanding", "Sanded", {"after each", "between coats"},
                                  "after each of these coats, or between them only: one time fewer "
                                  "than coats"),
                     "after each"));
    return fields;
}

} // namespace

contract::Description FinishModule::describe() const {
    contract::Description description;
    description.id = "finish";
    description.title = "Finish";
    description.version = "0.1.0";
    description.after = {"sheet_goods", "solid_stock"};

    contract::LineKind coating;
    coating.kind = "coating";
    coating.title = "Coating";
    coating.help = "A system of coats on parts, or on a stated area.";
    coating.fields = {
        lines_field("parts", "Parts", {"panel", "solid"},
                    "parts that carry the system; 'bed.*' for all of a piece"),
        with_default(choice_field("faces", "Faces", {"both", "one", "none", "what shows"},
                                  "how many faces of each part carry it; what shows: of a panel "
                                  "as many as its own `faces` says, of solid wood all"),
                     "both"),
        with_default(flag_field("edges", "Edges", "edges carry it too"), true),
        at_least(quantity_field("further_area", "m2", "Further area",
                                "area that is no part: a wall panel that is there already"),
                 0),
        at_least(quantity_field("glued", "m2", "Glued away",
                                "area of faces glued together, which carries nothing"),
                 0),
        with_default(choice_field("substrate", "Substrate", substrate_names(),
                                  "what the first coat meets; decides how much more it takes"),
                     "plywood"),
        required(records_field("coats", "Coats", "the products in the order in which they go on",
                               coat_fields())),
        with_default(choice_field("coated", "Coated", {"assembled", "flat"},
                                  "put together, or as flat parts on the rack before that"),
                     "assembled"),
        with_default(
            flag_field("can_stand", "Parts can stand",
                       "parts stand or hang to dry, so that both faces get a coat in one go"),
            true),
        with_default(flag_field("sprayed", "Sprayed", "applied by spray gun"), false),
    };
    coating.derived = {{"area", "m2", "Area", "that carries the system"}};
    coating.offers = {{"coating", {{"product", "fields.coats.product"}}},
                      {"abrasive", {{"grit", "fields.coats.grit"}}},
                      {"consumable", {}}};
    description.line_kinds = {coating};

    contract::CatalogClass product;
    product.name = "coating";
    product.title = "Coatings";
    product.help = "Varnish, oil, paint by the tin.";
    product.attributes = {
        text_field("product", "Product", "what it is called: the key by which coats find it"),
        quantity_field("volume", "L", "Content", "of one tin"),
        choice_field("product_class", "Class", {"waterborne", "oil", "solvent"},
                     "what evaporates from it or hardens in it")};
    for (Field& field : product_fields()) product.attributes.push_back(std::move(field));
    product.attributes.push_back(volume_solids());
    product.attributes.push_back(
        count_field("shelf_life", "Shelf life", "months that an opened tin keeps"));

    contract::CatalogClass abrasive;
    abrasive.name = "abrasive";
    abrasive.title = "Abrasives";
    abrasive.help = "Paper, discs and pads for between coats.";
    abrasive.attributes = {
        text_field("grit", "Grit", "as printed on it: '320'"),
        quantity_field("covers", "m2", "Covers", "area that one of it sands between coats")};

    contract::CatalogClass consumable;
    consumable.name = "consumable";
    consumable.title = "Consumables";
    consumable.help = "What coating uses up besides: rollers, rags, tape.";
    consumable.attributes = {
        required(text_field("type", "Type", "'roller', 'rag', 'masking tape'"))};
    description.catalog_classes = {product, abrasive, consumable};

    description.settings = {
        with_default(at_least(number_field("minutes_per_m2", "Minutes a square metre",
                                           "hands-on time to put one coat on (common practice)"),
                              0),
                     5.0),
        with_default(
            at_least(number_field(
                         "sanding_minutes_per_m2", "Sanding minutes",
                         "hands-on time to sand a square metre between coats (common practice)"),
                     0),
            3.0),
        with_default(quantity_field("abrasive_covers", "m2", "Abrasive covers",
                                    "area that one piece of abrasive sands when the list does not "
                                    "say (common practice)"),
                     2.0),
        with_default(
            at_least(number_field("bare_sanding_minutes_per_m2", "A round of bare sanding",
                                  "hands-on time to sand a square metre with one grit before the "
                                  "first coat: boards with grits 120 and 180, solid wood with 80 "
                                  "first (common practice); 0: none"),
                     0),
            3.0),
        with_default(at_least(quantity_field("setting_up", "min", "Setting up",
                                             "cleaning, dusting and washing up for each coat"),
                              0),
                     15.0),
    };
    for (const auto& [type, setting, usual] : consumables())
        description.settings.push_back(with_default(
            at_least(quantity_field(setting, "m2", "Area a " + std::string(type),
                                    "area of coats that one of it serves (common practice); 0: not "
                                    "counted"),
                     0),
            usual));
    return description;
}

} // namespace aumbry::finish
