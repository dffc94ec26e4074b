#include "session/list_import.hpp"

#include "session/text.hpp"

#include "aumbry/save_file.hpp"

#include <algorithm>
#include <chrono>
#include <fstream>
#include <memory>
#include <sstream>

namespace aumbry::gui {

namespace {

/// The beginning of a file up to the end of a line: heads are short.
std::string beginning_of_file(const std::filesystem::path& file) {
    constexpr std::size_t max = 256 * 1024;
    std::ifstream in(file, std::ios::binary);
    if (!in || std::filesystem::is_directory(file))
        fail("unreadable-file", {file.generic_string(), "", 0, 0}, "the file cannot be read",
             "check its name and permissions");
    std::string text(max, '\0');
    in.read(text.data(), static_cast<std::streamsize>(max));
    text.resize(static_cast<std::size_t>(in.gcount()));
    if (text.size() == max) {
        if (const auto end = text.find_last_of("\r\n"); end != std::string::npos)
            text.resize(end + 1);
    }
    return text;
}

/// The name of the list that a spreadsheet becomes: "March prices.csv" is "march_prices.csv".
std::string list_name(const std::filesystem::path& spreadsheet) {
    std::string name = lower(spreadsheet.stem().string());
    for (char& c : name)
        if (c == ' ' || c == '-') c = '_';
    if (name.empty() || name.front() == '.') name = "list";
    return name + ".csv";
}

} // namespace

void read_head(ListImport& import) {
    import.head = {};
    import.faults.clear();
    try {
        std::string text = beginning_of_file(import.spreadsheet);
        const std::string file = import.spreadsheet.generic_string();
        import.head.latin1 = csv::decode(text, file) == csv::Encoding::latin1;
        const char separator =
            import.mapping.separator.empty() ? '\0' : import.mapping.separator.front();
        char found = separator;
        if (found == '\0') {
            std::string copy = text;
            found = csv::Reader(copy, file, '\0', import.mapping.header_row).separator();
        }
        // Each row is read as if it were the header: titles are shorter than the rows of the table.
        for (int row = 1; row <= static_cast<int>(rows_of_head); ++row) {
            std::vector<std::string> cells;
            std::string copy = text;
            try {
                csv::Reader reader(copy, file, found, row);
                if (reader.row() == row)
                    cells.assign(reader.header().begin(), reader.header().end());
            } catch (const FaultError& error) {
                if (error.faults().front().code == "empty-table") break;
                cells = {error.faults().front().wrong};
            }
            import.head.width = std::max(import.head.width, cells.size());
            import.head.rows.push_back(std::move(cells));
        }
    } catch (const FaultError& error) {
        import.faults = error.faults();
    }
}

void choose_spreadsheet(ListImport& import, const std::filesystem::path& file,
                        const std::vector<contract::CatalogClass>& classes) {
    import.spreadsheet = file;
    import.told.clear();
    if (import.mapping.list.empty()) {
        import.mapping.list = list_name(file);
        read_head(import);
        // The header is the first row that is as full as any.
        std::size_t fullest = 0;
        for (std::size_t row = 0; row < import.head.rows.size(); ++row) {
            const auto& cells = import.head.rows[row];
            const auto filled = static_cast<std::size_t>(std::count_if(
                cells.begin(), cells.end(), [](const auto& c) { return !c.empty(); }));
            if (filled > fullest) {
                fullest = filled;
                import.mapping.header_row = static_cast<int>(row) + 1;
            }
        }
        read_head(import);
        // Common practice: spreadsheets with a decimal comma are set apart by semicolons.
        std::string text;
        for (const auto& row : import.head.rows)
            for (const std::string& cell : row) text += cell + '\n';
        import.mapping.decimal_comma = false;
        for (std::size_t at = 1; at + 2 < text.size(); ++at) {
            const bool money = text[at] == ',' && text[at - 1] >= '0' && text[at - 1] <= '9' &&
                               text[at + 1] >= '0' && text[at + 1] <= '9' && text[at + 2] >= '0' &&
                               text[at + 2] <= '9' &&
                               (at + 3 >= text.size() || text[at + 3] < '0' || text[at + 3] > '9');
            import.mapping.decimal_comma = import.mapping.decimal_comma || money;
        }
        const std::string first_class = classes.empty() ? "" : classes.front().name;
        import.mapping.constants = {{"class", first_class}, { "price_unit", "each" }};
        for (const std::string& column : columns_of(import)) {
            for (const ListField& field : fields_of(classes, first_class)) {
                if (!column.empty() && lower(column) == field.name)
                    set_field(import.mapping, column, field.name);
            }
        }
    }
    read_head(import);
    import.stale = true;
}

void open_mapping(ListImport& import, const std::filesystem::path& file,
                  const std::vector<contract::CatalogClass>& classes) {
    std::ifstream in(file, std::ios::binary);
    if (!in)
        fail("unreadable-file", {file.generic_string(), "", 0, 0}, "the file cannot be read",
             "check its name and permissions");
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    import.mapping = read_mapping(text, file.generic_string(), classes);
    import.typed.clear();
    if (!import.spreadsheet.empty()) read_head(import);
    import.stale = true;
}

void save_mapping(const ListImport& import, const std::filesystem::path& file) {
    save_file(file, pretty(to_json(import.mapping)));
}

std::vector<std::string> columns_of(const ListImport& import) {
    std::vector<std::string> names;
    const auto row = static_cast<std::size_t>(import.mapping.header_row - 1);
    if (row < import.head.rows.size()) names = import.head.rows[row];
    names.resize(std::max(names.size(), import.head.width));
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (std::find(names.begin(), names.begin() + static_cast<std::ptrdiff_t>(i), names[i]) !=
            names.begin() + static_cast<std::ptrdiff_t>(i))
            names[i].clear();
    }
    return names;
}

