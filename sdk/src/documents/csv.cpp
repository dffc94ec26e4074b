#include "aumbry/csv.hpp"

#include "values/trimmed.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>

namespace aumbry::csv {
namespace {

/// What Windows-1252 has where Latin-1 has no printable character (0x80 to 0x9F).
constexpr std::array<std::uint16_t, 32> windows_1252 = {
    0x20AC, 0x0081, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0x008D, 0x017D, 0x008F, 0x0090, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0x009D, 0x017E, 0x0178};

bool is_utf8(std::string_view text) {
    const auto* at = reinterpret_cast<const unsigned char*>(text.data());
    const auto* const end = at + text.size();
    while (at < end) {
        // Eight plain characters at once: most of a list is ASCII.
        std::uint64_t eight = 0;
        if (end - at >= 8) {
            std::memcpy(&eight, at, 8);
            if ((eight & 0x8080808080808080ULL) == 0) {
                at += 8;
                continue;
            }
        }
        const unsigned char first = *at;
        if (first < 0x80U) {
            ++at;
            continue;
        }
        int more = 0;
        std::uint32_t code = 0;
        if (first >= 0xC2U && first <= 0xDFU)
            more = 1, code = first & 0x1FU;
        else if (first >= 0xE0U && first <= 0xEFU)
            more = 2, code = first & 0x0FU;
        else if (first >= 0xF0U && first <= 0xF4U)
            more = 3, code = first & 0x07U;
        else
            return false;
        if (end - at <= more) return false;
        for (int i = 1; i <= more; ++i) {
            if ((at[i] & 0xC0U) != 0x80U) return false;
            code = code << 6U | (at[i] & 0x3FU);
        }
        if (more == 2 && (code < 0x800U || (code >= 0xD800U && code <= 0xDFFFU))) return false;
        if (more == 3 && (code < 0x10000U || code > 0x10FFFFU)) return false;
        at += more + 1;
    }
    return true;
}

std::string from_latin1(std::string_view bytes) {
    std::string text;
    text.reserve(bytes.size() + bytes.size() / 16);
    for (const char c : bytes) {
        std::uint32_t code = static_cast<unsigned char>(c);
        if (code >= 0x80U && code <= 0x9FU) code = windows_1252[code - 0x80U];
        if (code < 0x80U) {
            text += static_cast<char>(code);
        } else if (code < 0x800U) {
            text += static_cast<char>(0xC0U | code >> 6U);
            text += static_cast<char>(0x80U | (code & 0x3FU));
        } else {
            text += static_cast<char>(0xE0U | code >> 12U);
            text += static_cast<char>(0x80U | (code >> 6U & 0x3FU));
            text += static_cast<char>(0x80U | (code & 0x3FU));
        }
    }
    return text;
}

} // namespace

/// The beginning of a value, for a sentence: at most 80 bytes, whole characters, no control
/// characters.
std::string beginning_of(std::string_view value) {
    std::size_t size = std::min<std::size_t>(value.size(), 80);
    while (size < value.size() && size > 0 &&
           (static_cast<unsigned char>(value[size]) & 0xC0U) == 0x80U)
        --size;
    std::string text(value.substr(0, size));
    for (char& c : text) {
        if (static_cast<unsigned char>(c) < 0x20U || c == 0x7F) c = ' ';
    }
    if (size < value.size()) text += "...";
    return text;
}

RowFault row_fault(std::string code, const std::string& file, int line, int row,
                   std::string_view column, std::string_view value, std::string wrong,
                   std::string right) {
    std::string place;
    if (row > 0) place = "row " + std::to_string(row);
    if (!column.empty()) place += (place.empty() ? "column " : ", column ") + std::string(column);
    return {
        {std::move(code), {file, std::move(place), line, 0}, std::move(wrong), std::move(right)},
        row,
        std::string(column),
        beginning_of(value)};
}

Encoding decode(std::string& bytes, const std::string& file) {
    const auto begins = [&](std::string_view mark) {
        return std::string_view(bytes).starts_with(mark);
    };
    // Office Open XML and OpenDocument are zip archives (APPNOTE.TXT 4.3.7), older ones compound
    // files (MS-CFB 2.2).
    if (begins("PK\x03\x04") || begins("\xD0\xCF\x11\xE0"))
        fail("not-csv", {file, "", 0, 0}, "this is a spreadsheet as its program stores it",
             "open it there and save the sheet as CSV");
    const std::string_view head = std::string_view(bytes).substr(0, 1000);
    const auto nuls = static_cast<std::size_t>(std::count(head.begin(), head.end(), '\0'));
    if (begins("\xFF\xFE") || begins("\xFE\xFF") || (head.size() >= 8 && nuls * 4 > head.size())) {
        fail("wrong-encoding", {file, "", 0, 0}, "the text is UTF-16", "save it as CSV in UTF-8");
    }
    if (begins("\xEF\xBB\xBF")) bytes.erase(0, 3);
    if (is_utf8(bytes)) return Encoding::utf8;
    bytes = from_latin1(bytes);
    return Encoding::latin1;
}

char find_separator(std::string_view text) {
    std::size_t commas = 0;
    std::size_t semicolons = 0;
    std::size_t tabs = 0;
    bool quoted = false;
    for (const char c : text.substr(0, longest_field)) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if ((c == '\n' || c == '\r') && commas + semicolons + tabs > 0) break;
        commas += c == ',' ? 1U : 0U;
        semicolons += c == ';' ? 1U : 0U;
        tabs += c == '\t' ? 1U : 0U;
    }
    if (semicolons > commas && semicolons >= tabs) return ';';
    if (tabs > commas) return '\t';
    return ',';
}

