#include "documents/spreadsheet.hpp"

#include "documents/number_format.hpp"
#include "values/characters.hpp"
#include "values/excerpt.hpp"

#include "aumbry/csv.hpp"
#include "aumbry/date.hpp"
#include "aumbry/fault.hpp"

#include <fmt/format.h>
#include <minizip/unzip.h>
#include <pugixml.hpp>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

namespace aumbry {

namespace {

/// A part of more bytes, or a sheet of more cells, is no list of a workshop.
constexpr std::size_t largest_part = std::size_t{64} << 20U;
constexpr std::size_t most_cells = 4'000'000;
constexpr int most_columns = 16384;
constexpr int most_rows = 1048576;

[[noreturn]] void no_spreadsheet(const std::string& file, const std::string& wrong) {
    fail("not-csv", {file, "", 0, 0}, wrong, "save it as XLSX or CSV");
}

/// The parts of the archive, by name.
class Archive {
  public:
    explicit Archive(const std::filesystem::path& file)
        : file_(file.generic_string()), zip_(unzOpen64(file.c_str())) {
        if (zip_ == nullptr) no_spreadsheet(file_, "the archive cannot be read");
    }
    Archive(const Archive&) = delete;
    Archive& operator=(const Archive&) = delete;
    ~Archive() { unzClose(zip_); }

    [[nodiscard]] const std::string& file() const { return file_; }

    /// A part as a document; an empty one when there is none.
    [[nodiscard]] pugi::xml_document part(const std::string& name) const {
        pugi::xml_document document;
        if (unzLocateFile(zip_, name.c_str(), 1) != UNZ_OK) return document;
        unz_file_info64 about{};
        if (unzGetCurrentFileInfo64(zip_, &about, nullptr, 0, nullptr, 0, nullptr, 0) != UNZ_OK ||
            unzOpenCurrentFile(zip_) != UNZ_OK)
            no_spreadsheet(file_, "its part " + name + " cannot be read");
        if (about.uncompressed_size > largest_part)
            fail("too-large", {file_, "", 0, 0}, "its part " + name + " is too large",
                 "save the list alone");
        std::string bytes(static_cast<std::size_t>(about.uncompressed_size), '\0');
        const int read =
            unzReadCurrentFile(zip_, bytes.data(), static_cast<unsigned>(bytes.size()));
        const int closed = unzCloseCurrentFile(zip_);
        if (read != static_cast<int>(bytes.size()) || closed != UNZ_OK ||
            !document.load_buffer(bytes.data(), bytes.size()))
            no_spreadsheet(file_, "its part " + name + " is damaged");
        return document;
    }

  private:
    std::string file_;
    unzFile zip_;
};

/// Names of elements with or without a prefix of their namespace.
bool is(const pugi::xml_node& node, std::string_view name) {
    std::string_view full = node.name();
    if (const auto colon = full.find(':'); colon != std::string_view::npos)
        full.remove_prefix(colon + 1);
    return full == name;
}
pugi::xml_node child(const pugi::xml_node& node, std::string_view name) {
    return node.find_child([&](const pugi::xml_node& each) { return is(each, name); });
}

/// The text of a string: its own, or that of its runs; readings for pronunciation are no part.
std::string string_of(const pugi::xml_node& node) {
    std::string text;
    for (const pugi::xml_node& each : node.children()) {
        if (is(each, "t")) text += each.text().get();
        if (is(each, "r")) text += child(each, "t").text().get();
    }
    return text;
}

/// "../worksheets/sheet1.xml" seen from "xl/".
std::string in_archive(std::string target) {
    if (target.starts_with('/')) return target.substr(1);
    return "xl/" + target;
}

/// Row and column of "AB12"; zero for what is missing.
std::pair<int, int> position_of(std::string_view reference) {
    int column = 0;
    std::size_t at = 0;
    for (; at < reference.size() && is_letter(reference[at]) && column <= most_columns; ++at)
        column = column * 26 + ((reference[at] | 0x20) - 'a' + 1);
    int row = 0;
    std::from_chars(reference.data() + at, reference.data() + reference.size(), row);
    if (row < 0 || row > most_rows || column > most_columns) return {0, 0};
    return {row, column};
}

class Workbook {
  public:
    Workbook(const std::filesystem::path& file, std::string_view sheet, bool decimal_comma)
        : archive_(file), decimal_comma_(decimal_comma) {
        find_sheet(sheet);
        read_strings();
        read_formats();
    }

