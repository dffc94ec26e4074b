#include "line/estimate/times.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>

namespace aumbry {
namespace {

bool is_time(const contract::Field& field) {
    if (field.type == contract::FieldType::quantity) return field.unit == "min";
    return field.type == contract::FieldType::number &&
           field.name.find("minutes") != std::string::npos;
}

} // namespace

std::vector<EstimateTime> times_of(const Resolved& project, const Provenance& from) {
    std::vector<EstimateTime> times;
    for (const contract::Description& module : from.modules) {
        if (std::none_of(project.lines.begin(), project.lines.end(), [&](const ResolvedLine& line) {
                return line.module == module.id && line.not_priced.empty();
            }))
            continue;
        const auto settings = project.module_settings.find(module.id);
        for (const contract::Field& field : module.settings) {
            if (!is_time(field) || settings == project.module_settings.end()) continue;
            if (!settings->second.contains(field.name)) continue; // it has no usual value
            const double usual = field.fallback.is_number() ? field.fallback.get<double>() : 0;
            times.push_back({module.id, field.name, field.title, field.help, field.unit,
                             number(settings->second, field.name.c_str(), usual), usual});
        }
    }
    return times;
}

} // namespace aumbry
