#include "aumbry/gtin.hpp"

#include <algorithm>

namespace aumbry {

namespace {

bool all_digits(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

bool right_length(std::size_t digits_with_check) {
    return digits_with_check == 8 || (digits_with_check >= 12 && digits_with_check <= 14);
}

char check_digit(std::string_view digits_before) {
    int sum = 0;
    int weight = 3;
    for (auto digit = digits_before.rbegin(); digit != digits_before.rend(); ++digit) {
        sum += weight * (*digit - '0');
        weight = 4 - weight;
    }
    return static_cast<char>('0' + (10 - sum % 10) % 10);
}

} // namespace

bool gtin_valid(std::string_view gtin) {
    return right_length(gtin.size()) && all_digits(gtin) &&
           check_digit(gtin.substr(0, gtin.size() - 1)) == gtin.back();
}

} // namespace aumbry