    SheetText read() {
        const pugi::xml_document document = archive_.part(part_);
        const pugi::xml_node sheet = child(document, "worksheet");
        if (!sheet) no_spreadsheet(archive_.file(), "its sheet '" + out_.name + "' is not there");
        int last_row = 0;
        for (const pugi::xml_node& row : child(sheet, "sheetData").children()) {
            if (!is(row, "row")) continue;
            const int stated = row.attribute("r").as_int(last_row + 1);
            last_row = std::clamp(stated, last_row + 1, most_rows);
            read_row(row, last_row);
        }
        for (const pugi::xml_node& each : child(sheet, "mergeCells").children())
            add_merged(each.attribute("ref").value());
        write();
        return std::move(out_);
    }

  private:
    void find_sheet(std::string_view wanted) {
        const pugi::xml_document document = archive_.part("xl/workbook.xml");
        const pugi::xml_node book = child(document, "workbook");
        if (!book)
            no_spreadsheet(archive_.file(), "the archive holds no spreadsheet that can be read");
        from_1904_ = child(book, "workbookPr").attribute("date1904").as_bool();
        std::string id;
        std::string all;
        for (const pugi::xml_node& sheet : child(book, "sheets").children()) {
            const std::string name = sheet.attribute("name").value();
            all += (all.empty() ? "" : ", ") + in_quotes(name);
            const std::string_view state = sheet.attribute("state").value();
            if (!id.empty() ||
                (wanted.empty() ? state.find("idden") != std::string_view::npos : name != wanted))
                continue;
            for (const pugi::xml_attribute& each : sheet.attributes()) {
                if (std::string_view(each.name()).ends_with(":id")) id = each.value();
            }
            out_.name = name;
        }
        if (id.empty())
            fail("unknown-sheet", {archive_.file(), "", 0, 0},
                 wanted.empty() ? "it has no sheet that shows"
                                : "it has no sheet " + in_quotes(wanted),
                 all.empty() ? "save it anew" : "its sheets are " + all);
        const pugi::xml_document relations = archive_.part("xl/_rels/workbook.xml.rels");
        for (const pugi::xml_node& each : child(relations, "Relationships").children()) {
            const std::string target = each.attribute("Target").value();
            if (id == each.attribute("Id").value()) part_ = in_archive(target);
            if (std::string_view(each.attribute("Type").value()).ends_with("/sharedStrings"))
                strings_part_ = in_archive(target);
            if (std::string_view(each.attribute("Type").value()).ends_with("/styles"))
                styles_part_ = in_archive(target);
        }
    }

    void read_strings() {
        const pugi::xml_document document = archive_.part(strings_part_);
        for (const pugi::xml_node& each : child(document, "sst").children()) {
            if (is(each, "si")) strings_.push_back(string_of(each));
        }
    }

    void read_formats() {
        const pugi::xml_document document = archive_.part(styles_part_);
        const pugi::xml_node styles = child(document, "styleSheet");
        std::map<int, NumberFormat> own;
        for (const pugi::xml_node& each : child(styles, "numFmts").children())
            own[each.attribute("numFmtId").as_int()] =
                read_number_format(each.attribute("formatCode").value());
        for (const pugi::xml_node& each : child(styles, "cellXfs").children()) {
            const int id = each.attribute("numFmtId").as_int();
            const auto found = own.find(id);
            formats_.push_back(found == own.end() ? built_in_format(id) : found->second);
        }
    }

    void read_row(const pugi::xml_node& row, int number) {
        if (row.attribute("hidden").as_bool()) ++out_.hidden_rows;
        int column = 0;
        for (const pugi::xml_node& cell : row.children()) {
            if (!is(cell, "c")) continue;
            const auto [stated_row, stated] = position_of(cell.attribute("r").value());
            column = std::clamp(stated > 0 ? stated : column + 1, column + 1, most_columns);
            const std::string formula = child(cell, "f").text().get();
            if (formula.find("SUM(") != std::string::npos ||
                formula.find("SUBTOTAL(") != std::string::npos)
                out_.sums.insert({number, column});
            std::string text = text_of(cell);
            const bool of_text = std::string_view(cell.attribute("t").value()) == "str";
            if (child(cell, "f") && text.empty() && !of_text) {
                out_.without_result.insert({number, column});
                text = '=' + formula;
            }
            if (text.empty()) continue;
            for (char& c : text) {
                if (is_space(c)) c = ' ';
            }
            if (++cells_ > most_cells) too_large();
            rows_[number][column] = std::move(text);
            width_ = std::max(width_, column);
        }
    }

