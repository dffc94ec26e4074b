#include "aumbry/catalog.hpp"

#include <algorithm>
#include <map>

namespace aumbry {
namespace {

struct Count {
    std::size_t rows = 0;
    std::size_t skus = 0;
};

std::map<std::string_view, Count> count_rows(const Catalog& catalog) {
    std::map<std::string_view, Count> counts;
    const PriceRow* last = nullptr;
    for (const PriceRow& row : catalog.rows()) {
        Count& count = counts[row.supplier];
        ++count.rows;
        count.skus +=
            last == nullptr || last->supplier != row.supplier || last->sku != row.sku ? 1U : 0U;
        last = &row;
    }
    return counts;
}

std::string counted(std::size_t number, const std::string& one) {
    return std::to_string(number) + ' ' + one + (number == 1 ? "" : "s");
}

std::string as_json(const Catalog& catalog) {
    auto counts = count_rows(catalog);
    Json suppliers = Json::array();
    for (const Supplier& supplier : catalog.suppliers()) {
        const Count count = counts[supplier.id];
        suppliers.push_back({{"id", supplier.id},
                             {"name", supplier.name},
                             {"currency", supplier.currency.code},
                             {"invented", supplier.invented},
                             {"skus", count.skus},
                             {"rows", count.rows}});
    }
    Json tables = Json::array();
    for (const auto& [name, rows] : catalog.tables().items())
        tables.push_back({{"table", name}, {"rows", rows.size()}});
    Json faults = Json::array();
    for (const csv::RowFault& fault : catalog.faults()) {
        Json one = {{"code", fault.fault.code}, {"file", fault.fault.place.file}};
        if (fault.row > 0) one["row"] = fault.row;
        if (fault.row == 0 && !fault.fault.place.pointer.empty())
            one["pointer"] = fault.fault.place.pointer;
        if (fault.fault.place.line > 0) one["line"] = fault.fault.place.line;
        if (!fault.column.empty()) one["column"] = fault.column;
        if (!fault.value.empty()) one["value"] = fault.value;
        one["wrong"] = fault.fault.wrong;
        if (!fault.fault.right.empty()) one["right"] = fault.fault.right;
        faults.push_back(std::move(one));
    }
    return pretty({{"suppliers", suppliers},
                   {"tables", tables},
                   {"rows", catalog.rows().size()},
                   {"rows_aside", catalog.rows_aside().size()},
                   {"notes", catalog.notes()},
                   {"faults", faults}});
}

std::string as_text(const Catalog& catalog) {
    auto counts = count_rows(catalog);
    std::string text = counted(catalog.suppliers().size(), "supplier") + ", " +
                       counted(catalog.rows().size(), "price row") + ", " +
                       counted(catalog.tables().size(), "reference table") + ", " +
                       counted(catalog.faults().size(), "fault") + '\n';
    std::size_t width = 0;
    for (const Supplier& supplier : catalog.suppliers())
        width = std::max(width, supplier.id.size());
    for (const Supplier& supplier : catalog.suppliers()) {
        const Count count = counts[supplier.id];
        text += "  " + supplier.id + std::string(width - supplier.id.size() + 2, ' ') +
                supplier.currency.code + "  " + counted(count.skus, "sku") + " in " +
                counted(count.rows, "row") + "  " + supplier.name +
                (supplier.invented ? " (invented)" : "") + '\n';
    }
    if (!catalog.notes().empty()) text += "\nNotes\n";
    for (const std::string& note : catalog.notes()) text += "  " + note + '\n';
    if (!catalog.faults().empty())
        text += "\nFaults: these rows and files are left out, the rest is used\n";
    for (const csv::RowFault& fault : catalog.faults())
        text += "  " + fault.fault.sentence() + '\n';
    return text;
}

} // namespace

std::string check_report(const Catalog& catalog, bool json) {
    return json ? as_json(catalog) : as_text(catalog);
}

} // namespace aumbry
