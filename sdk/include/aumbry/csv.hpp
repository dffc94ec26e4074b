// Price lists as text: RFC 4180 records over a memory buffer, and the faults of single rows.
#pragma once

#include "aumbry/fault.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::csv {

/// A fault of one row, which is left out while the others are read. `fault.place.line` is the line
/// of the text where the row begins; `row` is what a spreadsheet shows (the header is row 1). The
/// two differ after a quoted line break.
struct RowFault {
    Fault fault;
    int row = 0;        ///< 0: the file as a whole
    std::string column; ///< name from the header; empty when the row as a whole is meant
    std::string value;  ///< the text that is wrong, at most 80 characters of it

    bool operator==(const RowFault&) const = default;
};

/// The beginning of a value for a sentence: at most 80 bytes in whole characters, control
/// characters as blanks.
[[nodiscard]] std::string beginning_of(std::string_view value);

/// Builds one: the place reads "row 5, column price".
[[nodiscard]] RowFault row_fault(std::string code, const std::string& file, int line, int row,
                                 std::string_view column, std::string_view value, std::string wrong,
                                 std::string right);

/// What the bytes of a file were.
enum class Encoding { utf8, latin1 };

/// Turns the bytes of a file into UTF-8 without byte order mark. Bytes that are no UTF-8 are taken
/// for Latin-1, with the printable characters that Windows-1252 puts between 0x80 and 0x9F.
/// @throws FaultError "wrong-encoding" for UTF-16, which its byte order mark or its NULs give away.
Encoding decode(std::string& bytes, const std::string& file);

/// The separator that the first record uses most outside quotes: comma, semicolon or tab; comma
/// when it has none.
[[nodiscard]] char find_separator(std::string_view text);

/// A field of more bytes than this is a fault of its row: no cell of a price list comes near it.
inline constexpr std::size_t longest_field = 65536;

/// Reads the records of a table whose first record is the header. Records end with CRLF, LF or CR;
/// empty lines and rows of empty fields are passed over. A row that is no RFC 4180 record, is
/// shorter or longer than the header, holds a NUL or a field beyond `longest_field`, is left out
/// and reported; reading goes on with the next line.
///
/// Fields are views into the text. Doubled quotes are undoubled in place, so the text is changed;
/// it must outlive them.
class Reader {
  public:
    /// `text`: UTF-8, as left by decode(). `separator` 0: found from the header. `header_row`:
    /// where the header is, as a spreadsheet counts; what stands above it is passed over unread.
    /// @throws FaultError "empty-table", or the first fault of the header: without it no row can be
    /// read.
    Reader(std::string& text, std::string file, char separator = 0, int header_row = 1);

    [[nodiscard]] std::span<const std::string_view> header() const { return header_; }
    [[nodiscard]] char separator() const { return separator_; }

    /// Goes to the next good row; false at the end.
    bool next();
    /// The fields of the row, as many as the header has.
    [[nodiscard]] std::span<const std::string_view> fields() const { return fields_; }
    /// As a spreadsheet counts: the first row of the text is row 1.
    [[nodiscard]] int row() const { return row_; }
    /// The line of the text where the row begins, 1-based.
    [[nodiscard]] int line() const { return row_line_; }

    /// Rows left out so far, in order.
    [[nodiscard]] const std::vector<RowFault>& faults() const { return faults_; }
    /// Takes the faults found so far.
    [[nodiscard]] std::vector<RowFault> take_faults() { return std::move(faults_); }

  private:
    enum class Record { good, bad, end };
    Record read_record();
    bool read_quoted(std::string_view& field);
    bool read_plain(std::string_view& field);
    Record give_up(const char* resume, std::string code, std::string_view value, std::string wrong,
                   std::string right);
    void skip_line_end();
    void skip_stated_separator();
    [[nodiscard]] std::string_view column_name() const;

    const std::string file_;
    char* at_ = nullptr;
    char* end_ = nullptr;
    char separator_ = ',';
    int line_ = 1; ///< of `at_`
    int row_ = 0;
    int row_line_ = 1;
    std::vector<std::string_view> header_;
    std::vector<std::string_view> fields_;
    std::vector<RowFault> faults_;
};

/// One record with CRLF: fields that hold the separator, a quote or a line break are quoted, as is
/// a lone empty field.
[[nodiscard]] std::string write_record(std::span<const std::string> fields, char separator = ',');

} // namespace aumbry::csv
