#include "aumbry/study.hpp"

#include "documents/document.hpp"

#include "aumbry/csv.hpp"
#include "aumbry/line_access.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace aumbry {
namespace {

std::string signed_text(const std::string& text, bool negative) {
    return negative || text.front() == '-' ? text : "+" + text;
}

Figure money_figure(std::string name, std::string title, const Money& value, const Money* base) {
    Figure figure{std::move(name), std::move(title), value.grouped(), "", ""};
    if (base == nullptr || value == *base) return figure;
    const Money difference = value - *base;
    figure.difference = signed_text(difference.grouped(), difference.is_negative());
    if (!base->is_zero()) {
        const Decimal percent =
            (difference.decimal() * Decimal(100)).divided_by(base->decimal(), 1);
        figure.percent =
            signed_text(format_number(percent.to_double(), 1), percent.is_negative()) + " %";
    }
    return figure;
}

Figure number_figure(std::string name, std::string title, double value, const double* base,
                     int decimals, const std::string& unit) {
    Figure figure{std::move(name), std::move(title), format_number(value, decimals) + unit, "", ""};
    if (base != nullptr && round_to(value - *base, decimals) != 0) {
        figure.difference =
            signed_text(format_number(value - *base, decimals) + unit, value < *base);
    }
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

/// A value of a line as the estimate's own account of it prints it, with its unit.
std::string printed(const Estimate& estimate, const std::string& line, const std::string& name,
                    const Json& value) {
    if (const auto working = estimate.workings.find(line + '.' + name);
        working != estimate.workings.end())
        return working->second.result;
    if (value.is_string()) return value.get<std::string>();
    if (value.is_number_float()) return format_trimmed(value.get<double>(), 4);
    return value.dump();
}

/// The values of a line that differ between two estimates.
void compare_values(const Estimate& base, const Estimate& other, const std::string& line,
                    const Json& before, const Json& after, std::vector<ValueDifference>& values) {
    for (const auto& [name, value] : after.items()) {
        const auto found = before.find(name);
        if (found == before.end())
            values.push_back({name, "", printed(other, line, name, value)});
        else if (*found != value)
            values.push_back(
                {name, printed(base, line, name, *found), printed(other, line, name, value)});
    }
    for (const auto& [name, value] : before.items()) {
        if (!after.contains(name)) values.push_back({name, printed(base, line, name, value), ""});
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

std::vector<EstimateFinding> problems_without(const Estimate& of, const Estimate& without) {
    std::vector<EstimateFinding> list;
    for (const EstimateFinding& finding : of.findings) {
        if (finding.severity != contract::Severity::problem) continue;
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
    std::vector<std::pair<std::string, std::string>> rows;
    for (const Column& column : columns) {
        auto place = rows.begin();
        for (const Figure& figure : column.figures) {
            const auto known = std::find_if(rows.begin(), rows.end(), [&](const auto& row) {
                return row.first == figure.name;
            });
            if (known != rows.end())
                place = known + 1;
            else
                place = rows.insert(place, {figure.name, figure.title}) + 1;
        }
    }
    for (Column& column : columns) {
        if (!column.estimate) continue;
        std::vector<Figure> aligned;
        for (const auto& [name, title] : rows) {
            const auto own =
                std::find_if(column.figures.begin(), column.figures.end(),
                             [&](const Figure& figure) { return figure.name == name; });
            aligned.push_back(own != column.figures.end() ? *own : Figure{name, title, "", "", ""});
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
                                    base == nullptr ? nullptr : &base_yield, 1, " %"));
    figures.push_back(number_figure("mass", "Mass", estimate.mass,
                                    base == nullptr ? nullptr : &base->mass, 1, " kg"));

    Figure ready{"ready", "Ready", format_date(estimate.schedule.ready), "", ""};
    if (base != nullptr) {
        const auto days = (estimate.schedule.ready - base->schedule.ready).count();
        if (days != 0)
            ready.difference = signed_text(std::to_string(days), days < 0) +
                               (days == 1 || days == -1 ? " day" : " days");
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
        if (old.count != line.count)
            difference.values.push_back(
                {"count", std::to_string(old.count), std::to_string(line.count)});
        if (old.material != line.material)
            difference.values.push_back({"material", old.material, line.material});
        compare_values(base, other, line.id, old.fields, line.fields, difference.values);
        compare_values(base, other, line.id, without(old.derived, line.fields),
                       without(line.derived, line.fields), difference.values);
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
            column.problems_gained = problems_without(*column.estimate, *first.estimate);
            column.problems_lost = problems_without(*first.estimate, *column.estimate);
            column.lines = differing_lines(*first.estimate, *column.estimate, project);
        } catch (const FaultError& error) {
            column.faults = error.faults();
        }
        if (progress) progress(i + 2, all);
    }
    align(comparison.columns);
    return comparison;
}

// ---------------------------------------------------------------- documents

namespace {

Json finding_json(const EstimateFinding& finding) {
    Json out = {{"code", finding.code}};
    if (!finding.module.empty()) out["module"] = finding.module;
    if (!finding.line.empty()) out["line"] = finding.line;
    out["text"] = finding.text;
    return out;
}

} // namespace

Json to_json(const Comparison& comparison) {
    static constexpr std::array<const char*, 3> kinds{"changed", "added", "removed"};
    Json columns = Json::array();
    for (const Column& column : comparison.columns) {
        Json out = {{"alternative", column.id}, {"title", column.title}};
        if (!column.estimate) {
            Json faults = Json::array();
            for (const Fault& fault : column.faults) faults.push_back(fault.sentence());
            out["faults"] = faults;
            columns.push_back(std::move(out));
            continue;
        }
        Json figures = Json::object();
        for (const Figure& figure : column.figures) {
            Json row = {{"title", figure.title}, {"value", figure.value}};
            if (!figure.difference.empty()) row["difference"] = figure.difference;
            if (!figure.percent.empty()) row["percent"] = figure.percent;
            figures[figure.name] = std::move(row);
        }
        out["figures"] = std::move(figures);
        for (const auto& [key, list] : {std::pair{"problems_gained", &column.problems_gained},
                                        std::pair{"problems_lost", &column.problems_lost}}) {
            Json findings = Json::array();
            for (const EstimateFinding& finding : *list) findings.push_back(finding_json(finding));
            out[key] = std::move(findings);
        }
        Json lines = Json::array();
        for (const LineDifference& line : column.lines) {
            Json values = Json::array();
            for (const ValueDifference& value : line.values)
                values.push_back(
                    {{"name", value.name}, {"before", value.before}, {"after", value.after}});
            lines.push_back({{"line", line.line},
                             {"title", line.title},
                             {"kind", kinds[static_cast<std::size_t>(line.kind)]},
                             {"why", line.why},
                             {"cost_before", line.cost_before.str()},
                             {"cost_after", line.cost_after.str()},
                             {"values", values}});
        }
        out["lines"] = std::move(lines);
        columns.push_back(std::move(out));
    }
    return {{"aumbry_comparison", 1},
            {"title", comparison.title},
            {"currency", comparison.currency.code},
            {"columns", columns}};
}

std::string to_csv(const Comparison& comparison) {
    std::vector<std::string> record{"figure", "title"};
    for (const Column& column : comparison.columns) {
        record.push_back(column.title);
        if (column.id.empty()) continue;
        record.push_back("difference of " + column.title);
        record.push_back("per cent of " + column.title);
    }
    std::string text = csv::write_record(record);
    for (std::size_t row = 0; row < comparison.columns.front().figures.size(); ++row) {
        const Figure& first = comparison.columns.front().figures[row];
        record = {first.name, first.title};
        for (const Column& column : comparison.columns) {
            const Figure figure = column.estimate ? column.figures[row] : Figure{};
            record.push_back(figure.value);
            if (column.id.empty()) continue;
            record.push_back(figure.difference);
            record.push_back(figure.percent);
        }
        text += csv::write_record(record);
    }
    return text;
}

} // namespace aumbry
