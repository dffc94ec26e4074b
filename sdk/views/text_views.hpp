// The estimate and what belongs to it, as text for people. The command prints these, the window
// exports them.
#pragma once

#include "aumbry/account.hpp"
#include "aumbry/estimate.hpp"
#include "aumbry/new_project.hpp"
#include "aumbry/order.hpp"
#include "aumbry/parts_list.hpp"
#include "aumbry/piece_check.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/purchase_curves.hpp"
#include "aumbry/quote.hpp"
#include "aumbry/shared_purchase.hpp"
#include "aumbry/study.hpp"

#include "print/cut_book.hpp"

#include <string>

namespace aumbry::views {

/// What a maker pins above the bench: totals, what to buy, dates, what is not included, findings.
[[nodiscard]] std::string summary(const Estimate& estimate, bool colour = false);

/// "Not counted: drawing and design; driving to the client."; empty where nothing is.
[[nodiscard]] std::string not_counted_text(const Estimate& estimate);

/// The same on one screen: total, ready, what is wrong and not included, what must be ordered
/// first, cost by piece, the largest costs, and what to ask next of `project`.
[[nodiscard]] std::string brief(const Estimate& estimate, const std::string& project,
                                bool colour = false);

/// How a figure came about, followed back so many levels towards lines, formulas and price rows;
/// what lies deeper is named as what to explain next. A reference is what
/// the document calls a figure: "total", "totals.goods", "bed_side.length", "line.bed_side",
/// "buy.supplier/sku", "piece.bed", "task.glue_up".
/// @throws FaultError "unknown-reference" with the nearest known ones.
[[nodiscard]] std::string explanation(const Estimate& estimate, const std::string& reference,
                                      bool colour = false, std::size_t levels = 2);

/// The working of a reference as a person may write it, with or without the word before the point;
/// null when there is none.
[[nodiscard]] const contract::Working* working_of(const Estimate& estimate,
                                                  const std::string& reference);

/// A figure as it is read: "1 095.20", "84.6 %", "2027-03-25"; its difference "+12.00", "-2 days";
/// and that in per cent, "-4.1 %". Empty where the figure has none.
struct FigureText {
    std::string value;
    std::string difference;
    std::string percent;
};
[[nodiscard]] FigureText text_of(const Figure& figure);

/// What differs in a line, in words: "moving mass", "55.9 kg", "52.17 kg".
struct DifferenceText {
    std::string name;
    std::string before;
    std::string after;
};
[[nodiscard]] std::vector<DifferenceText>
differences_of(const Comparison& comparison, const Column& column, const LineDifference& line);

/// Base and alternatives side by side, what each gains and loses, and which lines differ and why.
[[nodiscard]] std::string comparison(const Comparison& comparison, bool colour = false);

/// What being ready sooner costs, and what fewer suppliers cost.
[[nodiscard]] std::string curves(const PurchaseCurves& curves, bool colour = false);

/// Dates: what to order by when, every step with its slack, the critical path.
[[nodiscard]] std::string plan(const Estimate& estimate, bool colour = false);

/// The same as a calendar file (RFC 5545).
[[nodiscard]] std::string plan_calendar(const Estimate& estimate);

/// What each supplier is sent, with the cuts that it makes, and what has to be collected where.
[[nodiscard]] std::string orders(const OrderHead& head, const std::vector<Order>& orders,
                                 bool colour = false);

/// The same for several projects together, and what each pays.
[[nodiscard]] std::string shared_orders(const SharedPurchase& purchase, bool colour = false);

/// What the client is shown.
[[nodiscard]] std::string quote(const Quote& quote, bool colour = false);

/// What a change costs the client against an accepted quote.
[[nodiscard]] std::string change(const QuoteChange& change, bool colour = false);

/// A job at its end: estimate against actual, what is open, what is left over.
[[nodiscard]] std::string account(const Account& account, bool colour = false);

/// A count with what one of it holds: "3 x", "2.44 m", "4 x 2.5 L".
[[nodiscard]] std::string count_with_unit(std::int64_t count, double measure,
                                          const std::string& unit);

/// Every plan: sheets and boards, parts, cuts in order with their settings, what is left.
[[nodiscard]] std::string cut_plans(const print::CutBook& book, bool colour = false);

/// What `fields` says of one field: how it is written, whether it is needed, what it is.
[[nodiscard]] std::string field_text(const contract::Field& field);

/// What a kind of line, a class of goods, a section, a supplier or a row of a reference table may
/// say; for an empty name which of them there are. `tables` are the reference tables by name.
/// @throws FaultError "unknown-name" with the nearest.
[[nodiscard]] std::string fields_of(const std::vector<contract::Description>& modules,
                                    const Json& tables, const std::string& name,
                                    bool colour = false);

/// What a new project says, and what comes next.
[[nodiscard]] std::string new_project_made(const std::string& file, const NewProject& answers,
                                           bool empty);

/// The pieces of the library, each with what it is.
[[nodiscard]] std::string piece_list(const PieceLibrary& library, bool colour = false);

/// One piece: its sizes with their limits, its roles, what to watch out for.
[[nodiscard]] std::string piece_sizes(const PieceFile& piece, std::string_view length_unit,
                                      bool colour = false);

/// What was added to a project.
[[nodiscard]] std::string piece_added(const PieceFile& piece, const PieceToAdd& wanted,
                                      const AddedPiece& added, const std::string& project,
                                      std::string_view length_unit);

/// Loaded and refused modules.
[[nodiscard]] std::string module_list(const PluginHost& host, bool colour = false);

/// "WARNING ", "caution ", ...: how grave a finding is, as wide as each other.
[[nodiscard]] std::string severity_word(contract::Severity severity);
/// A date with its weekday: "Fri 2027-04-09".
[[nodiscard]] std::string day(Date date);
/// How good a cutting plan is: "proven fewest", "proven cheapest", "fewest possible 6, not proven".
[[nodiscard]] std::string proof_in_words(const EstimateBound& bound);
/// How cheap the purchase is, in one true sentence: proven cheapest, how much could be saved at
/// most, or why that is not known. Ends with a full stop.
[[nodiscard]] std::string cheapness_in_words(const Estimate& estimate);
/// What a demand was met with, as the list calls it.
[[nodiscard]] std::string goods_of(const Estimate& estimate, const std::string& demand);

/// What taking a parts list in does to a project, as text or JSON.
[[nodiscard]] std::string parts_report(const PartsTaken& taken, const std::string& project,
                                       bool written, bool json);
/// A parts list as a table.
[[nodiscard]] std::string parts_table(const PartsTable& parts, bool colour = false);

} // namespace aumbry::views
