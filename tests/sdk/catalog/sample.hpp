// A small catalog in a folder of its own, for tests of catalogs.
#pragma once

#include "aumbry/catalog.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

#include <unistd.h>

namespace aumbry::test {

/// A folder that goes away with the test.
class TemporaryFolder {
  public:
    TemporaryFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "aumbry-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
        path_ = name;
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    void write(const std::string& name, const std::string& text) const {
        std::filesystem::create_directories((path_ / name).parent_path());
        std::ofstream(path_ / name, std::ios::binary) << text;
    }
    [[nodiscard]] std::string read(const std::string& name) const {
        std::ifstream in(path_ / name, std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }
    /// The text without the path of this folder.
    [[nodiscard]] std::string without_path(std::string text) const {
        const std::string prefix = path_.generic_string() + '/';
        for (auto at = text.find(prefix); at != std::string::npos; at = text.find(prefix))
            text.erase(at, prefix.size());
        return text;
    }

  private:
    std::filesystem::path path_;
};

inline contract::Field attribute(std::string name, contract::FieldType type, std::string unit = {},
                                 bool required = false) {
    contract::Field field;
    field.name = std::move(name);
    field.type = type;
    field.unit = std::move(unit);
    field.required = required;
    return field;
}

/// Two classes: sheets with sizes and grades, kits with a model and a list.
inline std::vector<contract::CatalogClass> sample_classes() {
    using enum contract::FieldType;
    contract::CatalogClass sheet{
        .name = "sheet",
        .title = "Sheet",
        .attributes = {attribute("species", text, "", true),
                       attribute("thickness", quantity, "mm", true), attribute("grade", choice),
                       attribute("length", quantity, "mm"), attribute("width", quantity, "mm")}};
    sheet.attributes[2].choices = {"BB/BB", "BB/CP", "S/BB"};
    contract::CatalogClass kit{.name = "kit",
                               .title = "Kit",
                               .attributes = {attribute("model", text, "", true),
                                              attribute("suits", texts),
                                              attribute("soft_close", flag)}};
    kit.attributes[2].fallback = false;
    return {sheet, kit};
}

inline const std::string sample_terms = R"({
  "name": "Nordholz", "invented": true, "currency": "EUR", "tax_percent": "19",
  "delivery": { "flat": "45.00", "collect": { "cost": "12.00" } } })";

inline const std::string sample_header =
    "sku,class,description,price,price_unit,pack,min_quantity,stock,lead_days,valid_from,valid_to,"
    "gtin,"
    "species,thickness,grade,length,width,model,suits,soft_close\r\n";

/// Whether a published schema is the one given; if not, the right one is written into the build
/// folder.
inline bool is_published(const std::string& folder, const std::string& name, const Json& schema) {
    std::ifstream in(folder + '/' + name, std::ios::binary);
    const std::string published{std::istreambuf_iterator<char>(in), {}};
    if (published == pretty(schema)) return true;
    std::ofstream(name, std::ios::binary) << pretty(schema);
    std::cerr << "copy " << std::filesystem::absolute(name).string() << " to " << folder << '\n';
    return false;
}

} // namespace aumbry::test
