#include "aumbry/catalog.hpp"
#include "aumbry/catalog_import.hpp"

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

/// As pretty(), but whatever bytes a list held, the report is UTF-8.
std::string printed(const Json& report) {
    return report.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::string counted(std::size_t number, const std::string& one) {
    return std::to_string(number) + ' ' + one + (number == 1 ? "" : "s");
}

/// Of rows and of piece files.
Json faults_as_json(const std::vector<csv::RowFault>& all) {
    Json faults = Json::array();
    for (const csv::RowFault& fault : all) {
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
    return faults;
}

/// Faults of pieces beside those of rows.
std::vector<csv::RowFault> all_faults(const Catalog& catalog, const PieceReport& pieces) {
    std::vector<csv::RowFault> all = catalog.faults();
    for (const Fault& fault : pieces.faults) all.push_back({fault, 0, "", ""});
    return all;
}

std::string as_json(const Catalog& catalog, const PieceReport& pieces) {
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
    const Json faults = faults_as_json(all_faults(catalog, pieces));
    return printed({{"suppliers", suppliers},
                    {"tables", tables},
                    {"pieces", pieces.names},
                    {"rows", catalog.rows().size()},
                    {"rows_aside", catalog.rows_aside().size()},
                    {"notes", catalog.notes()},
                    {"faults", faults}});
}

std::string as_text(const Catalog& catalog, const PieceReport& pieces) {
    const std::vector<csv::RowFault> faults = all_faults(catalog, pieces);
    auto counts = count_rows(catalog);
    std::string text = counted(catalog.suppliers().size(), "supplier") + ", " +
                       counted(catalog.rows().size(), "price row") + ", " +
                       counted(catalog.tables().size(), "reference table") + ", " +
                       (pieces.names.empty() ? "" : counted(pieces.names.size(), "piece") + ", ") +
                       counted(faults.size(), "fault") + '\n';
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
    if (!faults.empty()) text += "\nFaults: these rows and files are left out, the rest is used\n";
    for (const csv::RowFault& fault : faults) text += "  " + fault.fault.sentence() + '\n';
    return text;
}

/// At most so many names of a kind are printed; the JSON has them all.
constexpr std::size_t max_printed = 20;

std::string named(const std::string& title, const std::vector<std::string>& skus) {
    if (skus.empty()) return {};
    std::string text = "  " + title + ": ";
    for (std::size_t i = 0; i < skus.size() && i < max_printed; ++i)
        text += (i == 0 ? "" : ", ") + skus[i];
    if (skus.size() > max_printed)
        text += " and " + std::to_string(skus.size() - max_printed) + " more";
    return text + '\n';
}

std::string changes(const std::string& title, const std::vector<PriceChange>& all) {
    if (all.empty()) return {};
    std::string text = "  " + title + ":\n";
    for (std::size_t i = 0; i < all.size() && i < max_printed; ++i) {
        const PriceChange& change = all[i];
        text += "    " + change.sku +
                (change.min_quantity > 1 ? " from " + std::to_string(change.min_quantity) : "") +
                "  " + change.before.str() + " -> " + change.after.str();
        if (!change.percent.is_zero())
            text += " (" + std::string(change.percent.is_negative() ? "" : "+") +
                    change.percent.str() + " %)";
        text += '\n';
    }
    if (all.size() > max_printed)
        text += "    and " + std::to_string(all.size() - max_printed) + " more\n";
    return text;
}

std::string as_text(const Import& import, bool written) {
    std::string text = import.source + " -> " + import.target.generic_string() +
                       (written ? "" : " (nothing is written)") + '\n';
    text += "  " + counted(import.rows, "good row") + ", " + std::to_string(import.passed_over) +
            " passed over, " + counted(import.faults.size(), "fault") + '\n';
    if (import.replaces) {
        text += "Against the list that is there: " + std::to_string(import.added.size()) +
                " new, " + std::to_string(import.gone.size()) + " gone, " +
                std::to_string(import.dearer.size()) + " dearer, " +
                std::to_string(import.cheaper.size()) + " cheaper, " +
                std::to_string(import.unchanged) + " unchanged\n";
        text += named("new", import.added) + named("gone", import.gone) +
                changes("dearer", import.dearer) + changes("cheaper", import.cheaper) +
                named("sold by another unit or pack", import.sold_otherwise);
    } else {
        text += "The supplier has no such list yet.\n";
    }
    if (!import.notes.empty()) text += "Notes\n";
    for (const std::string& note : import.notes) text += "  " + note + '\n';
    if (!import.faults.empty()) text += "Faults: these rows are left out\n";
    for (const csv::RowFault& fault : import.faults) text += "  " + fault.fault.sentence() + '\n';
    return text;
}

std::string as_json(const Import& import, bool written) {
    const auto changed = [](const std::vector<PriceChange>& all) {
        Json list = Json::array();
        for (const PriceChange& change : all) {
            list.push_back({{"sku", change.sku},
                            {"min_quantity", change.min_quantity},
                            {"before", change.before.str()},
                            {"after", change.after.str()},
                            {"percent", change.percent.str()}});
        }
        return list;
    };
    return printed({{"source", import.source},
                    {"target", import.target.generic_string()},
                    {"written", written},
                    {"rows", import.rows},
                    {"passed_over", import.passed_over},
                    {"replaces", import.replaces},
                    {"unchanged", import.unchanged},
                    {"new", import.added},
                    {"gone", import.gone},
                    {"dearer", changed(import.dearer)},
                    {"cheaper", changed(import.cheaper)},
                    {"sold_otherwise", import.sold_otherwise},
                    {"notes", import.notes},
                    {"faults", faults_as_json(import.faults)}});
}

} // namespace

std::string import_report(const Import& import, bool written, bool json) {
    return json ? as_json(import, written) : as_text(import, written);
}

std::string check_report(const Catalog& catalog, bool json) {
    return check_report(catalog, {}, json);
}

std::string check_report(const Catalog& catalog, const PieceReport& pieces, bool json) {
    return json ? as_json(catalog, pieces) : as_text(catalog, pieces);
}

} // namespace aumbry