Reader::Reader(std::string& text, std::string file, char separator, int header_row)
    : file_(std::move(file)), at_(text.data()), end_(text.data() + text.size()),
      separator_(separator == 0 ? find_separator(text) : separator) {
    skip_stated_separator();
    // Titles are no rows of the table, so what is wrong in them is nobody's fault.
    while (row_ + 1 < header_row && read_record() != Record::end) faults_.clear();
    if (separator == 0 && header_row > 1)
        separator_ = find_separator({at_, static_cast<std::size_t>(end_ - at_)});
    Record record = Record::bad;
    bool blank = true;
    while (blank) {
        record = read_record();
        if (record != Record::good) break;
        blank = std::all_of(fields_.begin(), fields_.end(),
                            [](std::string_view field) { return trimmed(field).empty(); });
    }
    if (record == Record::bad) throw FaultError(std::move(faults_.front().fault));
    if (record == Record::end) {
        fail("empty-table", {file_, "", 0, 0}, "the table is empty", "begin it with a header row");
    }
    header_.reserve(fields_.size());
    for (const std::string_view field : fields_) header_.push_back(trimmed(field));
}

/// "sep=;" above a table is an order to the spreadsheet's program, which shows no row for it.
void Reader::skip_stated_separator() {
    const std::string_view text(at_, static_cast<std::size_t>(end_ - at_));
    if (text.size() < 6 || !text.starts_with("sep=") || (text[5] != '\n' && text[5] != '\r'))
        return;
    separator_ = text[4];
    at_ += 5;
    skip_line_end();
}

std::string_view Reader::column_name() const {
    return fields_.size() < header_.size() ? header_[fields_.size()] : std::string_view{};
}

void Reader::skip_line_end() {
    if (*at_ == '\r' && at_ + 1 < end_ && at_[1] == '\n') ++at_;
    ++at_;
    ++line_;
}

Reader::Record Reader::give_up(const char* resume, std::string code, std::string_view value,
                               std::string wrong, std::string right) {
    faults_.push_back(row_fault(std::move(code), file_, row_line_, row_, column_name(), value,
                                std::move(wrong), std::move(right)));
    // `line_` is still that of `resume`: go on behind the line on which the faulty field began, so
    // that a quote that is never closed costs one row and not the rest of the list.
    at_ += resume - at_;
    while (at_ < end_ && *at_ != '\n' && *at_ != '\r') ++at_;
    if (at_ < end_) skip_line_end();
    return Record::bad;
}

bool Reader::read_plain(std::string_view& field) {
    const char* const start = at_;
    const char separator = separator_;
    // The text ends with a NUL of its own, which stops the loop there.
    for (char* at = at_;; ++at) {
        const char c = *at;
        if (c > ',' && c != separator) continue; // letters, digits, point: nearly everything
        if (c == separator || c == '\n' || c == '\r' || (c == '\0' && at == end_)) {
            at_ = at;
            break;
        }
        if (c == '"') {
            give_up(start, "stray-quote", {start, static_cast<std::size_t>(at - start) + 1},
                    "a quote inside a field that does not begin with one",
                    "put the field in quotes and double the quotes inside it");
            return false;
        }
        if (c == '\0') {
            give_up(start, "nul", {start, static_cast<std::size_t>(at - start)}, "a NUL character",
                    "remove it");
            return false;
        }
    }
    field = {start, static_cast<std::size_t>(at_ - start)};
    if (field.size() > longest_field) {
        give_up(start, "long-field", field, "a field of " + std::to_string(field.size()) + " bytes",
                "at most " + std::to_string(longest_field) + " are read");
        return false;
    }
    return true;
}

