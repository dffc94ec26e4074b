// Studies: runs of the estimating line, one beside the other. The host keeps modules' replies, so
// that a run computes only what differs from those before, and its result equals the one computed
// from nothing.
#pragma once

#include "aumbry/line.hpp"

#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace aumbry {

/// A value of a line that differs, in contract units as the estimate document has it; null: not
/// there.
struct ValueDifference {
    std::string name; ///< "length", "material", "mass"
    Json before;
    Json after;
};

/// A line that differs from the base, and why.
struct LineDifference {
    std::string line;
    std::string title;
    enum class Kind { changed, added, removed } kind = Kind::changed;
    std::vector<ValueDifference> values; ///< own values first, then derived ones
    Money cost_before;
    Money cost_after;
    std::string why; ///< "changed here", "its material 'carcase' is changed", "follows from
                     ///< 'mattress'", "bought with others"
};

/// A row of what matters: one figure in every column. Values, for programs and views alike: a view
/// says how they read.
struct Figure {
    std::string name; ///< stable: "total", "piece.bed", "module.finish", "sheets", "yield", "mass",
                      ///< "ready", "problems"
    std::string title; ///< for people
    std::string unit;  ///< the currency, "%", "kg", "date"; empty: a count
    int decimals = 0;  ///< of a number
    std::variant<std::monostate, Money, double, Date> value; ///< nothing when there is none
    /// Against the base, in days of a date; nothing when equal or not comparable.
    std::variant<std::monostate, Money, double> difference;
    std::optional<double> percent; ///< of money, one decimal; none when the base is zero
    std::string length_unit =
        {}; ///< of who reads it: a mass is told in kg or, with "in", in pounds
};

/// One column of a comparison: the base or an alternative.
struct Column {
    std::string id; ///< empty: the base
    std::string title;
    std::optional<Estimate> estimate; ///< none when the alternative is at fault
    std::vector<Fault> faults;
    std::vector<Figure> figures; ///< the same names in every sound column
    std::vector<EstimateFinding> problems_gained;
    std::vector<EstimateFinding> problems_lost;
    std::vector<EstimateFinding> cautions_gained; ///< and warnings
    std::vector<EstimateFinding> cautions_lost;
    std::vector<LineDifference> lines;
};

struct Comparison {
    std::string title;
    Currency currency;
    std::vector<Column> columns; ///< the base first
};

/// Compares the base with alternatives, all of them when `ids` is empty. A broken alternative
/// stands beside the others with its faults. `progress` is told columns done and columns in all; it
/// may be empty.
/// @throws FaultError when the base itself is at fault, or "unknown-alternative" of an id; what
/// `estimate` throws, CallCancelled among it.
[[nodiscard]] Comparison
compare(const Project& base, PluginHost& host, const Catalog& catalog,
        const EstimateOptions& options = {}, const std::vector<std::string>& ids = {},
        const std::function<void(std::size_t, std::size_t)>& progress = {});

/// The figures of an estimate, against a base when there is one.
[[nodiscard]] std::vector<Figure> figures_of(const Estimate& estimate, const Estimate* base);

/// The lines of an estimate that differ from a base.
[[nodiscard]] std::vector<LineDifference>
differing_lines(const Estimate& base, const Estimate& other, const Project& other_project);

/// The comparison as a document: decimals, numbers and ISO dates.
[[nodiscard]] Json to_json(const Comparison& comparison);
/// JSON Schema (draft-07) of that document.
[[nodiscard]] Json comparison_schema();
/// One header row, then one row a figure: name, title, unit, the base, and of each alternative its
/// value, its difference from the base (of dates in days) and that in per cent (RFC 4180).
[[nodiscard]] std::string to_csv(const Comparison& comparison);

} // namespace aumbry
