#include "aumbry/stock.hpp"

#include "aumbry/fields.hpp"

#include <filesystem>
#include <map>
#include <string>

namespace aumbry {

namespace {

/// What a stock file owns, by id.
Json owned_in(const std::filesystem::path& file) {
    const Json stock = parse_json(read_file(file), file.string());
    const auto version = stock.is_object() ? stock.find("aumbry_stock") : stock.end();
    if (!stock.is_object() || version == stock.end() || !version->is_number_integer())
        fail("no-stock", {file.string(), "", 0, 0},
             "this is no stock file: it does not say \"aumbry_stock\"",
             "name one that aumbry close wrote");
    if (version->get<std::int64_t>() != stock_version)
        fail("newer-version", {file.string(), "/aumbry_stock", 0, 0},
             "the stock file is of version " + version->dump() + ", this program reads version " +
                 std::to_string(stock_version),
             "update Aumbry");
    const auto owned = stock.find("owned");
    if (owned == stock.end() || !owned->is_object())
        fail("no-stock", {file.string(), "/owned", 0, 0}, "the stock file owns nothing",
             "add \"owned\": { }");
    return *owned;
}

} // namespace

Project with_stock(Project project) {
    FaultList faults(project.file);
    const auto listed = project.document.find("stock");
    if (listed == project.document.end()) return project;
    if (!listed->is_array()) {
        faults.add("wrong-type", "/stock", "found " + in_words(*listed),
                   "write a list of stock files in [ ]");
        faults.find_places(project.text);
        faults.throw_if_any();
    }
    const Json names = *listed;
    if (!project.document.contains("owned")) project.document["owned"] = Json::object();
    Json& all = project.document["owned"];
    if (!all.is_object()) return project;
    std::map<std::string, std::string> from;
    for (const auto& [id, item] : all.items()) from[id] = "the project";
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string pointer = "/stock/" + std::to_string(i);
        if (!names[i].is_string()) {
            faults.add("wrong-type", pointer, "found " + in_words(names[i]),
                       "write the name of a stock file in quotes");
            continue;
        }
        const std::filesystem::path name = names[i].get<std::string>();
        const std::filesystem::path file =
            name.is_absolute() ? name : std::filesystem::path(project.file).parent_path() / name;
        const Json owned = owned_in(file);
        for (const auto& [id, item] : owned.items()) {
            const auto [at, fresh] = from.emplace(id, file.string());
            if (!fresh)
                fail("name-clash", {file.string(), pointer_to("/owned", id), 0, 0},
                     "the owned item '" + id + "' is in " + at->second + " too",
                     "rename one of the two");
            all[id] = item;
        }
    }
    faults.find_places(project.text);
    faults.throw_if_any();
    return project;
}

} // namespace aumbry
