// The estimate and what belongs to it, as text for people. The command prints these, the window
// exports them.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/study.hpp"

#include <string>

namespace aumbry::views {

/// What a maker pins above the bench: totals, what to buy, dates, what is not included, findings.
[[nodiscard]] std::string summary(const Estimate& estimate, bool colour = false);

/// How a figure came about, followed back to lines, formulas and price rows. A reference is what
/// the document calls a figure: "total", "totals.goods", "bed_side.length", "line.bed_side",
/// "buy.supplier/sku", "piece.bed", "task.glue_up".
/// @throws FaultError "unknown-reference" with the nearest known ones.
[[nodiscard]] std::string explanation(const Estimate& estimate, const std::string& reference,
                                      bool colour = false);

/// Base and alternatives side by side, what each gains and loses, and which lines differ and why.
[[nodiscard]] std::string comparison(const Comparison& comparison, bool colour = false);

/// Dates: what to order by when, every step with its slack, the critical path.
[[nodiscard]] std::string plan(const Estimate& estimate, bool colour = false);

/// The same as a calendar file (RFC 5545).
[[nodiscard]] std::string plan_calendar(const Estimate& estimate);

/// Loaded and refused modules.
[[nodiscard]] std::string module_list(const PluginHost& host, bool colour = false);

/// A date with its weekday: "Fri 2027-04-09".
[[nodiscard]] std::string day(Date date);

} // namespace aumbry::views
