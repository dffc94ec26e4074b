#include "aumbry/kind_table.hpp"

#include "values/excerpt.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/json.hpp"
#include "aumbry/project.hpp"

namespace aumbry {

KindTable read_kind_table(const std::filesystem::path& folder) {
    KindTable table;
    const std::filesystem::path file = folder / kind_table_file;
    std::error_code error;
    if (!std::filesystem::exists(file, error)) return table;
    const Json document = parse_json(read_file(file), file.string());
    const auto refuse = [&](const std::string& pointer, std::string wrong) {
        fail("bad-kind-table", {file.string(), pointer, 0, 0}, std::move(wrong),
             "write the kinds of each module, as in { \"module\": [\"kind\"] }");
    };
    if (!document.is_object()) refuse("", "this is no table of kinds");
    for (const auto& [module, kinds] : document.items()) {
        const std::string pointer = pointer_to("", module);
        if (!kinds.is_array()) refuse(pointer, "found " + in_words(kinds) + " for the kinds");
        for (const Json& kind : kinds) {
            if (!kind.is_string()) refuse(pointer, "found " + in_words(kind) + " for a kind");
            const auto [place, added] = table.homes.emplace(kind.get<std::string>(), module);
            if (!added)
                refuse(pointer, "the kind " + in_quotes(place->first) + " is that of module " +
                                    in_quotes(place->second) + " already");
        }
    }
    return table;
}

std::string home_of_kind(const KindTable& table, std::string_view kind) {
    if (const auto found = table.homes.find(kind); found != table.homes.end()) return found->second;
    const auto point = kind.find('.');
    return point == std::string_view::npos ? std::string() : std::string(kind.substr(0, point));
}

} // namespace aumbry
