#include "catalog/cell_text.hpp"

#include "values/characters.hpp"
#include "values/excerpt.hpp"
#include "values/trimmed.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/quantity.hpp"

#include <algorithm>
#include <array>

namespace aumbry {

namespace {

constexpr std::array<std::string_view, 8> unseen = {"\u200B", "\u200C", "\u200D", "\u200E",
                                                    "\u200F", "\u2060", "\u00AD", "\uFEFF"};
constexpr std::array<std::string_view, 9> blanks = {
    "\u00A0", "\u202F", "\u2009", "\u2007", "\u2002", "\u2003", "\u3000", "\t", "\u200A"};

/// Signs of currencies and whose they may be (Unicode's character names; from memory).
struct CurrencySign {
    std::string_view sign;
    std::string_view codes;
};
constexpr std::array<CurrencySign, 9> currency_signs = {{
    {"\u20AC", "EUR"},
    {"\u00A3", "GBP EGP GIP FKP SHP SYP LBP"},
    {"$", "USD CAD AUD NZD SGD HKD MXN TWD ARS CLP COP BBD BMD BSD BZD FJD GYD JMD KYD LRD NAD SBD "
          "SRD TTD XCD UYU DOP BND CUP CVE"},
    {"\u00A5", "JPY CNY"},
    {"\u20B9", "INR"},
    {"\u20BA", "TRY"},
    {"\u20BD", "RUB"},
    {"\u20A9", "KRW KPW"},
    {"z\u0142", "PLN"},
}};

/// Codes that lists write beside prices and that are no words of them: "ALL" and "TOP" are codes
/// too.
constexpr std::array<std::string_view, 17> told_codes = {"EUR", "GBP", "USD", "CHF", "CAD", "AUD",
                                                         "NZD", "JPY", "CNY", "SEK", "NOK", "DKK",
                                                         "PLN", "CZK", "HUF", "INR", "ZAR"};

/// Takes out what sets thousands apart: it stands between a digit and exactly three.
void take_out_grouping(std::string& text, const std::string& sign) {
    if (sign.empty()) return;
    for (auto at = text.find(sign); at != std::string::npos; at = text.find(sign, at)) {
        const std::size_t behind = at + sign.size();
        std::size_t digits = 0;
        while (behind + digits < text.size() && is_digit(text[behind + digits])) ++digits;
        if (at > 0 && is_digit(text[at - 1]) && digits == 3)
            text.erase(at, sign.size());
        else
            at = behind;
    }
}

/// "2.500", but not "0.500" and not "2.5000": one to three digits, then a sign and three more.
bool could_be_thousands(std::string_view text, char sign) {
    for (auto at = text.find(sign); at != std::string_view::npos; at = text.find(sign, at + 1)) {
        std::size_t before = 0;
        while (before < at && is_digit(text[at - 1 - before])) ++before;
        std::size_t behind = 0;
        while (at + 1 + behind < text.size() && is_digit(text[at + 1 + behind])) ++behind;
        if (behind == 3 && before >= 1 && before <= 3 && text[at - before] != '0') return true;
    }
    return false;
}

/// Whether the number with thousands would be longer than anything in a workshop.
bool would_be_too_long(std::string text, char sign, std::string_view unit) {
    std::erase(text, sign);
    if (is_bare_number(text)) text.append(" ").append(unit);
    try {
        return in_unit(parse_quantity(text), "m") > 10;
    } catch (const FaultError&) {
        return false; // no single length
    }
}

} // namespace

std::string cleaned(std::string_view cell) {
    std::string text;
    text.reserve(cell.size());
    for (std::size_t i = 0; i < cell.size();) {
        const std::string_view rest = cell.substr(i);
        const auto begins = [&](std::string_view sign) { return rest.starts_with(sign); };
        if (const auto found = std::find_if(unseen.begin(), unseen.end(), begins);
            found != unseen.end()) {
            i += found->size();
        } else if (const auto blank = std::find_if(blanks.begin(), blanks.end(), begins);
                   blank != blanks.end()) {
            text += ' ';
            i += blank->size();
        } else {
            text += cell[i++];
        }
    }
    return std::string(trimmed(text));
}

std::string small_letters(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return out;
}

std::string other_currency(std::string_view text, std::string_view own) {
    for (const CurrencySign& each : currency_signs) {
        if (text.find(each.sign) != std::string_view::npos &&
            each.codes.find(own) == std::string_view::npos)
            return std::string(each.codes.substr(0, 3));
    }
    for (std::size_t at = 0; at + 3 <= text.size(); ++at) {
        const auto letter = [&](std::size_t i) { return i < text.size() && is_letter(text[i]); };
        if ((at > 0 && letter(at - 1)) || letter(at + 3)) continue;
        const std::string_view word = text.substr(at, 3);
        if (word != own &&
            std::find(told_codes.begin(), told_codes.end(), word) != told_codes.end())
            return std::string(word);
    }
    return {};
}

std::string_view leading_number(std::string_view text) {
    if (text.empty() || !is_digit(text.front())) return {};
    std::size_t end = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (is_digit(text[i]))
            end = i + 1;
        else if (text[i] != '.' && text[i] != ',' && text[i] != '/' && text[i] != ' ' &&
                 text[i] != '\'')
            break;
    }
    return text.substr(0, end);
}

bool is_bare_number(std::string_view text) {
    return !text.empty() && leading_number(text).size() == text.size();
}

std::string with_decimal_point(std::string text, const NumberSigns& signs, std::string_view unit) {
    take_out_grouping(text, signs.grouping);
    const char sign = signs.decimal_comma ? ',' : '.';
    const char other = signs.decimal_comma ? '.' : ',';
    if (text.find(other) != std::string::npos)
        fail("wrong-decimal-sign", {},
             in_quotes(text) + (signs.decimal_comma
                                    ? " has a point where the decimal sign is a comma"
                                    : " has a comma where the decimal sign is a point"),
             "change decimal in the mapping, or name the sign as its grouping");
    if (!signs.stated && signs.grouping.empty() && could_be_thousands(text, sign) &&
        !would_be_too_long(text, sign, unit))
        fail(
            "ambiguous-number", {},
            in_quotes(text) + " may be meant with decimals or with thousands set apart",
            "say in the mapping which: decimal \"point\", or decimal \"comma\" and grouping \".\"");
    std::replace(text.begin(), text.end(), sign, '.');
    return text;
}

} // namespace aumbry
