#include "aumbry/supplier.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/fields.hpp"

#include <algorithm>
#include <array>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

Field supplier_field(std::string name, FieldType type, std::string title, std::string help) {
    Field made = field(std::move(name), type, std::move(title), std::move(help));
    if (type == FieldType::money || type == FieldType::count) made.minimum = 0;
    return made;
}

Field in_unit_of(Field made, std::string unit) {
    made.unit = std::move(unit);
    made.minimum = 0;
    return made;
}

Field made_of(Field made, std::vector<Field> fields) {
    made.fields = std::move(fields);
    return made;
}

std::vector<Field> make_supplier_fields() {
    using enum FieldType;
    Field percent =
        supplier_field("tax_percent", money, "Tax", "percent of tax on its goods, as text: \"19\"");
    percent.maximum = 100;
    Field length_unit = supplier_field(
        "length_unit", choice, "Bare lengths",
        "unit of lengths written without one in its price lists; absent: lengths carry units");
    length_unit.choices = {"mm", "in"};
    Field dispatch = supplier_field("dispatch_days", count, "Dispatch",
                                    "working days from order to dispatch, beside lead times");
    dispatch.maximum = 365;
    return {
        required(supplier_field("name", text, "Name", "what people call the supplier")),
        supplier_field("note", text, "Note", "anything worth knowing"),
        supplier_field("invented", flag, "Invented", "true when made up for a demonstration"),
        required(supplier_field("currency", text, "Currency", "ISO 4217 code of its prices")),
        supplier_field("tax_included", flag, "Tax included", "whether its prices hold the tax"),
        required(percent),
        supplier_field("minimum_order", money, "Minimum order",
                       "least amount of goods in an order"),
        required(made_of(
            supplier_field("delivery", FieldType::record, "Delivery",
                           "how goods get to the workshop"),
            {supplier_field("flat", money, "Flat charge", "one charge a delivery"),
             made_of(supplier_field("by_mass", records, "Charges by mass",
                                    "rising bands, in place of the flat charge"),
                     {in_unit_of(supplier_field(
                                     "up_to", quantity, "Up to",
                                     "mass that the charge covers; absent in the last band: any"),
                                 "kg"),
                      required(supplier_field("cost", money, "Charge", "of a delivery"))}),
             supplier_field("free_from", money, "Free from",
                            "amount of goods from which delivery is free"),
             made_of(
                 supplier_field("oversize", FieldType::record, "Oversize",
                                "what long goods cost more"),
                 {required(in_unit_of(supplier_field("longer_than", quantity, "Longer than",
                                                     "length up to which nothing is added"),
                                      "mm")),
                  required(supplier_field("extra", money, "Extra", "added once to a delivery"))}),
             made_of(supplier_field("collect", FieldType::record, "Collecting",
                                    "present when goods can be collected"),
                     {required(
                         supplier_field("cost", money, "Cost", "what a trip costs the maker"))})})),
        made_of(
            supplier_field("cutting", FieldType::record, "Cutting service",
                           "present when the supplier cuts sheets"),
            {supplier_field("offered", flag, "Offered", "false to keep the terms but not use them"),
             required(
                 supplier_field("price_per_cut", money, "Price of a cut", "beyond the free ones")),
             supplier_field("free_cuts", count, "Free cuts", "with each sheet"),
             in_unit_of(supplier_field("kerf", quantity, "Kerf", "what the saw takes"), "mm"),
             in_unit_of(supplier_field("least_strip", quantity, "Least strip",
                                       "narrowest strip that it cuts"),
                        "mm"),
             in_unit_of(supplier_field("accuracy", quantity, "Accuracy", "plus or minus"), "mm"),
             supplier_field(
                 "max_levels", count, "Levels of cuts",
                 "how often he divides what a cut of his made; absent: as often as asked")}),
        made_of(supplier_field("calendar", FieldType::record, "Working days",
                               "absent: Monday to Friday"),
                {supplier_field("weekdays", texts, "Weekdays",
                                "days on which it works, \"monday\" to \"sunday\""),
                 supplier_field("holidays", texts, "Holidays",
                                "dates, or first and last day as \"2027-12-24/2028-01-02\"")}),
        dispatch,
        supplier_field("decimal_comma", flag, "Decimal comma",
                       "true when its price lists write 12,50"),
        length_unit,
    };
}