    [[noreturn]] void too_large() const {
        fail("too-large", {archive_.file(), "", 0, 0}, "the sheet '" + out_.name + "' is too large",
             "save the list alone");
    }

    std::string text_of(const pugi::xml_node& cell) const {
        const std::string_view type = cell.attribute("t").value();
        if (type == "inlineStr") return string_of(child(cell, "is"));
        const std::string value = child(cell, "v").text().get();
        if (type == "s") {
            std::size_t index = strings_.size();
            std::from_chars(value.data(), value.data() + value.size(), index);
            return index < strings_.size() ? strings_[index] : std::string();
        }
        if (type == "b") return value == "1" ? "yes" : "no";
        if (type == "str" || type == "e" || type == "d" || value.empty()) return value;
        double number = 0;
        const auto end = value.data() + value.size();
        if (const auto read = std::from_chars(value.data(), end, number);
            read.ec != std::errc() || read.ptr != end || !std::isfinite(number))
            return value;
        const auto style = static_cast<std::size_t>(cell.attribute("s").as_uint());
        return shown(number, style < formats_.size() ? formats_[style] : NumberFormat{});
    }

    std::string shown(double number, const NumberFormat& format) const {
        if (format.date && std::floor(number) == number && number > 60 && number < 2'000'000)
            return date_of(number);
        std::string text = fmt::format("{:.15g}", format.percent ? number * 100 : number);
        if (text.find('e') != std::string::npos) text = fmt::format("{:.10f}", number);
        if (text.find('.') != std::string::npos) {
            text.erase(text.find_last_not_of('0') + 1);
            if (text.back() == '.') text.pop_back();
            // A number is no text of three digits behind a sign that could set thousands apart.
            if (text.size() > 4 && text[text.size() - 4] == '.') text += '0';
        }
        if (decimal_comma_) std::replace(text.begin(), text.end(), '.', ',');
        return format.before + text + format.after + (format.percent ? " %" : "");
    }

    /// Days since 30 December 1899, which makes up for a leap day in 1900 that never was
    /// (18.17.4.1), or since 1 January 1904.
    std::string date_of(double days) const {
        using namespace std::chrono;
        const sys_days zero =
            from_1904_ ? sys_days(year(1904) / January / 1) : sys_days(year(1899) / December / 30);
        return format_date(Date(zero + std::chrono::days(static_cast<int>(days))));
    }

    void add_merged(const std::string& range) {
        const auto colon = range.find(':');
        if (colon == std::string::npos) return;
        const auto [first_row, first_column] =
            position_of(std::string_view(range).substr(0, colon));
        const auto [last_row, last_column] = position_of(std::string_view(range).substr(colon + 1));
        if (first_row > 0 && last_row > 0)
            out_.merged.push_back({first_row, first_column, last_row, last_column, range});
    }

    void write() {
        if (rows_.empty())
            fail("empty-table", {archive_.file(), "", 0, 0},
                 "the sheet '" + out_.name + "' is empty", "begin it with a header row");
        const auto last = static_cast<std::size_t>(rows_.rbegin()->first);
        if (last > most_cells || rows_.size() * static_cast<std::size_t>(width_) > most_cells)
            too_large();
        int next = 1;
        for (const auto& [number, cells] : rows_) {
            for (; next < number; ++next) out_.csv += "\r\n";
            std::vector<std::string> fields(static_cast<std::size_t>(width_));
            for (const auto& [column, text] : cells)
                fields[static_cast<std::size_t>(column) - 1] = text;
            out_.csv += csv::write_record(fields);
            ++next;
        }
    }

    Archive archive_;
    bool decimal_comma_;
    bool from_1904_ = false;
    std::string part_;
    std::string strings_part_ = "xl/sharedStrings.xml";
    std::string styles_part_ = "xl/styles.xml";
    std::vector<std::string> strings_;
    std::vector<NumberFormat> formats_;
    std::map<int, std::map<int, std::string>> rows_;
    std::size_t cells_ = 0;
    int width_ = 0;
    SheetText out_;
};

} // namespace

bool begins_as_spreadsheet(std::string_view bytes) {
    return bytes.starts_with("PK\x03\x04");
}

SheetText read_sheet(const std::filesystem::path& file, std::string_view sheet,
                     bool decimal_comma) {
    return Workbook(file, sheet, decimal_comma).read();
}

} // namespace aumbry