bool Reader::read_quoted(std::string_view& field) {
    char* const open = at_;
    char* const start = at_ + 1;
    char* const limit = end_ - start > static_cast<std::ptrdiff_t>(2 * longest_field)
                            ? start + 2 * longest_field
                            : end_;
    int line_ends = 0;
    bool doubled = false;
    char* at = start;
    const auto so_far = [&] { return std::string_view(open, static_cast<std::size_t>(at - open)); };
    for (;; ++at) {
        if (at >= limit) {
            if (limit == end_) {
                give_up(open, "open-quote", so_far(),
                        "the quote that opens this field is never closed",
                        "close it, and double the quotes inside the field");
            } else {
                give_up(open, "long-field", so_far(),
                        "a quoted field of more than " + std::to_string(longest_field) + " bytes",
                        "close its quote, or shorten it");
            }
            return false;
        }
        const char c = *at;
        if (c == '"') {
            if (at + 1 == end_ || at[1] != '"') break;
            doubled = true;
            ++at;
        } else if (c == '\n' || (c == '\r' && at[1] != '\n')) {
            ++line_ends;
        } else if (c == '\0') {
            give_up(open, "nul", so_far(), "a NUL character", "remove it");
            return false;
        }
    }
    char* const after = at + 1;
    if (after != end_ && *after != separator_ && *after != '\n' && *after != '\r') {
        const bool space = *after == ' ' || *after == '\t';
        ++at;
        give_up(open, "text-after-quote", so_far(),
                space ? "a space after the closing quote" : "text after the closing quote",
                space ? "end the field at the quote" : "double the quotes inside the field");
        return false;
    }
    std::size_t size = static_cast<std::size_t>(at - start);
    if (doubled) {
        char* to = start;
        for (const char* from = start; from != at; ++from) {
            *to++ = *from;
            if (*from == '"') ++from;
        }
        size = static_cast<std::size_t>(to - start);
    }
    field = {start, size};
    if (size > longest_field) {
        give_up(open, "long-field", field, "a field of " + std::to_string(size) + " bytes",
                "at most " + std::to_string(longest_field) + " are read");
        return false;
    }
    at_ = after;
    line_ += line_ends;
    return true;
}

Reader::Record Reader::read_record() {
    fields_.clear();
    if (at_ >= end_) return Record::end;
    ++row_;
    row_line_ = line_;
    for (;;) {
        std::string_view field;
        if (!(at_ < end_ && *at_ == '"' ? read_quoted(field) : read_plain(field)))
            return Record::bad;
        fields_.push_back(field);
        if (at_ >= end_) break;
        if (*at_ != separator_) {
            skip_line_end();
            break;
        }
        ++at_;
    }
    return Record::good;
}

bool Reader::next() {
    for (;;) {
        switch (read_record()) {
        case Record::end:
            return false;
        case Record::bad:
            continue;
        case Record::good:
            break;
        }
        const bool blank = std::all_of(fields_.begin(), fields_.end(),
                                       [](std::string_view field) { return field.empty(); });
        // A lone empty field that is written as quotes is a row of a table with one column.
        if (blank && (fields_.size() > 1 || fields_.front().data()[-1] != '"')) continue;
        if (fields_.size() == header_.size()) return true;
        const bool one = fields_.size() == 1;
        faults_.push_back(row_fault(
            fields_.size() < header_.size() ? "row-too-short" : "row-too-long", file_, row_line_,
            row_, {}, fields_.front(),
            std::to_string(fields_.size()) + (one ? " field" : " fields") +
                " where the header has " + std::to_string(header_.size()),
            fields_.size() < header_.size() ? "write every field, empty ones too"
                                            : "put fields that hold the separator in quotes"));
    }
}

std::string write_record(std::span<const std::string> fields, char separator) {
    std::string text;
    for (std::size_t i = 0; i < fields.size(); ++i) {
        if (i > 0) text += separator;
        const std::string& field = fields[i];
        const bool quoted = field.find_first_of("\"\r\n") != std::string::npos ||
                            field.find(separator) != std::string::npos ||
                            (field.empty() && fields.size() == 1);
        if (!quoted) {
            text += field;
            continue;
        }
        text += '"';
        for (const char c : field) {
            text += c;
            if (c == '"') text += '"';
        }
        text += '"';
    }
    return text + "\r\n";
}

} // namespace aumbry::csv
