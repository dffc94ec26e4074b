#include "catalog/catalog_content.hpp"
#include "catalog/price_list.hpp"

#include "aumbry/catalog.hpp"
#include "aumbry/json.hpp"

#include <algorithm>
#include <fstream>
#include <map>
#include <system_error>

namespace aumbry {

namespace fs = std::filesystem;

namespace {

/// Entries of a folder by name, without hidden ones.
std::vector<fs::path> entries(const fs::path& folder) {
    std::vector<fs::path> found;
    std::error_code error;
    for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
        if (!at->path().filename().string().starts_with('.')) found.push_back(at->path());
    }
    std::sort(found.begin(), found.end(), [](const fs::path& a, const fs::path& b) {
        return a.filename().string() < b.filename().string();
    });
    return found;
}

std::string read_list(const fs::path& path) {
    std::error_code error;
    const auto size = fs::file_size(path, error);
    std::ifstream in(path, std::ios::binary);
    if (error || !in)
        fail("unreadable-file", {path.generic_string(), "", 0, 0}, "the file cannot be read",
             "check its permissions");
    std::string text(static_cast<std::size_t>(size), '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(in.gcount()));
    return text;
}

} // namespace

class CatalogLoader {
  public:
    explicit CatalogLoader(const std::vector<contract::CatalogClass>& classes)
        : content_(std::make_shared<Catalog::Content>()) {
        for (const contract::CatalogClass& one : classes) {
            ClassTable& table = content_->classes.emplace_back();
            table.definition = one;
            table.values.resize(one.attributes.size());
        }
    }

    Catalog load(const std::vector<fs::path>& folders) {
        for (const fs::path& folder : folders) look_through(folder);
        read_suppliers();
        read_lists();
        build_index();
        return Catalog(content_);
    }

    SupplierLists load_one(const fs::path& folder, const std::string& list,
                           const std::optional<std::string>& text) {
        const fs::path named = folder.filename().empty() ? folder.parent_path() : folder;
        Source& source =
            sources_.emplace(named.filename().string(), Source{folder, {}, {}}).first->second;
        if (text) source.replaced = {folder / list, *text};
        read_suppliers();
        read_lists();
        build_index();
        std::vector<std::string> files = content_->files;
        return {Catalog(content_), std::move(files)};
    }

  private:
    struct Source {
        fs::path folder;
        std::vector<std::size_t> texts;                           ///< its price lists
        std::optional<std::pair<fs::path, std::string>> replaced; ///< a list as it would be
    };

    void add_fault(std::string code, const std::string& file, std::string wrong,
                   std::string right) {
        content_->faults.push_back(
            {{std::move(code), {file, "", 0, 0}, std::move(wrong), std::move(right)}, 0, "", ""});
    }
    void add_faults(const FaultError& error) {
        for (const Fault& fault : error.faults()) content_->faults.push_back({fault, 0, "", ""});
    }

    void look_through(const fs::path& folder) {
        std::error_code error;
        if (!fs::is_directory(folder, error)) {
            add_fault("missing-folder", folder.generic_string(), "there is no such catalog folder",
                      "name a folder that holds suppliers or reference");
            return;
        }
        const bool suppliers = fs::is_directory(folder / "suppliers", error);
        const bool reference = fs::is_directory(folder / "reference", error);
        const bool pieces = fs::is_directory(folder / "pieces", error);
        if (!suppliers && !reference && !pieces) {
            add_fault("no-catalog", folder.generic_string(),
                      "the folder holds neither suppliers nor reference nor pieces",
                      "put suppliers into suppliers/<id>/, tables into reference/ and piece files "
                      "into pieces/");
        }
        for (const fs::path& entry : entries(folder / "suppliers")) {
            if (!fs::is_directory(entry, error)) continue;
            const std::string id = entry.filename().string();
            const auto [at, is_new] = sources_.emplace(id, Source{entry, {}, {}});
            if (!is_new) {
                add_fault("duplicate-supplier", entry.generic_string(),
                          "the supplier '" + id + "' is already in " +
                              at->second.folder.generic_string(),
                          "rename one of the folders");
            }
        }
        for (const fs::path& entry : entries(folder / "reference")) {
            if (entry.extension() == ".json") read_table(entry);
        }
    }

    void read_table(const fs::path& path) {
        const std::string file = path.generic_string();
        try {
            const std::string text = read_list(path);
            const Json json = parse_json(text, file);
            const bool shaped = json.is_object() && json.contains("table") &&
                                json["table"].is_string() && json.contains("rows") &&
                                json["rows"].is_array();
            if (!shaped)
                fail("bad-table", {file, "", 1, 1}, "this is no reference table",
                     "write an object with \"table\", a name, and \"rows\", a list");
            const std::string name = json["table"].get<std::string>();
            const auto [at, is_new] = table_files_.emplace(name, file);
            if (!is_new) {
                const Position position = locate(text, "/table").value_or(Position{1, 1});
                fail("duplicate-table", {file, "/table", position.line, position.column},
                     "the table '" + name + "' is already in " + at->second, "rename one of them");
            }
            content_->tables[name] = json["rows"];
        } catch (const FaultError& error) {
            add_faults(error);
        }
    }

