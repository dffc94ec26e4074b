// A sheet material: what it is, how heavy and how stiff.
#pragma once

#include "sheet_goods/module/grades.hpp"

#include "aumbry/contract.hpp"

#include <optional>
#include <string>

namespace aumbry::sheet_goods {

struct SheetMaterial {
    std::string role;
    std::string species, core, colour;
    std::string grade; ///< as written: "BB/CP"
    Grades grades;
    double thickness = 0; ///< mm, nominal
    std::optional<double>
        true_thickness;            ///< mm, as measured or as the maker of the sheet states it
    std::string grain = "length";  ///< of a sheet that does not say: "length", "width", "none"
    std::optional<double> density; ///< kg/m3
    std::optional<double> modulus_along, modulus_across; ///< N/mm2
    std::string density_source, modulus_source;

    /// What parts of it measure: the true thickness where it is known.
    [[nodiscard]] double part_thickness() const { return true_thickness.value_or(thickness); }
};

/// Reads the material of a line; what it does not state comes from the table "panel_materials".
[[nodiscard]] SheetMaterial read_material(const contract::Material& material, const Json& tables);

/// "18 mm birch BB/CP".
[[nodiscard]] std::string material_text(const SheetMaterial& material, const std::string& unit);

/// Whether two materials are of one specification and so are cut from the same sheets.
[[nodiscard]] bool same_specification(const contract::Material& a, const contract::Material& b);
/// The attributes that make a specification.
[[nodiscard]] const std::vector<std::string>& specification();

} // namespace aumbry::sheet_goods
