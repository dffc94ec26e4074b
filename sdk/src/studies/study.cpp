#include "aumbry/study.hpp"

#include "documents/document.hpp"

#include "aumbry/csv.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <initializer_list>
#include <map>

namespace aumbry {
namespace {

Figure money_figure(std::string name, std::string title, const Money& value, const Money* base) {
    Figure figure{
        std::move(name), std::move(title), std::string(value.currency().code), 0, value, {}, {}};
    if (base == nullptr || value == *base) return figure;
    const Money difference = value - *base;
    figure.difference = difference;
    if (!base->is_zero())
        figure.percent =
            (difference.decimal() * Decimal(100)).divided_by(base->decimal(), 1).to_double();
    return figure;
}

Figure number_figure(std::string name, std::string title, double value, const double* base,
                     int decimals, const std::string& unit) {
    Figure figure{
        std::move(name), std::move(title), unit, decimals, round_to(value, decimals), {}, {}};
    if (base == nullptr) return figure;
    // Of what both columns show, so that a reader can add it up.
    const double shown = round_to(value, decimals) - round_to(*base, decimals);
    if (const double difference = round_to(shown, decimals); difference != 0)
        figure.difference = difference;
    return figure;
}

std::int64_t sheets_of(const Estimate& estimate) {
    std::int64_t sheets = 0;
    for (const contract::SheetPlan& plan : estimate.cutting_plans) sheets += plan.copies;
    return sheets;
}

/// Share of the area of all sheets cut that ends in parts as cut, in per cent. Boards do not count:
/// they are bought by length or volume.
double yield_of(const Estimate& estimate) {
    double parts = 0;
    double sheets = 0;
    for (const contract::SheetPlan& plan : estimate.cutting_plans) {
        const auto copies = static_cast<double>(plan.copies);
        sheets += copies * plan.sheet.length * plan.sheet.width;
        for (const contract::Placement& part : plan.placements)
            parts += copies * part.length * part.width;
    }
    return sheets > 0 ? round_to(parts / sheets * 100, 1) : 0;
}

double problems_of(const Estimate& estimate) {
    return static_cast<double>(std::count_if(
        estimate.findings.begin(), estimate.findings.end(), [](const EstimateFinding& finding) {
            return finding.severity == contract::Severity::problem;
        }));
}

const Part* part_of(const std::vector<Part>& parts, const std::string& id) {
    const auto found =
        std::find_if(parts.begin(), parts.end(), [&](const Part& part) { return part.id == id; });
    return found == parts.end() ? nullptr : &*found;
}

void part_figures(std::vector<Figure>& figures, const char* prefix, const std::vector<Part>& own,
                  const std::vector<Part>* base) {
    // Every part of either, so that all columns have the same rows.
    std::vector<const Part*> all;
    for (const Part& part : own) all.push_back(&part);
    if (base != nullptr) {
        for (const Part& part : *base) {
            if (part_of(own, part.id) == nullptr) all.push_back(&part);
        }
    }
    for (const Part* part : all) {
        const Part* mine = part_of(own, part->id);
        const Part* theirs = base == nullptr ? nullptr : part_of(*base, part->id);
        const Money zero = Money::zero(part->totals.total.currency());
        const Money value = mine == nullptr ? zero : mine->totals.total;
        const Money before = theirs == nullptr ? zero : theirs->totals.total;
        figures.push_back(
            money_figure(std::string(prefix) + (part->id.empty() ? "whole_job" : part->id),
                         part->title, value, base == nullptr ? nullptr : &before));
    }
}

/// The values of a line that differ between two estimates.
void compare_values(const Json& before, const Json& after, std::vector<ValueDifference>& values) {
    for (const auto& [name, value] : after.items()) {
        const auto found = before.find(name);
        if (found == before.end())
            values.push_back({name, nullptr, value});
        else if (*found != value)
            values.push_back({name, *found, value});
    }
    for (const auto& [name, value] : before.items()) {
        if (!after.contains(name)) values.push_back({name, value, nullptr});
    }
}

/// The values whose names are not among others: a derived value that a field gives is told once.
Json without(const Json& values, const Json& others) {
    Json left = Json::object();
    for (const auto& [name, value] : values.items()) {
        if (!others.contains(name)) left[name] = value;
    }
    return left;
}

std::string why_of(const EstimateLine& line, const std::vector<ValueDifference>& values,
                   const Project& project) {
    const std::string changes = pointer_to("/alternatives", project.alternative) + "/changes";
    if (find_at(project.document, changes + pointer_to("/lines", line.id)) != nullptr)
        return "changed here";
    if (!line.material.empty() &&
        find_at(project.document, changes + pointer_to("/materials", line.material)) != nullptr) {
        return "its material '" + line.material + "' is changed";
    }
    if (!values.empty()) return "follows from what it depends on";
    return "bought together with others";
}

/// Findings of some severities that another estimate has not.
std::vector<EstimateFinding> findings_without(const Estimate& of, const Estimate& without,
                                              std::initializer_list<contract::Severity> wanted) {
    std::vector<EstimateFinding> list;
    for (const EstimateFinding& finding : of.findings) {
        if (std::find(wanted.begin(), wanted.end(), finding.severity) == wanted.end()) continue;
        const bool there = std::any_of(
            without.findings.begin(), without.findings.end(), [&](const EstimateFinding& other) {
                return other.severity == finding.severity && other.code == finding.code &&
                       other.line == finding.line && other.module == finding.module;
            });
        if (!there) list.push_back(finding);
    }
    return list;
}

/// The rows of all columns, in the order of first appearance, so that a piece of one alternative is
/// a row of all.
void align(std::vector<Column>& columns) {
    struct Row {
        std::string name;
        std::string title;
        std::string unit;
    };
    std::vector<Row> rows;
    for (const Column& column : columns) {
        auto place = rows.begin();
        for (const Figure& figure : column.figures) {
            const auto known = std::find_if(
                rows.begin(), rows.end(), [&](const Row& row) { return row.name == figure.name; });
            if (known != rows.end())
                place = known + 1;
            else
                place = rows.insert(place, {figure.name, figure.title, figure.unit}) + 1;
        }
    }
    for (Column& column : columns) {
        if (!column.estimate) continue;
        std::vector<Figure> aligned;
        for (const auto& [name, title, unit] : rows) {
            const auto own =
                std::find_if(column.figures.begin(), column.figures.end(),
                             [&](const Figure& figure) { return figure.name == name; });
            aligned.push_back(
                own != column.figures.end() ? *own : Figure{name, title, unit, 0, {}, {}, {}});
        }
        column.figures = std::move(aligned);
    }
}

} // namespace

std::vector<Figure> figures_of(const Estimate& estimate, const Estimate* base) {
    std::vector<Figure> figures;
    figures.push_back(money_figure("total", "Total", estimate.totals.total,
                                   base == nullptr ? nullptr : &base->totals.total));
    part_figures(figures, "piece.", estimate.by_piece, base == nullptr ? nullptr : &base->by_piece);
    part_figures(figures, "module.", estimate.by_module,
                 base == nullptr ? nullptr : &base->by_module);

    const auto sheets = static_cast<double>(sheets_of(estimate));
    const double base_sheets = base == nullptr ? 0 : static_cast<double>(sheets_of(*base));
    figures.push_back(
        number_figure("sheets", "Sheets", sheets, base == nullptr ? nullptr : &base_sheets, 0, ""));
    const double yield = yield_of(estimate);
    const double base_yield = base == nullptr ? 0 : yield_of(*base);
    figures.push_back(number_figure("yield", "Yield of sheets", yield,
                                    base == nullptr ? nullptr : &base_yield, 1, "%"));
    figures.push_back(number_figure("mass", "Mass", estimate.mass,
                                    base == nullptr ? nullptr : &base->mass, 1, "kg"));
    figures.back().length_unit = estimate.length_unit;

    Figure ready{"ready", "Ready", "date", 0, estimate.schedule.ready, {}, {}};
    if (base != nullptr) {
        const auto days = (estimate.schedule.ready - base->schedule.ready).count();
        if (days != 0) ready.difference = static_cast<double>(days);
    }
    figures.push_back(std::move(ready));
    const double problems = problems_of(estimate);
    const double base_problems = base == nullptr ? 0 : problems_of(*base);
    figures.push_back(number_figure("problems", "Problems", problems,
                                    base == nullptr ? nullptr : &base_problems, 0, ""));
    return figures;
}

std::vector<LineDifference> differing_lines(const Estimate& base, const Estimate& other,
                                            const Project& other_project) {
    std::map<std::string, const EstimateLine*> before;
    for (const EstimateLine& line : base.lines) before[line.id] = &line;
    const Money zero = Money::zero(base.currency);
    std::vector<LineDifference> list;
    for (const EstimateLine& line : other.lines) {
        const auto found = before.find(line.id);
        if (found == before.end()) {
            list.push_back({line.id,
                            line.title,
                            LineDifference::Kind::added,
                            {},
                            zero,
                            line.cost,
                            "added here"});
            continue;
        }
        const EstimateLine& old = *found->second;
        before.erase(found);
        LineDifference difference{
            line.id, line.title, LineDifference::Kind::changed, {}, old.cost, line.cost, ""};
        if (old.kind != line.kind) difference.values.push_back({"kind", old.kind, line.kind});
        if (old.count != line.count) difference.values.push_back({"count", old.count, line.count});
        if (old.material != line.material)
            difference.values.push_back({"material", old.material, line.material});
        compare_values(old.fields, line.fields, difference.values);
        compare_values(without(old.derived, line.fields), without(line.derived, line.fields),
                       difference.values);
        if (difference.values.empty() && old.cost == line.cost && old.not_priced == line.not_priced)
            continue;
        difference.why = why_of(line, difference.values, other_project);
        list.push_back(std::move(difference));
    }
    for (const EstimateLine& line : base.lines) {
        if (before.contains(line.id))
            list.push_back({line.id,
                            line.title,
                            LineDifference::Kind::removed,
                            {},
                            line.cost,
                            zero,
                            "removed here"});
    }
    return list;
}

Comparison compare(const Project& base, PluginHost& host, const Catalog& catalog,
                   const EstimateOptions& options, const std::vector<std::string>& ids,
                   const std::function<void(std::size_t, std::size_t)>& progress) {
    std::vector<AlternativeName> wanted;
    const std::vector<AlternativeName> known = alternatives(base);
    for (const std::string& id : ids) {
        const auto found = std::find_if(known.begin(), known.end(),
                                        [&](const AlternativeName& name) { return name.id == id; });
        if (found == known.end())
            (void)with_alternative(base, id); // says what is wrong
        else
            wanted.push_back(*found);
    }
    if (ids.empty()) wanted = known;

    Comparison comparison;
    comparison.columns.resize(wanted.size() + 1);
    const std::size_t all = comparison.columns.size();
    Column& first = comparison.columns.front();
    first.title = "Base";
    first.estimate = estimate(base, host, catalog, options);
    first.figures = figures_of(*first.estimate, nullptr);
    comparison.title = first.estimate->title;
    comparison.currency = first.estimate->currency;
    if (progress) progress(1, all);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        Column& column = comparison.columns[i + 1];
        column.id = wanted[i].id;
        column.title = wanted[i].title;
        try {
            const Project project = with_alternative(base, column.id);
            column.estimate = estimate(project, host, catalog, options);
            column.figures = figures_of(*column.estimate, &*first.estimate);
            const Estimate& own = *column.estimate;
            using enum contract::Severity;
            column.problems_gained = findings_without(own, *first.estimate, {problem});
            column.problems_lost = findings_without(*first.estimate, own, {problem});
            column.cautions_gained = findings_without(own, *first.estimate, {warning, caution});
            column.cautions_lost = findings_without(*first.estimate, own, {warning, caution});
            column.lines = differing_lines(*first.estimate, *column.estimate, project);
        } catch (const FaultError& error) {
            column.faults = error.faults();
        }
        if (progress) progress(i + 2, all);
    }
    align(comparison.columns);
    return comparison;
}

} // namespace aumbry
