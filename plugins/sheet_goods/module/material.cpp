#include "sheet_goods/module/material.hpp"

#include "sheet_goods/module/text.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

namespace {

/// A value of a reference row, written as a person would; none when absent.
std::optional<double> table_value(const Json& row, const char* key, const char* unit) {
    const std::string written = text(row, key);
    return written.empty() ? std::nullopt : std::optional(in_unit(parse_quantity(written), unit));
}

/// How well a row describes the material: 0 not at all, more is better. A row that leaves species
/// or core empty holds for any.
int fit_of(const Json& row, const SheetMaterial& material) {
    const std::string species = text(row, "species");
    const std::string core = text(row, "core");
    if (!species.empty() && species != material.species) return 0;
    if (!core.empty() && core != material.core) return 0;
    const auto from = table_value(row, "thickness_from", "mm");
    const auto to = table_value(row, "thickness_to", "mm");
    if ((from && material.thickness < *from) || (to && material.thickness > *to)) return 0;
    return 1 + (species.empty() ? 0 : 2) + (core.empty() ? 0 : 4) + (from || to ? 1 : 0);
}

/// The best row that states `key`; null when none does.
const Json* best_row(const Json& tables, const SheetMaterial& material, const char* key) {
    const auto table = tables.find("panel_materials");
    if (table == tables.end() || !table->is_array()) return nullptr;
    const Json* best = nullptr;
    int best_fit = 0;
    for (const Json& row : *table) {
        if (!row.contains(key)) continue;
        const int fit = fit_of(row, material);
        if (fit > best_fit) {
            best = &row;
            best_fit = fit;
        }
    }
    return best;
}

std::string source_of(const Json& row) {
    return "panel_materials: " + text(row, "source") + " (" + text(row, "mark") + ")";
}

} // namespace

SheetMaterial read_material(const contract::Material& material, const Json& tables) {
    const Json& a = material.attributes;
    SheetMaterial sheet;
    sheet.role = material.id;
    sheet.species = text(a, "species");
    sheet.core = text(a, "core");
    sheet.colour = text(a, "colour");
    sheet.grade = text(a, "grade");
    sheet.grades = grades_of(sheet.grade, text(a, "face_grade"), text(a, "back_grade"));
    sheet.thickness = number(a, "thickness", 0);
    sheet.true_thickness = stated(a, "true_thickness");
    sheet.density = stated(a, "density");
    sheet.density_source = "material " + material.id;
    sheet.modulus_along = stated(a, "modulus_along");
    sheet.modulus_across = stated(a, "modulus_across");
    sheet.modulus_source = "material " + material.id;
    if (!sheet.density) {
        if (const Json* row = best_row(tables, sheet, "density")) {
            sheet.density = table_value(*row, "density", "kg/m3");
            sheet.density_source = source_of(*row);
        }
    }
    if (const Json* row = best_row(tables, sheet, "modulus_along");
        row != nullptr && !sheet.modulus_along && !sheet.modulus_across) {
        sheet.modulus_along = table_value(*row, "modulus_along", "N/mm2");
        sheet.modulus_across = table_value(*row, "modulus_across", "N/mm2");
        sheet.modulus_source = source_of(*row);
    }
    sheet.grain = text(a, "grain");
    if (sheet.grain.empty()) {
        const Json* row = best_row(tables, sheet, "grain");
        sheet.grain = row == nullptr ? "length" : text(*row, "grain");
    }
    return sheet;
}

std::string material_text(const SheetMaterial& material, const std::string& unit) {
    std::string name =
        material.thickness > 0 ? length_text(material.thickness, unit) : std::string("sheet");
    for (const std::string& word :
         {material.species, material.core == material.species ? std::string() : material.core,
          material.colour, material.grade}) {
        if (!word.empty()) name += ' ' + word;
    }
    return name;
}

const std::vector<std::string>& specification() {
    static const std::vector<std::string> attributes{
        "species", "core", "grade", "face_grade", "back_grade", "thickness", "colour"};
    return attributes;
}

bool same_specification(const contract::Material& a, const contract::Material& b) {
    const auto value = [](const contract::Material& material, const std::string& name) {
        const auto found = material.attributes.find(name);
        return found == material.attributes.end() ? Json() : *found;
    };
    return std::all_of(specification().begin(), specification().end(),
                       [&](const std::string& name) { return value(a, name) == value(b, name); });
}

} // namespace aumbry::sheet_goods
