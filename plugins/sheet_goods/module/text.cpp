#include "sheet_goods/module/text.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/reader_measures.hpp"

namespace aumbry::sheet_goods {

std::string size_text(double length, double width, const std::string& unit) {
    std::string first = length_text(length, unit);
    first.resize(first.size() - 3); // the unit stands once, at the end
    return first + " x " + length_text(width, unit);
}

std::string list_text(const std::vector<std::string>& names) {
    constexpr std::size_t most = 4;
    std::string list;
    const std::size_t shown = names.size() > most ? most - 1 : names.size();
    for (std::size_t i = 0; i < shown; ++i) {
        const bool last = i + 1 == names.size();
        list += (i == 0 ? "" : last ? " and " : ", ") + names[i];
    }
    if (shown < names.size()) list += " and " + std::to_string(names.size() - shown) + " more";
    return list;
}

std::string count_text(std::int64_t count, const std::string& one, const std::string& many) {
    return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

std::optional<double> stated(const Json& values, const char* key) {
    const double value = number(values, key, 0);
    return value > 0 ? std::optional(value) : std::nullopt;
}

} // namespace aumbry::sheet_goods
