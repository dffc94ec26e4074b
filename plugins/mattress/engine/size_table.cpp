#include "mattress/engine/size_table.hpp"

#include "aumbry/fault.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace aumbry::mattress {
namespace {

std::vector<std::string> regions_of(const std::vector<NominalSize>& table) {
    std::vector<std::string> regions;
    for (const NominalSize& size : table)
        if (std::find(regions.begin(), regions.end(), size.region) == regions.end())
            regions.push_back(size.region);
    return regions;
}

std::string advice(const std::string& name, const std::vector<std::string>& known) {
    const std::string nearest = nearest_name(name, known);
    return nearest.empty() ? fmt::format("use one of {}", fmt::join(known, ", "))
                           : fmt::format("did you mean '{}'?", nearest);
}

} // namespace

std::vector<std::string> size_names(const std::vector<NominalSize>& table,
                                    const std::string& region) {
    std::vector<std::string> names;
    for (const NominalSize& size : table)
        if (size.region == region) names.push_back(size.name);
    return names;
}

const NominalSize& find_size(const std::vector<NominalSize>& table, const std::string& region,
                             const std::string& name) {
    const std::vector<std::string> names = size_names(table, region);
    if (names.empty())
        fail("mattress-region", {},
             fmt::format("no mattress sizes are known for region '{}'", region),
             advice(region, regions_of(table)));
    const auto is_it = [&](const NominalSize& size) {
        return size.region == region && size.name == name;
    };
    const auto found = std::find_if(table.begin(), table.end(), is_it);
    if (found == table.end())
        fail("mattress-size", {},
             fmt::format("no mattress '{}' is known in region '{}'", name, region),
             advice(name, names) + " Or give width and length");
    if (std::count_if(table.begin(), table.end(), is_it) > 1)
        fail("mattress-size-twice", {},
             fmt::format("region '{}' has two sizes named '{}'", region, name),
             "give each its own name in the table");
    if (!(found->width > 0) || !(found->length > 0))
        fail("mattress-size-figures", {},
             fmt::format("the table has mattress '{}' in region '{}' as {:g} x {:g} mm", name,
                         region, found->width, found->length),
             "give sizes above 0 mm");
    return *found;
}

} // namespace aumbry::mattress
