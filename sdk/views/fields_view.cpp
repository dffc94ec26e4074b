#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/catalog.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/project.hpp"
#include "aumbry/short_form.hpp"
#include "aumbry/supplier.hpp"

#include <algorithm>
#include <span>

namespace aumbry::views {
namespace {

using contract::Field;
using contract::FieldType;

std::string listed(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
    return text;
}

/// How a value is written, in a word or two.
std::string written_as(const Field& field) {
    switch (field.type) {
    case FieldType::choice:
        return "one of: " + listed(field.choices);
    case FieldType::flag:
        return "true or false";
    case FieldType::count:
        return "a whole number";
    case FieldType::number:
        return "a number";
    case FieldType::quantity:
        return "a quantity, as 2 " + field.unit;
    case FieldType::money:
        return "an amount";
    case FieldType::date:
        return "a day, as 2027-03-01";
    case FieldType::line:
        return "a line";
    case FieldType::lines:
        return "a list of lines";
    case FieldType::texts:
        return "a list of texts";
    case FieldType::record:
        return has_short_form(field)
                   ? "a text, as \"" + short_form_example(field) + "\", or { } of:"
                   : "{ } of:";
    case FieldType::records:
        return "a list of { } of:";
    case FieldType::text:
        break;
    }
    return "a text";
}

void list_fields(Page& page, const std::vector<Field>& fields, std::size_t depth) {
    const std::string indent(2 + depth * 2, ' ');
    for (const Field& field : fields) {
        page.wrapped(indent + left(field.name, std::max<std::size_t>(18, field.name.size())) + ' ',
                     field_text(field));
        list_fields(page, field.fields, depth + 1);
    }
}

void line_kind(Page& page, const contract::LineKind& kind) {
    page.heading("A LINE OF KIND " + kind.kind);
    if (!kind.help.empty()) page.wrapped("", kind.help);
    const auto common = common_line_fields();
    list_fields(page, {common.begin(), common.end()}, 0);
    list_fields(page, kind.fields, 0);
    if (!kind.material_class.empty())
        page.wrapped("", "Its material is of class " + kind.material_class + ": aumbry fields " +
                             kind.material_class + " lists what that may say.");
    if (kind.derived.empty()) return;
    page.line();
    page.line("Formulas may use, as LINE.VALUE:");
    for (const contract::DerivedValue& value : kind.derived)
        page.wrapped("  " + left(value.name, std::max<std::size_t>(18, value.name.size())) + ' ',
                     value.title + (value.unit.empty() ? "" : ", " + value.unit));
}

void catalog_class(Page& page, const contract::CatalogClass& of) {
    page.heading("THINGS OF CLASS " + of.name);
    page.wrapped("", "Keys of a material or of what is owned, and columns of a price list:");
    list_fields(page, of.attributes, 0);
    std::string common;
    for (const std::string_view column : common_columns())
        common += (common.empty() ? "" : ", ") + std::string(column);
    page.wrapped("", "Columns that every price list may have: " + common + ".");
}

/// A section of the project: one object of fields, or an object of named ones.
struct Section {
    const char* name;
    const char* what;
    std::span<const Field> (*fields)();
    bool named; ///< entries by id, each of these fields
    const char* example;
};

constexpr Section sections[] = {
    {"workshop", "Your saw, your hours, the wall of the job.", workshop_fields, false,
     R"({ "kerf": "2.4 mm", "clean_up": "8 mm", "hours_a_day": 7.5, "wall": "solid masonry" })"},
    {"vehicle", "What fits into it; dealers cut what does not.", vehicle_fields, false,
     R"({ "length": "1900 mm", "width": "1050 mm", "load": "350 kg" })"},
    {"pricing", "Rate of work, profit, tax, deposit.", pricing_fields, false,
     R"({ "rate": "46.00", "markup": 12, "contingency": 6, "tax_charged": 21, "deposit": 30 })"},
    {"people", "Who works besides the maker.", person_fields, true,
     R"({ "mate": { "title": "second pair of hands", "rate": "31.00" } })"},
    {"site", "The client's house.", site_fields, false, R"({ "weekdays": ["monday", "tuesday"] })"},
    {"pieces", "The pieces of furniture.", piece_fields, true,
     R"({ "case": { "title": "Bookcase" } })"},
    {"tasks", "Work that no module reckons.", task_fields, true,
     R"({ "survey": { "title": "Measure the room", "hours": "2 h", "phase": "prepare" } })"},
    {"checks", "Formulas that must hold.", check_fields, true,
     R"({ "fits": { "at_most": ["880 mm + 2 * 10 mm", "1 m"], "text": "It fits the wall." } })"},
    {"suppliers", "Whom to buy from, and how.", supplier_wish_fields, false,
     R"({ "exclude": ["quay"] })"},
    {"maker", "Who you are, on paper.", party_fields, false,
     R"({ "name": "Marit Oever", "address": ["Touwbaan 4", "Oude Haven"] })"},
    {"client", "Who pays, on paper.", party_fields, false, R"({ "name": "The harbour office" })"},
    {"quote", "What a quote says beside its prices.", quote_fields, false,
     R"({ "number": "27-03", "not_included": ["Painting of walls"] })"},
    {"owned", "What is yours already; besides these the attributes of its class.",
     common_owned_fields, true,
     R"({ "barn_oak": { "class": "solid", "species": "oak", "thickness": "38 mm", "width": "205 mm", "length": "2400 mm" } })"},
    {"bought", "What is bought; `aumbry record` writes it.", bought_fields, true,
     R"({ "lamp": { "supplier": "corner shop", "title": "Lamp", "amount": "40.00", "state": "received" } })"},
    {"worked", "Hours worked; `aumbry record` writes them.", worked_fields, true,
     R"({ "monday": { "step": "survey", "hours": "2 h" } })"},
};

void section(Page& page, const Section& of) {
    page.heading(std::string("THE SECTION ") + of.name + " OF A PROJECT");
    page.wrapped("", of.what);
    if (of.named) page.line("Entries by a name of your own, each of:");
    const auto fields = of.fields();
    list_fields(page, {fields.begin(), fields.end()}, 0);
    page.line("Example:");
    page.line(std::string("\"") + of.name + "\": " + of.example);
}

void supplier(Page& page) {
    page.heading("A SUPPLIER: suppliers/NAME/supplier.json");
    page.wrapped("", "Whom you buy from, and on which terms; price lists (*.csv) stand beside it.");
    const auto fields = supplier_fields();
    list_fields(page, {fields.begin(), fields.end()}, 0);
    page.line("Example:");
    page.line(
        R"({ "name": "Quay Timber", "currency": "EUR", "tax_percent": "21", "length_unit": "mm",
  "delivery": { "flat": "35.00", "free_from": "500.00", "collect": { "cost": "6.00" } },
  "cutting": { "offered": true, "price_per_cut": "1.60", "kerf": "4 mm", "accuracy": "1 mm" },
  "calendar": { "weekdays": [ "monday", "tuesday", "wednesday", "thursday", "friday" ] } })");
}

/// A row of a reference table has the keys that the rows of those at hand have.
void reference_table(Page& page, const std::vector<contract::Description>& modules,
                     const std::string& name, const Json& rows) {
    std::vector<std::string> readers;
    for (const contract::Description& module : modules) {
        if (std::find(module.tables.begin(), module.tables.end(), name) != module.tables.end())
            readers.push_back(module.id);
    }
    page.heading("THE REFERENCE TABLE " + name + ": reference/" + name + ".json");
    page.wrapped("", "Read by " + (readers.empty() ? "no module" : listed(readers)) +
                         ". Rows have these keys, here with what one of them says:");
    Json keys = Json::object();
    const Json* fullest = nullptr;
    for (const Json& row : rows) {
        if (fullest == nullptr || row.size() > fullest->size()) fullest = &row;
        for (const auto& [key, value] : row.items()) {
            if (!keys.contains(key)) keys[key] = value;
        }
    }
    for (const auto& [key, value] : keys.items()) {
        std::string text = value.dump();
        if (text.size() > 100) text = text.substr(0, text.rfind(' ', 100)) + " ...";
        page.wrapped("  " + left(key, std::max<std::size_t>(18, key.size())) + ' ', text);
    }
    if (fullest == nullptr) return;
    page.line("Example:");
    page.line(pretty(Json{{"table", name}, {"rows", Json::array({*fullest})}}));
}

void settings(Page& page, const contract::Description& module) {
    page.heading("SETTINGS OF " + module.id);
    page.wrapped("", "In a project under settings." + module.id +
                         ", or for all jobs in the file that its \"times\" names:");
    list_fields(page, module.settings, 0);
}

} // namespace

