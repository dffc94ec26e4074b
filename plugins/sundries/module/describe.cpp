#include "sundries/module/sundries.hpp"

namespace aumbry::sundries {

using contract::Field;

namespace {

std::vector<std::string> phase_list() {
    const auto words = contract::phase_words();
    return {words.begin(), words.end()};
}

/// What the lines of both kinds say of buying.
std::vector<Field> buying_fields() {
    return {
        text_field("type", "Type",
                   "what it is, as price lists call it: 'drawer runner', 'skip hire'"),
        text_field("product", "Product",
                   "the maker's or supplier's name of it, when only that one will do"),
        text_field("sku", "Supplier's number",
                   "one supplier's number, or 'supplier/number', when only that one will do"),
        money_field("price", "Stated price",
                    "price of one unit when it stands on no list: somebody's word or a quote"),
        at_most(at_least(number_field("tax", "Tax on it",
                                      "per cent of tax on the stated price; absent: as the "
                                      "project says of prices without a word on tax"),
                         0),
                100),
        flag_field("tax_included", "Tax included", "true when the stated price has its tax in it"),
        text_field("quoted_by", "Quoted by", "who named the stated price"),
        at_most(count_field("lead_days", "Days to wait",
                            "days until it is in hand, with a stated price"),
                1000),
    };
}

contract::LineKind item_kind() {
    contract::LineKind kind;
    kind.kind = "item";
    kind.title = "Item";
    kind.help = "Anything that is bought by count, length, area, volume or mass and that no other "
                "kind describes.";
    kind.fields = buying_fields();
    kind.fields.push_back(
        text_field("size", "Size", "size as price lists call it: '450 mm', 'M6 x 40'"));
    kind.fields.push_back(text_field("colour", "Colour", "colour as price lists call it"));
    kind.fields.push_back(
        quantity_field("length", "mm", "Length", "length of one, when it is sold by length"));
    kind.fields.push_back(
        quantity_field("area", "m2", "Area", "area of one, when it is sold by area"));
    kind.fields.push_back(
        quantity_field("volume", "L", "Volume", "volume of one, when it is sold by volume"));
    kind.fields.push_back(
        quantity_field("mass", "kg", "Mass bought", "mass of one, when it is sold by mass"));
    kind.fields.push_back(with_default(
        at_most(
            at_least(number_field("waste", "Waste", "per cent bought on top for cutting and loss"),
                     0),
            200),
        0.0));
    kind.fields.push_back(
        quantity_field("item_mass", "kg", "Mass of one",
                       "mass of one as fitted, for weighing what moves and what is carried"));
    kind.fields.push_back(
        at_least(quantity_field("fitting", "min", "Time to fit", "hands-on time to fit one"), 0));
    kind.fields.push_back(with_default(choice_field("phase", "Fitted when", phase_list(),
                                                    "the phase of the work in which it is fitted"),
                                       "fit"));
    kind.derived = {{"mass", "kg", "Mass", "mass of one, when the line states it"}};
    kind.group_by = {"fields.type", "fields.product", "fields.sku", "fields.size", "fields.colour"};
    kind.offers = {{"item",
                    {{"type", "fields.type"},
                     {"product", "fields.product"},
                     {"size", "fields.size"},
                     {"colour", "fields.colour"}}}};
    return kind;
}

contract::LineKind service_kind() {
    contract::LineKind kind;
    kind.kind = "service";
    kind.title = "Service";
    kind.help = "Work or a thing of others for a time: hire, a visit, disposal, installation.";
    kind.fields = buying_fields();
    kind.fields.push_back(quantity_field("time", "min", "Time",
                                         "time of one, when it is charged by the hour: '3 h'"));
    kind.fields.push_back(at_most(
        at_least(number_field("days", "Days", "days of one, when it is charged by the day"), 0.25),
        1000));
    kind.fields.push_back(
        at_most(quantity_field("distance", "mm", "Distance",
                               "distance of one, when it is charged by the way: '24 km'"),
                1e10));
    kind.fields.push_back(choice_field(
        "phase", "Needed for", phase_list(),
        "the phase of its piece that it must be there for: hire for \"cut\", a permit for "
        "\"carry_in\"; absent: some time before the end"));
    kind.group_by = {"fields.type", "fields.product", "fields.sku"};
    kind.offers = {{"service", {{"type", "fields.type"}, {"product", "fields.product"}}}};
    return kind;
}

} // namespace

contract::Description Sundries::describe() const {
    contract::Description description;
    description.id = "sundries";
    description.title = "Sundries";
    description.version = "0.1.0";
    description.line_kinds = {item_kind(), service_kind()};

    contract::CatalogClass item;
    item.name = "item";
    item.title = "Items";
    item.help = "Small things: what one is, and how much of it one purchase holds when it is sold "
                "by measure.";
    item.attributes = {text_field("type", "Type", "what it is: 'drawer runner'"),
                       text_field("product", "Product", "name of the product"),
                       text_field("size", "Size", "'450 mm', 'M6 x 40'"),
                       text_field("colour", "Colour", "colour"),
                       quantity_field("length", "mm", "Length", "length of one piece or roll"),
                       quantity_field("area", "m2", "Area", "area of one piece or roll"),
                       quantity_field("volume", "L", "Volume", "volume of one"),
                       quantity_field("mass", "kg", "Mass", "mass of one")};
    contract::CatalogClass service;
    service.name = "service";
    service.title = "Services";
    service.help = "Hire, visits, disposal, installation: what one purchase covers.";
    service.charge = contract::Charge::service;
    service.attributes = {
        text_field("type", "Type", "what it is: 'skip hire'"),
        text_field("product", "Product", "name of the service"),
        quantity_field("time", "min", "Time", "time that one purchase covers"),
        at_most(at_least(number_field("days", "Days", "days that one purchase covers"), 0.25),
                1000),
        at_most(quantity_field("distance", "mm", "Distance", "distance that one purchase covers"),
                1e10)};
    description.catalog_classes = {item, service};
    return description;
}

} // namespace aumbry::sundries
