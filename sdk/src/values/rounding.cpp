#include "aumbry/rounding.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>

namespace aumbry {

namespace {

constexpr double powers_of_ten[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                    1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

enum class Half { away, even };

// Rounds the shortest digits of a positive finite value.
double round_digits(double value, int decimals, Half half) {
    char buffer[400];
    const auto written =
        std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed);
    std::string text(buffer, written.ptr);
    if (text.find('.') == std::string::npos) text += ".0";
    text.insert(0, 16, '0'); // room for a carry and for rounding left of the point
    const std::size_t point = text.find('.');
    text.erase(point, 1);
    const auto keep = static_cast<std::size_t>(static_cast<int>(point) + decimals);
    if (keep >= text.size()) return value;
    const bool exact_half =
        text[keep] == '5' && text.find_first_not_of('0', keep + 1) == std::string::npos;
    const bool last_is_even = (text[keep - 1] - '0') % 2 == 0;
    const bool up = text[keep] >= '5' && !(half == Half::even && exact_half && last_is_even);
    std::fill(text.begin() + static_cast<std::ptrdiff_t>(keep), text.end(), '0');
    if (up) {
        std::size_t at = keep - 1;
        while (text[at] == '9') text[at--] = '0';
        ++text[at];
    }
    text.insert(point, 1, '.');
    double rounded = 0;
    std::from_chars(text.data(), text.data() + text.size(), rounded);
    return rounded;
}

double rounded(double value, int decimals, Half half) {
    if (!std::isfinite(value)) return value;
    decimals = std::clamp(decimals, -12, 15);
    const double size = std::fabs(value);
    const double power = powers_of_ten[std::abs(decimals)];
    const double scaled = decimals >= 0 ? size * power : size / power;
    double result = 0;
    if (decimals >= 0 && size >= 0x1p53) {
        result = size; // a whole number already
    } else if (scaled < 0x1p52 &&
               std::fabs(scaled - std::floor(scaled) - 0.5) > scaled * 1e-15 + 1e-15) {
        // Far enough from a half that the error of scaling cannot decide.
        const double whole = std::floor(scaled + 0.5);
        result = decimals >= 0 ? whole / power : whole * power;
    } else {
        result = round_digits(size, decimals, half);
    }
    if (result == 0) return 0;
    return value < 0 ? -result : result;
}

} // namespace

double round_to(double value, int decimals) {
    return rounded(value, decimals, Half::away);
}

double round_half_even(double value, int decimals) {
    return rounded(value, decimals, Half::even);
}

double round_to_significant(double value, int digits) {
    if (!std::isfinite(value) || value == 0) return value == 0 ? 0 : value;
    char text[40];
    const auto written =
        std::to_chars(text, text + sizeof text, value, std::chars_format::scientific,
                      std::clamp(digits, 1, 17) - 1);
    double result = 0;
    std::from_chars(text, written.ptr, result);
    return result;
}

std::string format_number(double value, int decimals) {
    if (!std::isfinite(value)) return std::isnan(value) ? "nan" : value < 0 ? "-inf" : "inf";
    decimals = std::clamp(decimals, 0, 15);
    char text[400];
    const auto written = std::to_chars(text, text + sizeof text, round_to(value, decimals),
                                       std::chars_format::fixed, decimals);
    return std::string(text, written.ptr);
}

std::string format_trimmed(double value, int decimals) {
    std::string text = format_number(value, decimals);
    if (text.find('.') == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

} // namespace aumbry
