#include "aumbry/reader_lengths.hpp"

#include "values/characters.hpp"

#include "aumbry/quantity.hpp"

#include <cstdlib>
#include <vector>

namespace aumbry {
namespace {

constexpr std::string_view unit_after = " mm";

bool is_letter_or_digit(char c) {
    return is_digit(c) || is_letter(c);
}

bool is_of_number(char c) {
    return is_digit(c) || c == '.' || c == '-';
}

/// Where the number that ends at `end` begins; `end` when there is none.
std::size_t number_before(std::string_view text, std::size_t end) {
    std::size_t begin = end;
    while (begin > 0 && is_of_number(text[begin - 1])) --begin;
    if (begin > 0 && is_letter_or_digit(text[begin - 1])) return end; // part of a word
    return begin;
}

/// Where the run of numbers joined by " x " and " to " begins that ends at `end`.
std::size_t run_before(std::string_view text, std::size_t end) {
    std::size_t begin = number_before(text, end);
    for (bool more = begin != end; more;) {
        more = false;
        for (const std::string_view joint : {" x ", " to "}) {
            if (begin < joint.size() || text.substr(begin - joint.size(), joint.size()) != joint)
                continue;
            const std::size_t number_end = begin - joint.size();
            const std::size_t earlier = number_before(text, number_end);
            if (earlier == number_end) continue;
            begin = earlier;
            more = true;
        }
    }
    return begin;
}

std::string in_inches(std::string_view run) {
    std::string out;
    for (std::size_t i = 0; i < run.size();) {
        std::size_t end = i;
        while (end < run.size() && is_of_number(run[end])) ++end;
        if (end == i) {
            out += run[i++];
            continue;
        }
        const double mm = std::strtod(std::string(run.substr(i, end - i)).c_str(), nullptr);
        out += format_length(Length::from_base(mm), LengthUnit::inch);
        i = end;
    }
    return out;
}

/// Which characters stand within single quotes. An apostrophe within a word opens nothing.
std::vector<bool> between_quotes(std::string_view text) {
    std::vector<bool> within(text.size(), false);
    bool open = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\'') {
            const bool after_letter = i > 0 && is_letter_or_digit(text[i - 1]);
            if (open || !after_letter) open = !open;
        }
        within[i] = open;
    }
    return within;
}

} // namespace

std::string length_text(double mm, const std::string& length_unit) {
    return format_length(Length::mm(mm), length_unit == "in" ? LengthUnit::inch : LengthUnit::mm);
}

std::string lengths_for_reader(std::string_view text, const std::string& length_unit) {
    if (length_unit != "in") return std::string(text);
    const std::vector<bool> names = between_quotes(text);
    std::string out;
    std::size_t done = 0;
    for (std::size_t at = text.find(unit_after); at != std::string_view::npos;
         at = text.find(unit_after, at + 1)) {
        const std::size_t after = at + unit_after.size();
        if (names[at] || (after < text.size() && is_letter_or_digit(text[after]))) continue;
        const std::size_t begin = run_before(text, at);
        if (begin == at || begin < done) continue;
        out += text.substr(done, begin - done);
        out += in_inches(text.substr(begin, at - begin));
        done = after;
    }
    out += text.substr(done);
    return out;
}

} // namespace aumbry
