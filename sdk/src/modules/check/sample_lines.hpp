// Requests made from a module's own description, for the conformance check: lines with usual
// values, then lines in which one field after the other takes every value at the edge of what its
// record allows.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// A usual value of a field, in contract form: its default, else a plain one within its range.
[[nodiscard]] Json usual_value(const contract::Field& field);

/// Values that the record allows and that are easily forgotten: bounds, every choice, both flags,
/// empty lists.
[[nodiscard]] std::vector<Json> edge_values(const contract::Field& field);

/// A line to ask about, and what it stands for: "pane with edge = polished".
struct SampleLine {
    std::string what;
    contract::Line line;
};

/// Lines of a kind: with only what is required, with everything, and with each edge value of each
/// field.
[[nodiscard]] std::vector<SampleLine> sample_lines(const contract::Description& module,
                                                   const contract::LineKind& kind);

/// Changes a line so that it forms another take-off group; false when its kind has one group only.
[[nodiscard]] bool belongs_to_another_group(const contract::LineKind& kind, contract::Line& line);

/// The readable key of a line's take-off group, as take-off makes it.
[[nodiscard]] std::string group_name(const contract::LineKind& kind, const contract::Line& line);

/// Offers that match a line: two suppliers, one with limited stock, and an owned item for each
/// class asked for.
[[nodiscard]] std::vector<contract::Offer> sample_offers(const contract::Description& module,
                                                         const contract::LineKind& kind,
                                                         const contract::Line& line);

[[nodiscard]] contract::Settings sample_settings(const contract::Description& module);

} // namespace aumbry