std::string field_text(const Field& field) {
    std::string text = written_as(field);
    if (field.required) text += " (needed)";
    if (field.help.empty()) return text;
    return field.fields.empty() ? text + "; " + field.help : field.help + "; " + text;
}

std::string fields_of(const std::vector<contract::Description>& modules, const Json& tables,
                      const std::string& name, bool colour) {
    Page page(colour);
    std::vector<std::string> kinds;
    std::vector<std::string> classes;
    std::vector<std::string> ids;
    for (const contract::Description& module : modules) {
        ids.push_back(module.id);
        if (module.id == name) settings(page, module);
        for (const contract::LineKind& kind : module.line_kinds) {
            kinds.push_back(kind.kind);
            if (kind.kind == name) line_kind(page, kind);
        }
        for (const contract::CatalogClass& of : module.catalog_classes) {
            classes.push_back(of.name);
            if (of.name == name) catalog_class(page, of);
        }
    }
    std::vector<std::string> parts;
    for (const Section& each : sections) {
        parts.emplace_back(each.name);
        if (each.name == name) section(page, each);
    }
    if (name == "supplier") supplier(page);
    std::vector<std::string> files{"supplier"};
    for (const auto& [table, rows] : tables.items()) {
        files.push_back(table);
        if (table == name) reference_table(page, modules, table, rows);
    }
    if (!page.str().empty()) return page.str();
    if (name.empty()) {
        page.wrapped("Sections:         ", listed(parts));
        page.wrapped("Settings of:      ", listed(ids));
        page.wrapped("Kinds of line:    ", listed(kinds));
        page.wrapped("Classes of goods: ", listed(classes));
        page.wrapped("Files of catalogs: ", listed(files));
        page.line("aumbry fields NAME lists what one of them may say.");
        return page.str();
    }
    std::vector<std::string> names = kinds;
    for (const auto* more : {&classes, &parts, &ids, &files})
        names.insert(names.end(), more->begin(), more->end());
    const std::string near = nearest_name(name, names);
    fail("unknown-name", {},
         "no kind of line, class of goods, section, module or table is called '" + name + "'",
         near.empty() ? "aumbry fields lists them" : "did you mean '" + near + "'?");
}

} // namespace aumbry::views
