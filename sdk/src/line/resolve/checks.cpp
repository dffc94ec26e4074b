// Checks: formulas of which the project says that they must hold.
#include "line/resolve/sections.hpp"

#include "values/excerpt.hpp"

#include "aumbry/formula.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::resolving {

namespace {

/// What adding and dividing doubles leaves over, in mm and the other base units.
constexpr double rounding = 1e-6;

/// One check as it is written.
struct WrittenCheck {
    std::string id;
    std::string pointer;
    std::string text;
    std::string first;
    std::string second;
    bool equal = false; ///< else the first may not be above the second
    std::string within;
};

/// Empty when it is at fault.
std::optional<WrittenCheck> read_check(const Reading& reading, const std::string& id,
                                       const Json& json) {
    WrittenCheck check;
    check.id = id;
    check.pointer = pointer_to("/checks", id);
    const std::size_t before = reading.faults.size();
    const Json values = read_fields(check_fields(), json, check.pointer, {}, reading.faults);
    if (reading.faults.size() != before) return std::nullopt;
    if (values.contains("equal") == values.contains("at_most")) {
        reading.faults.add(
            values.contains("equal") ? "both-given" : "missing-key", check.pointer,
            "the check says " + std::string(values.contains("equal") ? "both" : "neither") +
                " 'equal' " + (values.contains("equal") ? "and" : "nor") + " 'at_most'",
            "write one of them, as \"equal\": [\"frame.width\", \"wall\"]");
        return std::nullopt;
    }
    check.equal = values.contains("equal");
    const char* key = check.equal ? "equal" : "at_most";
    if (values[key].size() != 2) {
        reading.faults.add("wrong-type", check.pointer + '/' + key,
                           "found " + std::to_string(values[key].size()) + " formulas",
                           "write two, as [\"frame.width\", \"wall\"]");
        return std::nullopt;
    }
    check.text = text(values, "text");
    check.first = values[key][0].get<std::string>();
    check.second = values[key][1].get<std::string>();
    check.within = text(values, "within");
    return check;
}

/// A formula of a check; empty when it is at fault.
std::optional<Quantity> evaluated(const Reading& reading, const std::string& formula,
                                  const std::string& pointer) {
    std::optional<Quantity> value;
    reading.at(pointer, [&] { value = Formula::parse(formula).evaluate(reading.names.lookup); });
    return value;
}

contract::Working working_of(const Reading& reading, const WrittenCheck& check, LengthUnit shown,
                             const std::string& result) {
    contract::Working working;
    working.ref = "check." + check.id;
    working.title = check.text;
    working.formula = check.first + (check.equal ? " = " : " <= ") + check.second;
    for (const std::string& side : {check.first, check.second}) {
        for (const std::string& name : Formula::parse(side).names()) {
            if (std::none_of(working.inputs.begin(), working.inputs.end(),
                             [&](const auto& input) { return input.name == name; }))
                working.inputs.push_back(
                    {name, format_quantity(reading.names.lookup(name), shown), name});
        }
    }
    working.result = result;
    working.source = "project, " + check.pointer;
    return working;
}

/// Why a check cannot be made; empty when it can.
std::string missing_value(const WrittenCheck& check,
                          const std::function<std::string(const std::string&)>& not_priced) {
    for (const std::string& side : {check.first, check.second}) {
        try {
            for (const std::string& name : Formula::parse(side).names()) {
                const std::string reason = not_priced(name);
                if (!reason.empty()) return in_quotes(name) + " has no value: " + reason;
            }
        } catch (const FaultError&) {
            return {}; // told when the side is evaluated
        }
    }
    return {};
}

void make_check(const Reading& reading, const WrittenCheck& check, LengthUnit shown, Checked& out) {
    const std::string pair = check.pointer + (check.equal ? "/equal" : "/at_most");
    const auto first = evaluated(reading, check.first, pair + "/0");
    const auto second = evaluated(reading, check.second, pair + "/1");
    const auto within =
        check.within.empty()
            ? std::optional<Quantity>(Quantity(0, first ? first->dimension : Dimension()))
            : evaluated(reading, check.within, check.pointer + "/within");
    if (!first || !second || !within) return;
    const std::size_t before = reading.faults.size();
    reading.at(pair + "/1", [&] { expect_dimension(*second, first->dimension); });
    reading.at(check.pointer + "/within", [&] { expect_dimension(*within, first->dimension); });
    if (reading.faults.size() != before) return;

    const double excess = first->value - second->value;
    const double allowed = within->value + rounding;
    const bool holds = excess <= allowed && (!check.equal || -excess <= allowed);
    const auto said = [&](const Quantity& value) { return format_quantity(value, shown); };
    std::string result = said(*first) + " and " + said(*second);
    if (!holds) {
        const std::string by = said(Quantity(std::abs(excess), first->dimension));
        result += ", " + by + " apart";
        // Told from the side that has names: 'opening is 84 mm: 36 mm less than 120 mm'.
        const bool from_second = Formula::parse(check.first).is_plain_quantity();
        const std::string& told = from_second ? check.second : check.first;
        const std::string& other = from_second ? check.first : check.second;
        const Quantity& value = from_second ? *second : *first;
        const Quantity& limit = from_second ? *first : *second;
        std::string sentence = told + " is " + said(value) + ", " + by +
                               ((excess > 0) == from_second ? " less than " : " more than ") +
                               other;
        if (!Formula::parse(other).is_plain_quantity()) sentence += " (" + said(limit) + ")";
        out.findings.push_back(
            {contract::Severity::problem, "check-fails", "",
             "Check '" + check.id + "' does not hold: " + check.text + " " + sentence + "."});
    }
    out.workings.push_back(working_of(reading, check, shown, result));
}

} // namespace

Checked read_checks(const Reading& reading, LengthUnit shown,
                    const std::function<std::string(const std::string& name)>& not_priced) {
    Checked out;
    const Json* checks = reading.section("checks");
    if (checks == nullptr) return out;
    // Where names are at fault, what rests on them says nothing new.
    const bool sound = reading.faults.empty();
    for (const auto& [id, json] : checks->items()) {
        if (id.starts_with("x-")) continue;
        const auto check = read_check(reading, id, json);
        if (!check || !sound) continue;
        const std::string missing = missing_value(*check, not_priced);
        if (missing.empty())
            make_check(reading, *check, shown, out);
        else
            out.findings.push_back({contract::Severity::caution, "check-not-made", "",
                                    "Check '" + id + "' cannot be made: " + missing + "."});
    }
    return out;
}

} // namespace aumbry::resolving