    void read_suppliers() {
        for (auto at = sources_.begin(); at != sources_.end();) {
            const auto& [id, source] = *at;
            const fs::path terms = source.folder / "supplier.json";
            const std::string file = terms.generic_string();
            try {
                std::error_code error;
                if (!fs::exists(terms, error)) {
                    fail("missing-supplier", {file, "", 0, 0},
                         "the supplier '" + id + "' has no supplier.json",
                         "write one with its name, currency, tax_percent and delivery");
                }
                content_->suppliers.push_back(read_supplier(read_list(terms), file, id));
                ++at;
            } catch (const FaultError& error) {
                add_faults(error);
                content_->notes.push_back(
                    source.folder.generic_string() +
                    ": the price lists are not read until supplier.json is mended");
                at = sources_.erase(at);
            }
        }
    }

    void read_lists() {
        // All texts first: then it is known how many rows there can be, and they never move.
        std::size_t max_rows = 0;
        for (auto& [id, source] : sources_) {
            std::vector<fs::path> lists = entries(source.folder);
            if (source.replaced &&
                std::find(lists.begin(), lists.end(), source.replaced->first) == lists.end()) {
                lists.push_back(source.replaced->first);
                std::sort(lists.begin(), lists.end());
            }
            for (const fs::path& entry : lists) {
                if (entry.extension() != ".csv") continue;
                const std::string file = entry.generic_string();
                try {
                    const bool replaced = source.replaced && source.replaced->first == entry;
                    std::string text = replaced ? source.replaced->second : read_list(entry);
                    if (csv::decode(text, file) == csv::Encoding::latin1) {
                        content_->notes.push_back(file + ": not UTF-8, read as Latin-1; check that "
                                                         "letters with accents look right");
                    }
                    max_rows +=
                        static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 1;
                    source.texts.push_back(content_->texts.size());
                    content_->texts.push_back(std::move(text));
                    content_->files.push_back(file);
                } catch (const FaultError& error) {
                    add_faults(error);
                }
            }
        }
        content_->rows.reserve(max_rows);
        PriceListReader reader(content_->names, content_->classes, content_->rows, content_->aside,
                               content_->faults, content_->notes);
        std::size_t number = 0;
        for (auto& [id, source] : sources_) {
            const std::size_t first_fault = content_->faults.size();
            reader.begin_supplier(content_->suppliers[number++]);
            for (const std::size_t text : source.texts)
                reader.read(content_->texts[text], content_->files[text],
                            static_cast<std::uint32_t>(text));
            reader.finish_supplier(content_->files);
            std::stable_sort(content_->faults.begin() + static_cast<std::ptrdiff_t>(first_fault),
                             content_->faults.end(),
                             [](const csv::RowFault& a, const csv::RowFault& b) {
                                 return a.fault.place.file != b.fault.place.file
                                            ? a.fault.place.file < b.fault.place.file
                                            : a.row < b.row;
                             });
        }
        for (const auto& [name, aside] : reader.classes_aside()) {
            content_->notes.push_back("no module prices class '" + name +
                                      "': " + std::to_string(aside.rows) +
                                      (aside.rows == 1 ? " row" : " rows") +
                                      " kept aside, the first in " + aside.first_file);
        }
    }

    void build_index() {
        std::vector<std::vector<std::uint32_t>> loaded_as(
            content_->classes.size()); // [class][item]: place in `loaded`
        const PriceRow* last = nullptr;
        for (PriceRow& row : content_->rows) {
            std::vector<std::uint32_t>& places = loaded_as[row.table];
            if (last == nullptr || last->supplier != row.supplier || last->sku != row.sku) {
                content_->classes[row.table].first_rows.push_back(
                    static_cast<std::uint32_t>(&row - content_->rows.data()));
                places.push_back(row.item);
            }
            row.item = static_cast<std::uint32_t>(places.size() - 1);
            last = &row;
        }
        for (std::size_t number = 0; number < loaded_as.size(); ++number) {
            ClassTable& table = content_->classes[number];
            const std::vector<std::uint32_t>& places = loaded_as[number];
            table.columns.resize(table.width());
            for (std::size_t attribute = 0; attribute < table.width(); ++attribute) {
                std::vector<std::uint32_t>& column = table.columns[attribute];
                column.resize(places.size());
                for (std::size_t item = 0; item < places.size(); ++item)
                    column[item] = table.loaded[places[item] * table.width() + attribute];
            }
            table.loaded = {};
            table.build_index();
        }
    }

    std::shared_ptr<Catalog::Content> content_;
    std::map<std::string, Source> sources_; ///< by supplier id
    std::map<std::string, std::string> table_files_;
};

Catalog load_catalog(const std::vector<fs::path>& folders,
                     const std::vector<contract::CatalogClass>& classes) {
    return CatalogLoader(classes).load(folders);
}

SupplierLists load_supplier(const fs::path& folder, const std::string& list,
                            const std::optional<std::string>& text,
                            const std::vector<contract::CatalogClass>& classes) {
    return CatalogLoader(classes).load_one(folder, list, text);
}

std::optional<std::uint32_t> SupplierLists::file_of(const fs::path& list) const {
    const auto found = std::find(files.begin(), files.end(), list.generic_string());
    if (found == files.end()) return std::nullopt;
    return static_cast<std::uint32_t>(found - files.begin());
}

} // namespace aumbry
