#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/catalog.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/project.hpp"

#include <algorithm>

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
        return "{ } of:";
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
        std::string text = written_as(field);
        if (field.required) text += " (needed)";
        if (!field.help.empty()) {
            const bool nested = !field.fields.empty();
            text = nested ? field.help + "; " + text : text + "; " + field.help;
        }
        page.wrapped(indent + left(field.name, std::max<std::size_t>(18, field.name.size())) + ' ',
                     text);
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

} // namespace

std::string fields_of(const std::vector<contract::Description>& modules, const std::string& name,
                      bool colour) {
    Page page(colour);
    std::vector<std::string> kinds;
    std::vector<std::string> classes;
    for (const contract::Description& module : modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            kinds.push_back(kind.kind);
            if (kind.kind == name) line_kind(page, kind);
        }
        for (const contract::CatalogClass& of : module.catalog_classes) {
            classes.push_back(of.name);
            if (of.name == name) catalog_class(page, of);
        }
    }
    if (!page.str().empty()) return page.str();
    if (name.empty()) {
        page.wrapped("Kinds of line:    ", listed(kinds));
        page.wrapped("Classes of goods: ", listed(classes));
        page.line("aumbry fields NAME lists what one of them may say.");
        return page.str();
    }
    std::vector<std::string> names = kinds;
    names.insert(names.end(), classes.begin(), classes.end());
    const std::string near = nearest_name(name, names);
    fail("unknown-name", {}, "there is no kind of line and no class of goods called '" + name + "'",
         near.empty() ? "aumbry fields lists them" : "did you mean '" + near + "'?");
}

} // namespace aumbry::views