/// Reads what goes beyond the shape of the fields; a fault lands at its pointer.
class TermsReader {
  public:
    TermsReader(const Json& json, FaultList& faults) : json_(json), faults_(faults) {}

    template <class Read>
    void at(const std::string& pointer, const Read& read) const {
        const Json* value = find_at(json_, pointer);
        if (value == nullptr) return;
        try {
            read(*value);
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults()) faults_.add_at(fault, pointer);
        }
    }
    void amount(const std::string& pointer, const Currency& currency,
                std::optional<Money>& out) const {
        at(pointer, [&](const Json& value) {
            out = Money::parse(value.get_ref<const std::string&>(), currency);
        });
    }

  private:
    const Json& json_;
    FaultList& faults_;
};

DateRange read_holiday(const std::string& text) {
    const auto slash = text.find('/');
    DateRange range;
    range.first = parse_date(std::string_view(text).substr(0, slash));
    range.last = slash == std::string::npos ? range.first
                                            : parse_date(std::string_view(text).substr(slash + 1));
    if (range.last < range.first) {
        fail("bad-calendar", {}, "'" + text + "' ends before it begins",
             "write the first day first");
    }
    return range;
}

WorkCalendar read_calendar(const Json& json, FaultList& faults) {
    const TermsReader read(json, faults);
    std::array<double, 7> hours = {8, 8, 8, 8, 8, 0, 0};
    std::vector<std::string> names;
    for (int day = 1; day <= 7; ++day) {
        std::string name(weekday_name(day));
        name[0] = static_cast<char>(name[0] - 'A' + 'a');
        names.push_back(std::move(name));
    }
    if (const Json* weekdays = find_at(json, "/calendar/weekdays")) {
        hours.fill(0);
        for (std::size_t i = 0; i < weekdays->size(); ++i) {
            const std::string name = (*weekdays)[i].get<std::string>();
            const auto found = std::find(names.begin(), names.end(), name);
            if (found != names.end()) {
                hours[static_cast<std::size_t>(found - names.begin())] = 8;
                continue;
            }
            const std::string near = nearest_name(name, names);
            faults.add("unknown-weekday", "/calendar/weekdays/" + std::to_string(i),
                       "unknown weekday '" + name + "'",
                       near.empty() ? "write monday to sunday" : "did you mean '" + near + "'?");
        }
    }
    std::vector<DateRange> holidays;
    if (const Json* list = find_at(json, "/calendar/holidays")) {
        for (std::size_t i = 0; i < list->size(); ++i) {
            read.at("/calendar/holidays/" + std::to_string(i), [&](const Json& value) {
                holidays.push_back(read_holiday(value.get<std::string>()));
            });
        }
    }
    if (!faults.empty()) return {};
    WorkCalendar calendar;
    read.at("/calendar", [&](const Json&) { calendar = WorkCalendar(hours, holidays); });
    return calendar;
}

