#include "views/text_page.hpp"
#include "views/text_views.hpp"

namespace aumbry::views {

namespace {

std::string count_of(std::size_t number, const std::string& what) {
    return std::to_string(number) + ' ' + what + (number == 1 ? "" : "s");
}

std::string names_listed(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

std::string parts_json(const PartsTaken& taken, const std::string& project, bool written) {
    Json changed = Json::array();
    for (const PartsChange& change : taken.changed)
        changed.push_back({{"line", change.line},
                           {"field", change.field},
                           {"before", change.before},
                           {"after", change.after}});
    Json faults = Json::array();
    for (const csv::RowFault& fault : taken.faults) {
        Json one = {{"code", fault.fault.code}, {"row", fault.row}};
        if (!fault.column.empty()) one["column"] = fault.column;
        if (!fault.value.empty()) one["value"] = fault.value;
        one["wrong"] = fault.fault.wrong;
        one["right"] = fault.fault.right;
        faults.push_back(std::move(one));
    }
    return pretty({{"source", taken.source},
                   {"list", taken.list},
                   {"project", project},
                   {"written", written},
                   {"rows", taken.rows},
                   {"passed_over", taken.passed_over},
                   {"new", taken.added},
                   {"gone", taken.gone},
                   {"pieces", taken.pieces},
                   {"changed", changed},
                   {"unchanged", taken.unchanged},
                   {"notes", taken.notes},
                   {"faults", faults}});
}

} // namespace

std::string parts_report(const PartsTaken& taken, const std::string& project, bool written,
                         bool json) {
    if (json) return parts_json(taken, project, written);
    Page page;
    page.wrapped("", taken.source + " -> " + project + (written ? "" : " (nothing is written)"));
    std::string rows = count_of(taken.rows, "part");
    if (!taken.passed_over.empty()) {
        rows += taken.passed_over.size() == 1 ? ", row" : ", rows";
        for (std::size_t i = 0; i < taken.passed_over.size(); ++i)
            rows += (i == 0 ? " " : ", ") + std::to_string(taken.passed_over[i]);
        rows += " passed over";
    }
    page.wrapped("  ", rows + ", " + count_of(taken.faults.size(), "fault"));
    if (!taken.pieces.empty()) page.wrapped("  new pieces: ", names_listed(taken.pieces));
    if (!taken.added.empty()) page.wrapped("  new: ", names_listed(taken.added));
    if (!taken.changed.empty()) page.line("  changed:");
    for (const PartsChange& change : taken.changed)
        page.wrapped("    ", change.line + "  " + change.field + ' ' +
                                 (change.before.empty() ? "not stated" : change.before) + " -> " +
                                 change.after);
    if (taken.unchanged > 0) page.line("  unchanged: " + count_of(taken.unchanged, "line"));
    if (!taken.gone.empty())
        page.wrapped("  no longer in the list: ",
                     names_listed(taken.gone) +
                         (taken.gone_dropped ? "; taken out" : " (--drop-gone takes them out)"));
    for (const std::string& note : taken.notes) page.wrapped("  note: ", note);
    if (!taken.faults.empty())
        page.wrapped("", "Faults: nothing is taken in before they are mended");
    for (const csv::RowFault& fault : taken.faults) page.wrapped("  ", fault.fault.sentence());
    return page.str();
}

std::string parts_table(const PartsTable& parts, bool colour) {
    Page page(colour);
    Table table(parts.header);
    for (const std::vector<std::string>& row : parts.rows) table.row(row);
    table.print(page);
    return page.str();
}

} // namespace aumbry::views
