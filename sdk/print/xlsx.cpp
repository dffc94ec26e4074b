#include "print/print.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/project.hpp"

#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <unistd.h>
#include <xlsxwriter.h>

namespace aumbry::print {
namespace {

struct Formats {
    lxw_format* bold = nullptr;
    lxw_format* money = nullptr;
    lxw_format* total = nullptr;
    lxw_format* price = nullptr;
    lxw_format* wrap = nullptr;
};

/// A file that goes when it has been read: the library writes files only.
class PassingFile {
  public:
    PassingFile() : name_((std::filesystem::temp_directory_path() / "aumbry-XXXXXX").string()) {
        const int descriptor = ::mkstemp(name_.data());
        if (descriptor < 0)
            fail("bad-spreadsheet", {}, "the folder for temporary files cannot be written",
                 "set TMPDIR to one that can");
        ::close(descriptor);
    }
    PassingFile(const PassingFile&) = delete;
    PassingFile& operator=(const PassingFile&) = delete;
    ~PassingFile() { ::unlink(name_.c_str()); }
    [[nodiscard]] const std::string& name() const { return name_; }

  private:
    std::string name_;
};

double number(const Money& amount) {
    return amount.decimal().to_double();
}

void fill(lxw_worksheet* sheet, const Formats& formats, const Order& order,
          const std::string& title) {
    const auto text = [&](lxw_row_t row, lxw_col_t column, const std::string& words,
                          lxw_format* format = nullptr) {
        worksheet_write_string(sheet, row, column, words.c_str(), format);
    };
    constexpr double widths[] = {9, 20, 48, 9, 11, 9, 14, 14, 9, 60, 60};
    for (lxw_col_t column = 0; column < 11; ++column)
        worksheet_set_column(sheet, column, column, widths[column], nullptr);
    text(0, 0, "Order to " + order.name, formats.bold);
    text(1, 0, title);
    lxw_row_t row = 2;
    if (order.invented)
        text(row++, 0, "A demonstration: this supplier and its prices are invented.");
    if (order.needed)
        text(row++, 0,
             (order.collected ? "To be collected by " : "To be delivered by ") +
                 format_date(*order.needed));
    ++row;
    lxw_col_t column = 0;
    for (const std::string& heading :
         {std::string("position"), std::string("article"), std::string("what"),
          std::string("count"), std::string("one holds"), std::string("unit"),
          "each, " + order.currency, "amount, " + order.currency, std::string("tax %"),
          std::string("for"), std::string("wanted")})
        text(row, column++, heading, formats.bold);
    const lxw_row_t first = ++row;
    for (const OrderPosition& position : order.positions) {
        worksheet_write_number(sheet, row, 0, position.number, nullptr);
        text(row, 1, position.sku);
        text(row, 2, position.description, formats.wrap);
        worksheet_write_number(sheet, row, 3, static_cast<double>(position.count), nullptr);
        if (position.measure > 0) worksheet_write_number(sheet, row, 4, position.measure, nullptr);
        text(row, 5, position.price_unit);
        worksheet_write_number(sheet, row, 6, position.unit_price.to_double(), formats.price);
        worksheet_write_number(sheet, row, 7, number(position.amount), formats.money);
        worksheet_write_number(sheet, row, 8, position.tax_percent.to_double(), nullptr);
        std::string lines;
        for (const std::string& line : position.lines) lines += (lines.empty() ? "" : "; ") + line;
        text(row, 9, lines, formats.wrap);
        text(row, 10, wanted_text(position), formats.wrap);
        ++row;
    }
    const auto amount = [&](const std::string& what, const Money& money) {
        text(row, 2, what);
        worksheet_write_number(sheet, row, 7, number(money), formats.money);
        ++row;
    };
    for (const OrderCharge& charge : order.charges) amount(charge.title, charge.amount);
    for (const TaxAtRate& tax : order.taxes)
        amount("Tax " + tax.percent.str() + " % of " + tax.taxable.str(), tax.tax);
    text(row, 2, "Total", formats.bold);
    // The value beside the formula is what a reader shows that does not calculate.
    const std::string sum = "=SUM(H" + std::to_string(first + 1) + ":H" + std::to_string(row) + ")";
    worksheet_write_formula_num(sheet, row, 7, sum.c_str(), formats.total, number(order.total));
    worksheet_freeze_panes(sheet, first, 0);
    worksheet_set_landscape(sheet);
    worksheet_fit_to_pages(sheet, 1, 0);
}

lxw_workbook* new_book(const PassingFile& file, std::string heading, const std::string& made_on) {
    lxw_workbook* book = workbook_new(file.name().c_str());
    if (book == nullptr)
        fail("bad-spreadsheet", {}, "the spreadsheet cannot be made", "free some memory");
    lxw_doc_properties properties{};
    std::string author = "Aumbry";
    properties.title = heading.data();
    properties.author = author.data();
    // The day of the prices, not of the clock: same input, same bytes.
    std::tm day{};
    day.tm_year = std::stoi(made_on.substr(0, 4)) - 1900;
    day.tm_mon = std::stoi(made_on.substr(5, 2)) - 1;
    day.tm_mday = std::stoi(made_on.substr(8, 2));
    properties.created = timegm(&day);
    workbook_set_properties(book, &properties);
    return book;
}

/// Closes the book and reads it.
std::string bytes_of(lxw_workbook* book, const PassingFile& file) {
    const lxw_error error = workbook_close(book);
    if (error != LXW_NO_ERROR)
        fail("bad-spreadsheet", {},
             std::string("the spreadsheet cannot be made: ") + lxw_strerror(error),
             "check that the folder for temporary files can be written");
    return read_file(file.name());
}

} // namespace

std::string to_xlsx(const Order& order, const std::string& title, const std::string& made_on) {
    const PassingFile file;
    lxw_workbook* book = new_book(file, "Order to " + order.name, made_on);

    Formats formats;
    formats.bold = workbook_add_format(book);
    format_set_bold(formats.bold);
    // As many decimals as the currency has; prices may have more.
    const int digits = order.net.currency().digits;
    const std::string whole = "#,##0";
    const std::string amounts =
        digits > 0 ? whole + '.' + std::string(static_cast<std::size_t>(digits), '0') : whole;
    formats.money = workbook_add_format(book);
    format_set_num_format(formats.money, amounts.c_str());
    formats.total = workbook_add_format(book);
    format_set_num_format(formats.total, amounts.c_str());
    format_set_bold(formats.total);
    format_set_top(formats.total, LXW_BORDER_THIN);
    formats.price = workbook_add_format(book);
    format_set_num_format(formats.price, (amounts + (digits > 0 ? "####" : ".####")).c_str());
    formats.wrap = workbook_add_format(book);
    format_set_text_wrap(formats.wrap);
    fill(workbook_add_worksheet(book, "Order"), formats, order, title);
    return bytes_of(book, file);
}

std::string to_xlsx(const PartsTable& parts, const std::string& title, const std::string& made_on) {
    const PassingFile file;
    lxw_workbook* book = new_book(file, title, made_on);
    lxw_format* bold = workbook_add_format(book);
    format_set_bold(bold);
    lxw_worksheet* sheet = workbook_add_worksheet(book, "Parts");
    const auto column_count = static_cast<lxw_col_t>(parts.header.size());
    for (lxw_col_t column = 0; column < column_count; ++column) {
        worksheet_set_column(sheet, column, column, parts.numbers[column] ? 10 : 20, nullptr);
        worksheet_write_string(sheet, 0, column, parts.header[column].c_str(), bold);
    }
    lxw_row_t row = 1;
    for (const std::vector<std::string>& cells : parts.rows) {
        for (lxw_col_t column = 0; column < column_count; ++column) {
            const std::string& text = cells[column];
            if (text.empty()) continue;
            if (parts.numbers[column])
                worksheet_write_number(sheet, row, column, Decimal::parse(text).to_double(),
                                       nullptr);
            else
                worksheet_write_string(sheet, row, column, text.c_str(), nullptr);
        }
        ++row;
    }
    worksheet_freeze_panes(sheet, 1, 0);
    return bytes_of(book, file);
}

} // namespace aumbry::print