DeliveryConditions read_delivery(const Json& json, const Currency& currency, FaultList& faults) {
    const TermsReader read(json, faults);
    DeliveryConditions terms;
    read.amount("/delivery/flat", currency, terms.flat);
    read.amount("/delivery/free_from", currency, terms.free_from);
    read.amount("/delivery/collect/cost", currency, terms.collect);
    if (const Json* longer = find_at(json, "/delivery/oversize/longer_than")) {
        std::optional<Money> extra;
        read.amount("/delivery/oversize/extra", currency, extra);
        if (extra) terms.oversize = OversizeCharge{longer->get<double>(), *extra};
    }
    if (const Json* bands = find_at(json, "/delivery/by_mass")) {
        for (std::size_t i = 0; i < bands->size(); ++i) {
            const std::string pointer = "/delivery/by_mass/" + std::to_string(i);
            MassBand band;
            std::optional<Money> cost;
            read.amount(pointer + "/cost", currency, cost);
            if (!cost) continue;
            band.cost = *cost;
            if (const Json* up_to = find_at(json, pointer + "/up_to"))
                band.up_to = up_to->get<double>();
            const bool rises = terms.by_mass.empty() ||
                               (terms.by_mass.back().up_to &&
                                (!band.up_to || *band.up_to > *terms.by_mass.back().up_to));
            if (!rises)
                faults.add("bad-bands", pointer, "the band does not rise above the one before it",
                           "order the bands by up_to; only the last may leave it out");
            terms.by_mass.push_back(std::move(band));
        }
    }
    if (terms.flat && !terms.by_mass.empty())
        faults.add("two-charges", "/delivery", "both flat and by_mass are given",
                   "keep one of them");
    if (faults.empty() && !terms.delivers() && !terms.collect) {
        faults.add("no-delivery", "/delivery", "goods can be neither delivered nor collected",
                   "add flat, by_mass or collect");
    }
    return terms;
}

} // namespace

std::span<const Field> supplier_fields() {
    static const std::vector<Field> fields = make_supplier_fields();
    return fields;
}

Supplier read_supplier(std::string_view text, const std::string& file, const std::string& id) {
    const Json written = parse_json(text, file);
    FaultList faults(file);
    const Json json = read_fields(supplier_fields(), written, "", {}, faults);

    Supplier supplier;
    supplier.id = id;
    supplier.name = json.value("name", id);
    supplier.note = json.value("note", "");
    supplier.invented = json.value("invented", false);
    supplier.tax_included = json.value("tax_included", false);
    supplier.decimal_comma = json.value("decimal_comma", false);
    supplier.length_unit = json.value("length_unit", "");
    supplier.dispatch_days = json.value("dispatch_days", 0);
    for (const auto& [key, value] : written.items()) {
        if (key.starts_with("x-")) supplier.extra[key] = value;
    }
    const TermsReader read(json, faults);
    read.at("/currency",
            [&](const Json& value) { supplier.currency = currency(value.get<std::string>()); });
    read.at("/tax_percent", [&](const Json& value) {
        supplier.tax_percent = Decimal::parse(value.get<std::string>());
    });
    supplier.calendar = read_calendar(json, faults);
    if (!supplier.currency.code.empty()) {
        read.amount("/minimum_order", supplier.currency, supplier.minimum_order);
        supplier.delivery = read_delivery(json, supplier.currency, faults);
    }
    supplier.cutting.supplier = id;
    if (const auto cutting = json.find("cutting"); cutting != json.end()) {
        supplier.cutting.offered = cutting->value("offered", true);
        supplier.cutting.price_per_cut = cutting->value("price_per_cut", "");
        supplier.cutting.free_cuts = cutting->value("free_cuts", std::int64_t{0});
        supplier.cutting.kerf = cutting->value("kerf", 0.0);
        supplier.cutting.least_strip = cutting->value("least_strip", 0.0);
        supplier.cutting.accuracy = cutting->value("accuracy", 0.0);
        supplier.cutting.max_levels = static_cast<int>(
            std::min<std::int64_t>(cutting->value("max_levels", std::int64_t{0}), 100));
    }
    faults.find_places(text);
    faults.throw_if_any();
    return supplier;
}

Json supplier_schema() {
    Json schema = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                   {"title", "supplier.json: a supplier's terms"}};
    schema.update(schema_of_fields(supplier_fields()));
    return schema;
}

} // namespace aumbry
