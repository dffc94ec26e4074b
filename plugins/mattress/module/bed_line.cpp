#include "mattress/module/bed_line.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"
#include "mattress/engine/size_table.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace aumbry::mattress {
namespace {

using contract::Line;

/// A value of a reference table: a number in the unit, or text with its own.
double table_value(const Json& row, const char* key, const char* unit) {
    const auto found = row.find(key);
    if (found == row.end())
        fail("table-row", {}, fmt::format("a row of a reference table has no '{}'", key),
             "complete the row");
    if (found->is_number()) return found->get<double>();
    return in_unit(parse_quantity(found->get<std::string>()), unit);
}

const Json* rows_of(const Json& tables, const char* table) {
    const auto found = tables.find(table);
    return found == tables.end() || !found->is_array() ? nullptr : &*found;
}

std::vector<NominalSize> size_rows(const Json& tables) {
    std::vector<NominalSize> rows;
    if (const Json* list = rows_of(tables, "mattress_sizes"))
        for (const Json& row : *list)
            rows.push_back({text(row, "region"), text(row, "name"), table_value(row, "width", "mm"),
                            table_value(row, "length", "mm"), text(row, "source"),
                            text(row, "mark")});
    return rows;
}

/// Middle of the densities that the table gives for a construction.
std::pair<double, std::string> density_of(const std::string& construction, const Json& tables) {
    std::vector<std::string> names;
    if (const Json* list = rows_of(tables, "foam_densities"))
        for (const Json& row : *list) {
            if (text(row, "construction") == construction)
                return {(table_value(row, "low", "kg/m3") + table_value(row, "high", "kg/m3")) / 2,
                        text(row, "source")};
            names.push_back(text(row, "construction"));
        }
    const std::string nearest = nearest_name(construction, names);
    fail("mattress-construction", {},
         fmt::format("no density is known for the construction '{}'", construction),
         (nearest.empty() ? fmt::format("use one of {}", fmt::join(names, ", "))
                          : fmt::format("did you mean '{}'?", nearest)) +
             " Or give its density or mass");
}

} // namespace

BedSize read_size(const Line& line, const Json& tables) {
    BedSize bed;
    bed.size = {number(line, "width", 0), number(line, "length", 0), number(line, "thickness")};
    bed.from = "as stated";
    bed.source = "what the line states";
    if (bed.size.width > 0 && bed.size.length > 0) return bed;
    const std::string name = text(line, "size", "");
    if (name.empty())
        fail("mattress-size-missing", {}, "the mattress has no size",
             "give region and size, or width and length");
    const NominalSize row = [&] {
        const std::vector<NominalSize> rows = size_rows(tables);
        return find_size(rows, text(line, "region", "EU"), name);
    }();
    if (!(bed.size.width > 0)) bed.size.width = row.width;
    if (!(bed.size.length > 0)) bed.size.length = row.length;
    bed.from = row.region + ' ' + row.name;
    bed.source =
        fmt::format("mattress_sizes, {} {}: {} ({})", row.region, row.name, row.source, row.mark);
    return bed;
}

std::optional<BedMass> read_mass(const Line& line, const Size& size, const Json& tables) {
    Construction construction;
    construction.cover = number(line, "cover_mass", 0);
    BedMass found;
    if (const double stated = number(line, "mass", 0); stated > 0) {
        construction.mass = stated;
        found.rule = "as weighed or stated by its maker";
        found.source = "what the line states";
    } else if (const Json* layers = find_value(line, "layers");
               layers != nullptr && layers->is_array() && !layers->empty()) {
        for (const Json& layer : *layers)
            construction.layers.push_back({text(layer, "name", "layer"),
                                           number(layer, "thickness", 0),
                                           number(layer, "density", 0)});
        found.rule = "sum of width x length x thickness x density of the layers + cover";
        found.source = "layers of the line";
    } else if (const double density = number(line, "density", 0); density > 0) {
        construction.layers = {{"core", size.thickness, density}};
        found.rule = "width x length x thickness x density + cover";
        found.source = "density of the line";
    } else if (const std::string name = text(line, "construction", ""); !name.empty()) {
        const auto [middle, source] = density_of(name, tables);
        construction.layers = {{name, size.thickness, middle}};
        found.rule = "width x length x thickness x density + cover";
        found.source = fmt::format("foam_densities, middle of {}: {}", name, source);
    } else {
        return std::nullopt;
    }
    found.mass = mattress_mass(size, construction);
    return found;
}

double tolerance_of(const contract::Settings& settings) {
    return number(settings.module, "tolerance", usual_tolerance);
}

EaseLimits limits_of(const contract::Settings& settings) {
    const EaseLimits usual;
    return {number(settings.module, "least_ease", usual.min_at_largest),
            number(settings.module, "most_ease", usual.max_at_smallest)};
}

Frame read_frame(const Line& line, const Size& size, const EaseLimits& limits) {
    Frame frame;
    frame.ease = number(line, "ease", (limits.min_at_largest + limits.max_at_smallest) / 2);
    frame.ease_ends = number(line, "ease_ends", frame.ease);
    frame.width = number(line, "frame_width", 0);
    frame.length = number(line, "frame_length", 0);
    frame.width_stated = frame.width > 0;
    frame.length_stated = frame.length > 0;
    if (!frame.width_stated) frame.width = round_to(size.width + 2 * frame.ease, 4);
    if (!frame.length_stated) frame.length = round_to(size.length + 2 * frame.ease_ends, 4);
    return frame;
}

} // namespace aumbry::mattress
