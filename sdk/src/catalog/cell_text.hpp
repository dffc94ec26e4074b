// Cells of other people's spreadsheets as plain text: what nobody sees is gone, numbers carry a
// decimal point.
#pragma once

#include <string>
#include <string_view>

namespace aumbry {

/// The text without characters that show nothing (zero-width blanks, soft hyphens, byte order
/// marks), every kind of blank as a blank, none at its ends.
[[nodiscard]] std::string cleaned(std::string_view cell);

/// With small letters for capital ones.
[[nodiscard]] std::string small_letters(std::string_view text);

/// Digits with decimal sign, grouping and fractions: the number that a text begins with.
[[nodiscard]] std::string_view leading_number(std::string_view text);

/// Whether the text is a number and nothing else.
[[nodiscard]] bool is_bare_number(std::string_view text);

/// A currency that a text names by its sign or its code (ISO 4217) and that is not `own`; empty
/// when it names none. What several currencies are called, "$" or "kr", contradicts only those that
/// are not called so.
[[nodiscard]] std::string other_currency(std::string_view text, std::string_view own);

/// How numbers are written in a spreadsheet.
struct NumberSigns {
    bool decimal_comma = false;
    /// Somebody said so; else a number that could be meant either way is refused.
    bool stated = false;
    std::string grouping; ///< what sets thousands apart
};

/// The text with a decimal point and without grouping. `unit`: that of the number, when the text
/// does not say it.
/// @throws FaultError "wrong-decimal-sign", or "ambiguous-number" for such as 2.500: two and a
/// half, or two thousand five hundred. Nothing in a workshop is longer than ten metres, so that
/// 43.375 in is no such number.
[[nodiscard]] std::string with_decimal_point(std::string text, const NumberSigns& signs,
                                             std::string_view unit = {});

} // namespace aumbry
