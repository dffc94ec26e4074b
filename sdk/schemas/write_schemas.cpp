// aumbry_schemas OUT PLUGINS: writes the published schemas of contract documents, the estimate, the
// comparison, suppliers' terms, mappings and the project document into a folder. The project's
// lines are checked by the fields of the modules in PLUGINS.
#include "aumbry/catalog_import.hpp"
#include "aumbry/contract.hpp"
#include "aumbry/estimate.hpp"
#include "aumbry/parts_list.hpp"
#include "aumbry/piece_file.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/study.hpp"
#include "aumbry/supplier.hpp"

#include <fstream>
#include <iostream>

namespace {

void write(const std::filesystem::path& file, const aumbry::Json& schema) {
    std::ofstream out(file, std::ios::binary);
    out << aumbry::pretty(schema);
    if (!out.flush())
        aumbry::fail("unwritable-file", {file.string(), "", 0, 0}, "the file cannot be written",
                     "check the folder");
}

} // namespace

int main(int count, char** arguments) {
    if (count != 3) {
        std::cerr << "usage: aumbry_schemas OUT PLUGINS\n";
        return 2;
    }
    try {
        const std::filesystem::path out(arguments[1]);
        std::filesystem::create_directories(out);
        for (const std::string document :
             {"description", "derive_request", "derive_reply", "take_off_request", "take_off_reply",
              "plan_request", "plan_reply", "follow_request", "follow_reply"}) {
            write(out / ("contract_" + document + ".schema.json"),
                  aumbry::contract::schema(document));
        }
        write(out / "estimate.schema.json", aumbry::estimate_schema());
        write(out / "comparison.schema.json", aumbry::comparison_schema());
        write(out / "supplier.schema.json", aumbry::supplier_schema());
        write(out / "mapping.schema.json", aumbry::mapping_schema());
        write(out / "parts_mapping.schema.json", aumbry::parts_mapping_schema());
        write(out / "piece.schema.json", aumbry::piece_schema());
        const aumbry::PluginHost host({arguments[2]});
        for (const aumbry::RefusedModule& refused : host.refused()) {
            std::cerr << refused.file << ": " << refused.reason << '\n';
            return 1;
        }
        write(out / "project.schema.json", aumbry::project_schema(host.modules()));
    } catch (const std::exception& error) {
        std::cerr << error.what() << '\n';
        return 1;
    }
    return 0;
}
