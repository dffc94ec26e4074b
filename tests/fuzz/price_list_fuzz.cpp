// Any bytes as a supplier's price list: every row is an offer that is found again, or has a fault.
#include "aumbry/catalog.hpp"

#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include <unistd.h>

namespace {

namespace fs = std::filesystem;

std::vector<aumbry::contract::CatalogClass> classes() {
    using enum aumbry::contract::FieldType;
    aumbry::contract::CatalogClass sheet{"sheet", "Sheet", "", {}};
    for (const auto& [name, type, unit] : {std::tuple{"species", text, ""},
                                           {"thickness", quantity, "mm"},
                                           {"uses", texts, ""},
                                           {"core", flag, ""}}) {
        aumbry::contract::Field field;
        field.name = name;
        field.type = type;
        field.unit = unit;
        field.required = type == quantity;
        sheet.attributes.push_back(field);
    }
    return {sheet};
}

const fs::path& folder() {
    static const fs::path path = [] {
        std::string name = (fs::temp_directory_path() / "aumbry-fuzz-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) std::abort();
        fs::create_directories(fs::path(name) / "suppliers/north");
        std::ofstream(fs::path(name) / "suppliers/north/supplier.json")
            << R"({"name": "N", "currency": "EUR", "tax_percent": "19", "delivery": {"flat": "1"}})";
        return fs::path(name);
    }();
    return path;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    std::ofstream(folder() / "suppliers/north/list.csv", std::ios::binary)
        << std::string(reinterpret_cast<const char*>(data), size);
    const aumbry::Catalog catalog = aumbry::load_catalog({folder()}, classes());
    for (const aumbry::PriceRow& row : catalog.rows()) {
        const aumbry::contract::Offer offer = catalog.offer(row);
        if (catalog.find(offer.id) == nullptr || catalog.find(offer.id)->sku != row.sku)
            std::abort();
        if (offer.attributes.contains("thickness")) {
            const auto found =
                catalog.match("sheet", {{"thickness", {offer.attributes["thickness"]}}});
            bool there = false;
            for (const aumbry::PriceRow* one : found) there = there || one->sku == row.sku;
            if (!there) std::abort();
        } else {
            std::abort(); // it is required
        }
    }
    return aumbry::check_report(catalog, true).empty() ? 1 : 0;
}
