#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include <algorithm>

namespace aumbry::views {
namespace {

constexpr std::size_t columns_at_once = 4;

/// A block of the base and a few alternatives beside it.
void block(Page& page, const Comparison& comparison, std::size_t from, std::size_t up_to) {
    std::vector<const Column*> shown{&comparison.columns.front()};
    for (std::size_t i = from; i < up_to; ++i) {
        if (comparison.columns[i].estimate) shown.push_back(&comparison.columns[i]);
    }
    std::vector<std::string> headings{""};
    for (std::size_t i = 0; i < shown.size(); ++i)
        headings.push_back(
            i == 0 ? "base"
                   : left(shown[i]->id, std::min<std::size_t>(width_of(shown[i]->id), 13)));
    Table table(headings);
    const auto group_of = [](const std::string& name) { return name.substr(0, name.find('.')); };
    for (std::size_t row = 0; row < shown.front()->figures.size(); ++row) {
        const Figure& first = shown.front()->figures[row];
        if (row > 0 && group_of(first.name) != group_of(shown.front()->figures[row - 1].name) &&
            (first.name.find('.') != std::string::npos ||
             shown.front()->figures[row - 1].name.find('.') != std::string::npos)) {
            table.rule();
        }
        std::vector<std::string> values{first.title};
        std::vector<std::string> differences{"  against the base"};
        std::vector<std::string> percents{""};
        bool differs = false;
        bool has_percent = false;
        for (const Column* column : shown) {
            const Figure& figure = column->figures[row];
            values.push_back(figure.value);
            differences.push_back(figure.difference);
            percents.push_back(figure.percent);
            differs = differs || !figure.difference.empty();
            has_percent = has_percent || !figure.percent.empty();
        }
        table.row(values);
        if (differs) table.row(differences);
        if (has_percent && first.name == "total") table.row(percents);
    }
    table.print(page);
}

} // namespace

std::string comparison(const Comparison& comparison, bool colour) {
    Page page(colour);
    page.line(page.strong(comparison.title));
    page.line("Base and alternatives, amounts in " + comparison.currency.code);
    for (const Column& column : comparison.columns) {
        if (!column.id.empty()) page.wrapped("  " + left(column.id, 14) + " ", column.title);
    }
    for (std::size_t from = 1; from < comparison.columns.size() || from == 1;
         from += columns_at_once - 1) {
        page.line();
        block(page, comparison, from,
              std::min(from + columns_at_once - 1, comparison.columns.size()));
    }
    for (const Column& column : comparison.columns) {
        if (column.id.empty()) continue;
        page.heading(column.title + " (" + column.id + ")");
        if (!column.estimate) {
            page.line("cannot be priced:");
            for (const Fault& fault : column.faults) page.wrapped("  ", fault.sentence());
            continue;
        }
        for (const EstimateFinding& finding : column.problems_gained)
            page.wrapped("problem gained  ", finding.text);
        for (const EstimateFinding& finding : column.problems_lost)
            page.wrapped("problem lost    ", finding.text);
        if (column.lines.empty()) page.line("No line differs.");
        for (const LineDifference& line : column.lines) {
            std::string what;
            std::size_t told = 0;
            for (const ValueDifference& value : line.values) {
                if (++told > 3) continue;
                what += (what.empty() ? "" : ", ") + value.name + ' ' +
                        (value.before.empty() ? "none" : value.before) + " -> " +
                        (value.after.empty() ? "none" : value.after);
            }
            if (line.values.size() > 3)
                what += " and " + std::to_string(line.values.size() - 3) + " more";
            const Money difference = line.cost_after - line.cost_before;
            std::string text = line.title + ": ";
            if (!what.empty()) text += what + "; ";
            text += difference.is_zero()
                        ? "same cost"
                        : (difference.is_negative() ? "" : "+") + difference.grouped();
            page.wrapped("  ", text + " (" + line.why + ")");
        }
    }
    return page.str();
}

} // namespace aumbry::views
