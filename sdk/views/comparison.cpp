#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace aumbry::views {
namespace {

std::string with_sign(const std::string& text) {
    return text.starts_with('-') ? text : '+' + text;
}

std::string number_text(const Figure& figure, double number) {
    if (figure.unit == "kg" && figure.length_unit == "in")
        return mass_text(number, figure.length_unit, figure.decimals);
    return format_number(number, figure.decimals) + (figure.unit.empty() ? "" : ' ' + figure.unit);
}

/// A name of the file as words: "moving mass" for "moving_mass".
std::string spaced(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    return name;
}

/// Records in words, not in the notation of the file: "Kade sealer; Kade varnish".
std::string in_plain_words(const Json& value) {
    if (value.is_null()) return "none";
    if (value.is_string()) return value.get<std::string>();
    if (value.is_boolean()) return value.get<bool>() ? "yes" : "no";
    if (value.is_number_float()) return format_trimmed(value.get<double>(), 4);
    if (!value.is_structured()) return value.dump();
    std::string words;
    for (const auto& [name, member] : value.items()) {
        if (!words.empty()) words += value.is_array() ? "; " : ", ";
        words += (value.is_array() ? "" : spaced(name) + ' ') + in_plain_words(member);
    }
    return words.empty() ? "none" : words;
}

/// A value of a line as the estimate's own working prints it, with its unit.
std::string value_text(const std::optional<Estimate>& estimate, const std::string& line,
                       const std::string& name, const Json& value) {
    if (!value.is_null() && !value.is_structured() && estimate) {
        const auto working = estimate->workings.find(line + '.' + name);
        if (working != estimate->workings.end()) return working->second.result;
    }
    return in_plain_words(value);
}

/// Of two records the members that differ.
Json differing_members(const Json& of, const Json& other) {
    if (!of.is_object() || !other.is_object()) return of;
    Json out = Json::object();
    for (const auto& [name, member] : of.items()) {
        if (!other.contains(name) || other.at(name) != member) out[name] = member;
    }
    return out;
}

/// What is too little to be read one by one.
bool is_small(const Money& difference, const Comparison& comparison) {
    const Money& total = comparison.columns.front().estimate->totals.total;
    const Decimal of_it = difference.decimal() * Decimal(100);
    return (difference.is_negative() ? -of_it : of_it) < total.decimal();
}

/// One figure with its differences, in every column shown.
void figure_rows(Table& table, const std::vector<const Column*>& shown, std::size_t row) {
    const Figure& first = shown.front()->figures[row];
    std::vector<std::string> values{first.title};
    std::vector<std::string> differences{"  against the base"};
    std::vector<std::string> percents{""};
    bool differs = false;
    bool has_percent = false;
    for (const Column* column : shown) {
        const FigureText figure = text_of(column->figures[row]);
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

/// Parts of the total that no alternative moves by 1 %, told as one.
class SmallParts {
  public:
    explicit SmallParts(const Comparison& comparison) : comparison_(comparison) {}

    /// Whether a row is one of them; then it is added up.
    bool takes(const std::vector<const Column*>& shown, std::size_t row) {
        for (const Column* column : shown) {
            const Figure& figure = column->figures[row];
            const Money* difference = std::get_if<Money>(&figure.difference);
            if (std::get_if<Money>(&figure.value) == nullptr ||
                (difference != nullptr && !is_small(*difference, comparison_)))
                return false;
        }
        values_.resize(shown.size(), Money::zero(comparison_.currency));
        differences_.resize(shown.size(), Money::zero(comparison_.currency));
        for (std::size_t i = 0; i < shown.size(); ++i) {
            values_[i] += std::get<Money>(shown[i]->figures[row].value);
            if (const auto* difference = std::get_if<Money>(&shown[i]->figures[row].difference))
                differences_[i] += *difference;
        }
        ++count_;
        return true;
    }

    void print(Table& table) const {
        if (count_ == 0) return;
        std::vector<std::string> values{std::to_string(count_) +
                                        (count_ == 1 ? " that moves" : " that move") +
                                        " by less than 1 %"};
        std::vector<std::string> differences{"  against the base"};
        bool differs = false;
        for (std::size_t i = 0; i < values_.size(); ++i) {
            values.push_back(values_[i].grouped());
            differences.push_back(differences_[i].is_zero() ? "" : signed_amount(differences_[i]));
            differs = differs || !differences_[i].is_zero();
        }
        table.row(values);
        if (differs) table.row(differences);
    }

  private:
    const Comparison& comparison_;
    std::vector<Money> values_;
    std::vector<Money> differences_;
    std::size_t count_ = 0;
};

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
    const std::vector<Figure>& figures = shown.front()->figures;
    for (std::size_t row = 0; row < figures.size();) {
        const std::string group = group_of(figures[row].name);
        std::size_t end = row + 1;
        while (end < figures.size() && group_of(figures[end].name) == group) ++end;
        const bool parts = figures[row].name.find('.') != std::string::npos;
        if (row > 0 && (parts || figures[row - 1].name.find('.') != std::string::npos))
            table.rule();
        SmallParts small(comparison);
        for (; row < end; ++row) {
            if (!parts || !small.takes(shown, row)) figure_rows(table, shown, row);
        }
        small.print(table);
    }
    table.print(page);
}

} // namespace

FigureText text_of(const Figure& figure) {
    FigureText text;
    if (const Money* amount = std::get_if<Money>(&figure.value))
        text.value = amount->grouped();
    else if (const double* number = std::get_if<double>(&figure.value))
        text.value = number_text(figure, *number);
    else if (const Date* date = std::get_if<Date>(&figure.value))
        text.value = format_date(*date);
    if (const Money* amount = std::get_if<Money>(&figure.difference)) {
        text.difference = signed_amount(*amount);
    } else if (const double* number = std::get_if<double>(&figure.difference)) {
        const bool one = *number == 1 || *number == -1;
        text.difference =
            with_sign(figure.unit == "date" ? format_number(*number, 0) + (one ? " day" : " days")
                                            : number_text(figure, *number));
    }
    if (figure.percent) text.percent = with_sign(format_number(*figure.percent, 1)) + " %";
    return text;
}

std::vector<DifferenceText> differences_of(const Comparison& comparison, const Column& column,
                                           const LineDifference& line) {
    std::vector<DifferenceText> texts;
    const std::optional<Estimate>& base = comparison.columns.front().estimate;
    for (const ValueDifference& value : line.values) {
        const Json before = differing_members(value.before, value.after);
        const Json after = differing_members(value.after, value.before);
        texts.push_back({spaced(value.name), value_text(base, line.line, value.name, before),
                         value_text(column.estimate, line.line, value.name, after)});
    }
    return texts;
}

namespace {

/// A line that differs: what, by how much, and why.
void line_row(Page& page, const Comparison& comparison, const Column& column,
              const LineDifference& line) {
    const std::vector<DifferenceText> differences = differences_of(comparison, column, line);
    constexpr std::size_t most = 3;
    std::string what;
    for (std::size_t i = 0; i < std::min(most, differences.size()); ++i)
        what += (what.empty() ? "" : ", ") + differences[i].name + ' ' + differences[i].before +
                " -> " + differences[i].after;
    if (differences.size() > most)
        what += " and " + std::to_string(differences.size() - most) + " more";
    const Money difference = line.cost_after - line.cost_before;
    std::string text = line.title + ": ";
    if (!what.empty()) text += what + "; ";
    text += difference.is_zero() ? "same cost" : signed_amount(difference);
    page.wrapped("  ", text + " (" + line.why + ")");
}

/// Findings gained or lost: the first few in full.
void told(Page& page, const char* lead, const std::vector<EstimateFinding>& findings,
          std::size_t most) {
    for (std::size_t i = 0; i < std::min(most, findings.size()); ++i)
        page.wrapped(lead, findings[i].text);
    if (findings.size() > most)
        page.wrapped(lead, "and " + std::to_string(findings.size() - most) + " more");
}

/// Hours of each kind of work, of all who do it.
std::map<std::string, double> hours_by_kind(const Estimate& estimate) {
    std::map<std::string, double> hours;
    for (const EstimateTask& task : estimate.schedule.tasks)
        hours[task.operation.empty() ? task.title : task.operation] += task.minutes * static_cast<double>(task.people) / 60;
    return hours;
}

/// Where more or fewer hours come from: the kinds of work that change most.
void hours(Page& page, const Estimate& base, const Estimate& own) {
    const std::map<std::string, double> before = hours_by_kind(base);
    const std::map<std::string, double> after = hours_by_kind(own);
    struct Change {
        std::string title;
        double by;
    };
    std::vector<Change> changes;
    double all = 0;
    const auto of = [](const std::map<std::string, double>& hours, const std::string& title) {
        const auto found = hours.find(title);
        return found == hours.end() ? 0 : found->second;
    };
    for (const auto& [title, amount] : before)
        changes.push_back({title, of(after, title) - amount});
    for (const auto& [title, amount] : after) {
        if (!before.contains(title)) changes.push_back({title, amount});
    }
    for (const Change& change : changes) all += change.by;
    std::erase_if(changes, [](const Change& change) { return std::abs(change.by) < 0.05; });
    if (changes.empty() || std::abs(all) < 0.05) return;
    std::stable_sort(changes.begin(), changes.end(), [](const Change& a, const Change& b) {
        return std::abs(a.by) > std::abs(b.by);
    });
    const auto signed_hours = [](double by) { return with_sign(format_number(by, 1)) + " h"; };
    constexpr std::size_t most = 3;
    std::string text = signed_hours(all) + ": ";
    for (std::size_t i = 0; i < std::min(most, changes.size()); ++i)
        text += (i == 0 ? "" : "; ") + changes[i].title + ' ' + signed_hours(changes[i].by);
    if (changes.size() > most)
        text += "; and " + std::to_string(changes.size() - most) + " more";
    page.wrapped("work  ", text);
}

/// An alternative against the base: findings, hours, then lines.
void against_base(Page& page, const Comparison& comparison, const Column& column) {
    page.heading(column.title + " (" + column.id + ")");
    if (!column.estimate) {
        page.line("cannot be priced:");
        for (const Fault& fault : column.faults) page.wrapped("  ", fault.sentence());
        return;
    }
    constexpr std::size_t most = 4;
    told(page, "problem gained  ", column.problems_gained, column.problems_gained.size());
    told(page, "problem lost    ", column.problems_lost, column.problems_lost.size());
    told(page, "caution gained  ", column.cautions_gained, most);
    told(page, "caution lost    ", column.cautions_lost, most);
    hours(page, *comparison.columns.front().estimate, *column.estimate);
    if (column.lines.empty()) page.line("No line differs.");
    // A purchase that changes moves the shares of many lines a little: together they say enough.
    std::size_t others = 0;
    Money moved = Money::zero(comparison.currency);
    for (const LineDifference& line : column.lines) {
        const Money difference = line.cost_after - line.cost_before;
        if (line.kind != LineDifference::Kind::changed || line.why == "changed here" ||
            !is_small(difference, comparison)) {
            line_row(page, comparison, column, line);
            continue;
        }
        ++others;
        moved += difference;
    }
    if (others > 0)
        page.wrapped(
            "  ", (others == 1 ? "1 other line" : std::to_string(others) + " other lines") +
                      " that " + (others == 1 ? "changes" : "change") +
                      " by less than 1 % of the total each: " + signed_amount(moved) + " in all");
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
        against_base(page, comparison, column);
    }
    return page.str();
}

} // namespace aumbry::views