std::string field_of(const Mapping& mapping, const std::string& column) {
    const auto found = mapping.columns.find(column);
    return found == mapping.columns.end() ? "" : found->second;
}

void set_field(Mapping& mapping, const std::string& column, const std::string& field) {
    std::erase_if(mapping.columns, [&](const auto& one) {
        return one.first == column || (!field.empty() && one.second == field);
    });
    if (!field.empty()) mapping.columns[column] = field;
}

std::vector<ListField> fields_of(const std::vector<contract::CatalogClass>& classes,
                                 const std::string& class_name) {
    std::vector<ListField> fields;
    for (const std::string_view name : common_columns()) {
        const bool required = name == "sku" || name == "price" || name == "class";
        fields.push_back({std::string(name), std::string(name), "", required, false});
    }
    for (const contract::CatalogClass& one : classes) {
        if (one.name != class_name) continue;
        for (const contract::Field& attribute : one.attributes) {
            fields.push_back({attribute.name, attribute.title, attribute.help, attribute.required,
                              attribute.type == contract::FieldType::quantity});
        }
    }
    return fields;
}

std::string origin_of(const Mapping& mapping, const std::string& field) {
    for (const auto& [column, name] : mapping.columns) {
        if (name == field) return "column " + column;
    }
    for (const ColumnPatterns& one : mapping.patterns) {
        for (const std::string& text : one.texts) {
            if (text.find('{' + field + '}') != std::string::npos)
                return "pattern of " + one.column;
        }
    }
    const auto constant = mapping.constants.find(field);
    return constant == mapping.constants.end() || constant->second.empty()
               ? ""
               : "the same for all rows";
}

std::string words_as_text(const std::map<std::string, std::string>& words) {
    std::string text;
    for (const auto& [theirs, ours] : words)
        text += (text.empty() ? "" : "; ") + theirs + " = " + ours;
    return text;
}

std::map<std::string, std::string> words_of_text(const std::string& text) {
    std::map<std::string, std::string> words;
    std::istringstream in(text);
    for (std::string one; std::getline(in, one, ';');) {
        const auto equals = one.find('=');
        if (equals == std::string::npos) continue;
        const std::string theirs = trimmed(one.substr(0, equals));
        if (!theirs.empty()) words[theirs] = trimmed(one.substr(equals + 1));
    }
    return words;
}

std::string texts_as_text(const std::vector<std::string>& texts) {
    std::string all;
    for (const std::string& text : texts) all += (all.empty() ? "" : " ") + text;
    return all;
}

std::vector<std::string> texts_of_text(const std::string& text) {
    std::vector<std::string> texts;
    std::istringstream in(text);
    for (std::string one; in >> one;) texts.push_back(one);
    return texts;
}

ImportOutcome try_mapping(const Mapping& mapping, const std::filesystem::path& spreadsheet,
                          const std::filesystem::path& supplier,
                          const std::vector<contract::CatalogClass>& classes, bool whole) {
    ImportOutcome outcome;
    outcome.whole = whole;
    try {
        // Read back from its text: what is tried is what would be saved.
        const Mapping read = read_mapping(pretty(to_json(mapping)), "the mapping", classes);
        Import import = plan_import(spreadsheet, read, supplier, classes, whole ? 0 : rows_of_look);
        std::string text = import.text;
        csv::Reader reader(text, "the new list");
        outcome.rows.emplace_back(reader.header().begin(), reader.header().end());
        while (outcome.rows.size() <= rows_of_look && reader.next())
            outcome.rows.emplace_back(reader.fields().begin(), reader.fields().end());
        outcome.import = std::move(import);
    } catch (const FaultError& error) {
        outcome.faults = error.faults();
    } catch (const std::exception& error) {
        // It runs in a thread of its own: what went wrong has to come back as a value.
        outcome.faults = {{"import-failed",
                           {spreadsheet.generic_string(), "", 0, 0},
                           std::string("the import failed: ") + error.what(),
                           "check the spreadsheet and the supplier's folder"}};
    }
    return outcome;
}

void keep_up(ListImport& import, const std::vector<contract::CatalogClass>& classes,
             const std::function<void()>& wake) {
    if (import.looking.valid() &&
        import.looking.wait_for(std::chrono::seconds(0)) == std::future_status::ready) {
        ImportOutcome outcome = import.looking.get();
        if (!import.stale) import.outcome = std::move(outcome);
    }
    if (!import.stale || import.looking.valid() || import.spreadsheet.empty() ||
        import.supplier.empty())
        return;
    import.stale = false;
    const bool whole = import.check_all;
    import.check_all = false;
    auto promise = std::make_shared<std::promise<ImportOutcome>>();
    import.looking = promise->get_future();
    import.thread = std::async(
        std::launch::async, [promise, mapping = import.mapping, spreadsheet = import.spreadsheet,
                             supplier = import.supplier, classes, whole, wake] {
            promise->set_value(try_mapping(mapping, spreadsheet, supplier, classes, whole));
    if (wake) wake(); // what is found is there before anybody looks
});
} // namespace aumbry::gui

} // namespace aumbry::gui
