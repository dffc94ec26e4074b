#include "solid_stock/module/density.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"

namespace aumbry::solid_stock {

double density_of(const contract::Line& line, const Json& tables, std::string& source) {
    if (const double stated = number(line, "material.density", 0); stated > 0) {
        source = "stated for the material";
        return stated;
    }
    const std::string species = text(line, "material.species", "");
    const auto table = tables.find("wood_species");
    if (table == tables.end()) return 0;
    for (const Json& row : *table) {
        if (text(row, "species") != species) continue;
        source = text(row, "source");
        return in_unit(parse_quantity(text(row, "density", "0 kg/m3")), "kg/m3");
    }
    return 0;
}

} // namespace aumbry::solid_stock
