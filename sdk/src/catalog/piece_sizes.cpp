// What may be chosen for a size of a piece.
#include "values/excerpt.hpp"

#include "aumbry/formula.hpp"
#include "aumbry/piece_file.hpp"

#include <optional>

namespace aumbry {

namespace {

/// The value of a text that uses no names; empty when it does.
std::optional<Quantity> plain_value(const std::string& text) {
    const Formula formula = Formula::parse(text);
    if (!formula.names().empty()) return std::nullopt;
    return formula.evaluate({});
}

} // namespace

void refuse_size(const PieceSize& size, const std::string& chosen, std::string_view length_unit) {
    const auto value = plain_value(chosen);
    if (!value) return; // a formula over names: its value is known when the project is read
    refuse_outside(size, *value, chosen, length_unit);
}

void refuse_outside(const PieceSize& size, const Quantity& value, const std::string& chosen,
                    std::string_view length_unit) {
    const LengthUnit written = length_unit == "in" ? LengthUnit::inch : LengthUnit::mm;
    if (const auto standard = plain_value(size.standard);
        standard && value.dimension != standard->dimension) {
        if (value.dimension == Dimension())
            fail("missing-unit", {}, in_quotes(chosen) + " has no unit",
                 "write it as in '" + size.standard + "'");
        expect_dimension(value, standard->dimension);
    }
    const auto limit = [&](const std::string& text, bool lower) {
        if (text.empty()) return;
        const auto bound = plain_value(text);
        constexpr double rounding = 1e-6;
        if (!bound || (lower ? value.value >= bound->value - rounding
                             : value.value <= bound->value + rounding))
            return;
        const std::string shown = format_quantity(value, written);
        fail(lower ? "too-small" : "too-large", {},
             size.label + ": " + shown + " is " + (lower ? "less" : "more") + " than the " +
                 (lower ? "least" : "most") + " that this piece is built for",
             "choose " + (size.max.empty()   ? "at least " + size.min
                          : size.min.empty() ? "at most " + size.max
                                             : size.min + " to " + size.max));
    };
    limit(size.min, true);
    limit(size.max, false);
}

} // namespace aumbry
