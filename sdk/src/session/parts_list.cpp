#include "aumbry/parts_list.hpp"

#include "catalog/cell_text.hpp"
#include "documents/edit_members.hpp"
#include "session/parts_rows.hpp"
#include "values/excerpt.hpp"
#include "values/plain_id.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/fields.hpp"
#include "aumbry/formula.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/project.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/resolve.hpp"
#include "aumbry/session.hpp"
#include "aumbry/short_form.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

namespace aumbry {

using contract::Field;
using contract::FieldType;

namespace {

/// Sizes closer than this are the same: a list prints no more of them.
constexpr double same_size = 0.005;

const Field& count_of_line() {
    return *find_field(common_line_fields(), "count");
}

/// A material role of the project.
struct Role {
    std::string id;
    std::string title;
    std::string catalog_class;
    std::optional<double> thickness; ///< mm, where it is stated
};

class PartsTaking {
  public:
    PartsTaking(const std::string& text, const std::string& file, const PartsToTake& wanted,
                PluginHost& host, const Json& tables)
        : file_(file), wanted_(wanted), host_(host), tables_(tables), modules_(host.modules()) {
        out_.text = text;
        const Project project = Session::with_text(text, file);
        document_ = project.document;
        resolved_ = resolve(project, host, tables, "draft");
        read_roles();
    }

    PartsTaken take(PartsSource source) {
        out_.source = source.name;
        out_.list = !wanted_.list.empty()           ? wanted_.list
                    : !wanted_.mapping.list.empty() ? wanted_.mapping.list
                                                    : name_of(source);
        rows_ = read_parts_rows(std::move(source), wanted_, modules_);
        for (const PartsRow& row : rows_.rows) take_row(row);
        out_.faults = std::move(rows_.faults);
        std::stable_sort(
            out_.faults.begin(), out_.faults.end(),
            [](const csv::RowFault& a, const csv::RowFault& b) { return a.row < b.row; });
        out_.notes = std::move(rows_.notes);
        out_.passed_over = std::move(rows_.passed_over);
        out_.rows = rows_.rows.size();
        find_gone();
        if (!out_.faults.empty()) {
            out_.text.clear();
            return std::move(out_);
        }
        if (rows_.rows.empty())
            fail("no-rows", {out_.source, "", 0, 0}, "the list has no part", "add rows to it");
        write();
        return std::move(out_);
    }

  private:
    static std::string name_of(const PartsSource& source) {
        const std::string stem = std::filesystem::path(source.name).stem().string();
        return stem.empty() ? "list" : stem;
    }

    [[nodiscard]] const Json& section(const char* key) const {
        static const Json none = Json::object();
        const Json* found = find_at(document_, std::string("/") + key);
        return found == nullptr || !found->is_object() ? none : *found;
    }

    // ------------------------------------------------------------ materials

    void read_roles() {
        for (const auto& [id, material] : section("materials").items()) {
            Role role{id, text(material, "title", id), text(material, "class"), std::nullopt};
            try {
                const Quantity value = Formula::parse(text(material, "thickness"))
                                           .evaluate([&](std::string_view name) {
                                               return resolved_.parameters.at(std::string(name));
                                           });
                role.thickness = in_unit(value, "mm");
            } catch (const std::exception&) {
                // Not stated, or by a formula over lines: nothing is held against it.
            }
            roles_.push_back(std::move(role));
        }
    }

    [[nodiscard]] std::string thickness_text(double mm) const {
        return format_length(Length::from_base(mm),
                             resolved_.length_unit == "in" ? LengthUnit::inch : LengthUnit::mm, 64);
    }

    [[nodiscard]] std::string role_names() const {
        std::string all;
        for (const Role& role : roles_)
            all += (all.empty() ? "" : ", ") + role.id +
                   (role.thickness ? " (" + thickness_text(*role.thickness) + ")" : "");
        return all;
    }

    /// The role that material and thickness name together; null after a fault.
    const Role* role_of(const PartsRow& row, const Json* line) {
        const auto named = row.cells.find("material");
        const auto thick = row.cells.find("thickness");
        std::optional<double> thickness;
        if (thick != row.cells.end()) {
            try {
                thickness = in_unit(parse_quantity(thick->second), "mm");
            } catch (const FaultError& error) {
                refuse(row, "thickness", error.faults().front());
                return nullptr;
            }
        }
        std::vector<const Role*> found;
        for (const Role& role : roles_) {
            if (named != row.cells.end()
                    ? small_letters(role.id) == small_letters(named->second) ||
                          small_letters(role.title) == small_letters(named->second)
                : line != nullptr ? role.id == text(*line, "material")
                                  : role.thickness.has_value() && thickness.has_value())
                found.push_back(&role);
        }
        const auto differs = [&](const Role* role) {
            return thickness && role->thickness && !says_thickness(*role) &&
                   std::abs(*role->thickness - *thickness) > 0.05;
        };
        std::vector<const Role*> fit = found;
        std::erase_if(fit, differs);
        if (fit.size() == 1) return fit.front();
        const std::string have =
            roles_.empty() ? "it has none: add one under \"materials\"" : "it has " + role_names();
        if (named == row.cells.end() && !thickness)
            rows_.refuse(row, "material", "missing-value", "no material is stated",
                         "write the name of a material of the project; " + have);
        else if (found.empty())
            rows_.refuse(row, "material", "unknown-material",
                         named == row.cells.end()
                             ? "the project has no material " + thick->second + " thick"
                             : "the project has no material " + in_quotes(named->second),
                         have + "; words of a mapping turn their names into ours");
        else if (fit.empty())
            rows_.refuse(row, "thickness", "wrong-material",
                         "the material " + in_quotes(found.front()->id) + " is " +
                             thickness_text(*found.front()->thickness) + " thick, not " +
                             thick->second,
                         have);
        else
            rows_.refuse(row, "material", "name-clash",
                         "several materials of the project are meant: " + fit[0]->id + ", " +
                             fit[1]->id,
                         "write the id of one, or map their word to it");
        return nullptr;
    }

    /// Whether lines of that role say their thickness themselves.
    [[nodiscard]] bool says_thickness(const Role& role) const {
        const contract::LineKind* kind = kind_for(role.catalog_class);
        return kind != nullptr && find_field(kind->fields, "thickness") != nullptr;
    }

    [[nodiscard]] const contract::LineKind* kind_for(const std::string& catalog_class) const {
        for (const contract::LineKind* kind : kinds_of_parts(modules_)) {
            if (kind->material_class == catalog_class) return kind;
        }
        return nullptr;
    }

    // ------------------------------------------------------------ rows

    void refuse(const PartsRow& row, const std::string& field, const Fault& fault) {
        rows_.refuse(row, field, fault.code, fault.wrong, fault.right);
    }

    /// The id of the line that a row is: its own, or that of its name among those of this list.
    std::string id_of(const PartsRow& row, bool& exists) {
        const auto own = row.cells.find("id");
        if (own != row.cells.end()) {
            exists = section("lines").contains(own->second);
            if (!used_.insert(own->second).second) {
                rows_.refuse(row, "id", "name-clash",
                             "the id " + in_quotes(own->second) + " is there twice",
                             "give every row one of its own, or leave the column out");
                return {};
            }
            if (plain_id(own->second) != own->second) {
                rows_.refuse(row, "id", "bad-name",
                             in_quotes(own->second) +
                                 " is not of small letters, digits and underscores",
                             "write such as " + in_quotes(plain_id(own->second)));
                return {};
            }
            return own->second;
        }
        const auto name = row.cells.find("name");
        if (name == row.cells.end()) {
            rows_.refuse(row, "name", "missing-value", "the row has no name",
                         "name the part; a row that adds others up is left out of a list");
            return {};
        }
        const std::string base = plain_id(name->second, '_', "part");
        std::string id = base;
        for (int n = 2;; ++n) {
            const auto line = section("lines").find(id);
            const bool there = line != section("lines").end();
            if (!used_.contains(id) && (!there || text(*line, "from_list") == out_.list)) {
                exists = there;
                break;
            }
            id = base + '_' + std::to_string(n);
        }
        used_.insert(id);
        return id;
    }

    void take_row(const PartsRow& row) {
        bool exists = false;
        const std::string id = id_of(row, exists);
        if (id.empty()) return;
        const Json* line = exists ? &section("lines")[id] : nullptr;
        const Role* role = role_of(row, line);
        if (role == nullptr) return;
        const contract::LineKind* kind = kind_of(row, *role, line);
        if (kind == nullptr) return;
        const std::size_t before = rows_.faults.size();
        Json said = {{"kind", kind->kind}};
        const std::string piece = piece_of(row);
        if (!piece.empty()) said["piece"] = piece;
        if (const auto name = row.cells.find("name"); name != row.cells.end())
            said["title"] = name->second;
        said["material"] = role->id;
        if (!exists) said["from_list"] = out_.list;
        read_count(row, said);
        for (const Field& field : kind->fields) read_cell_of(row, field, said);
        for (const auto& [name, value] : row.cells) {
            if (find_field(kind->fields, name) != nullptr || is_common(name)) continue;
            rows_.refuse(row, name, "unknown-key",
                         "a line of kind " + kind->kind + " has no " + name,
                         "leave the cell empty");
        }
        if (!exists && !said.contains("length") && rows_.faults.size() == before)
            rows_.refuse(row, "length", "missing-value", "the part has no length",
                         "write one; a heading is passed over by row_needs of a mapping");
        if (rows_.faults.size() > before) return;
        if (exists)
            compare(id, *kind, said);
        else {
            new_lines_[id] = said;
            out_.added.push_back(id);
        }
    }

    static bool is_common(const std::string& name) {
        for (const char* common :
             {"id", "name", "piece", "kind", "material", "thickness", "count"}) {
            if (name == common) return true;
        }
        return false;
    }

    const contract::LineKind* kind_of(const PartsRow& row, const Role& role, const Json* line) {
        const auto named = row.cells.find("kind");
        const std::string wanted = named != row.cells.end() ? named->second
                                   : line != nullptr        ? text(*line, "kind")
                                                            : std::string();
        for (const contract::LineKind* kind : kinds_of_parts(modules_)) {
            if (kind->material_class == role.catalog_class &&
                (wanted.empty() || kind->kind == wanted))
                return kind;
        }
        rows_.refuse(row, "material", "wrong-material",
                     "no " + (wanted.empty() ? "part" : "line of kind " + wanted) +
                         " is made of the material " + in_quotes(role.id) + ", of class " +
                         in_quotes(role.catalog_class),
                     "name another material");
        return nullptr;
    }

    /// The piece of a row by id or title; a new one where there is none.
    std::string piece_of(const PartsRow& row) {
        const auto named = row.cells.find("piece");
        if (named == row.cells.end()) return {};
        for (const Json* pieces :
             std::initializer_list<const Json*>{&section("pieces"), &new_pieces_}) {
            for (const auto& [id, piece] : pieces->items()) {
                if (small_letters(id) == small_letters(named->second) ||
                    small_letters(text(piece, "title")) == small_letters(named->second))
                    return id;
            }
        }
        const std::string id = plain_id(named->second, '_', "piece");
        new_pieces_[id] = {{"title", named->second}};
        out_.pieces.push_back(id);
        return id;
    }

    void read_count(const PartsRow& row, Json& said) {
        const auto cell = row.cells.find("count");
        if (cell == row.cells.end()) return;
        try {
            said["count"] = read_cell(count_of_line(), cell->second);
        } catch (const FaultError& error) {
            refuse(row, "count", error.faults().front());
        }
    }

    void read_cell_of(const PartsRow& row, const Field& field, Json& said) {
        const auto cell = row.cells.find(field.name);
        if (cell == row.cells.end()) return;
        try {
            if (has_short_form(field)) {
                said[field.name] = short_form_of(field, from_short_form(field, cell->second));
                return;
            }
            const Json value = read_cell(field, cell->second);
            // What people write: lengths as they stand in the list.
            said[field.name] = field.type == FieldType::quantity ? Json(cell->second) : value;
        } catch (const FaultError& error) {
            refuse(row, field.name, error.faults().front());
        }
    }

    // ------------------------------------------------------------ against the project

    void compare(const std::string& id, const contract::LineKind& kind, const Json& said) {
        const Json& line = section("lines")[id];
        const auto resolved =
            std::find_if(resolved_.lines.begin(), resolved_.lines.end(),
                         [&](const ResolvedLine& each) { return each.line.id == id; });
        const std::size_t before = out_.changed.size();
        for (const auto& [key, value] : said.items()) {
            if (key == "kind" || resolved == resolved_.lines.end()) continue;
            const contract::Line& now = resolved->line;
            const Field* field = find_field(kind.fields, key);
            bool same = false;
            if (field != nullptr)
                same = same_value(*field, now.fields, value);
            else if (key == "count")
                same = value == now.count;
            else if (key == "title")
                same = value == display_name(now);
            else
                same = text(line, key.c_str()) == value.get<std::string>();
            if (same) continue;
            edits_.push_back({id, key, value});
            out_.changed.push_back({id, key, as_written(line, key), plain(value)});
        }
        if (out_.changed.size() == before) ++out_.unchanged;
    }

    static bool same_value(const Field& field, const Json& fields, const Json& said) {
        const auto found = fields.find(field.name);
        if (found == fields.end() || found->is_null()) return false;
        if (has_short_form(field)) return short_form_of(field, *found) == said.get<std::string>();
        const Json value =
            field.type == FieldType::quantity ? read_cell(field, said.get<std::string>()) : said;
        if (found->is_number() && value.is_number())
            return std::abs(found->get<double>() - value.get<double>()) <= same_size;
        return *found == value;
    }

    static std::string plain(const Json& value) {
        return value.is_string() ? value.get<std::string>() : value.dump();
    }

    static std::string as_written(const Json& line, const std::string& key) {
        const auto found = line.find(key);
        return found == line.end() ? std::string() : excerpt(plain(*found), 60);
    }

    void find_gone() {
        // A row at fault may be any of them.
        if (!rows_.faults.empty() || !out_.faults.empty()) return;
        for (const auto& [id, line] : section("lines").items()) {
            if (line.is_object() && text(line, "from_list") == out_.list && !used_.contains(id))
                out_.gone.push_back(id);
        }
    }

    void write() {
        const auto add = [&](const char* key, const Json& members) {
            if (members.empty()) return;
            out_.text = document_.contains(key)
                            ? insert_members(std::move(out_.text), std::string("/") + key, members)
                            : insert_members(std::move(out_.text), "", Json{{key, members}});
        };
        add("pieces", new_pieces_);
        add("lines", new_lines_);
        for (const Edit& edit : edits_)
            out_.text = set_member(std::move(out_.text), pointer_to("/lines", edit.line), edit.key,
                                   edit.value);
        out_.gone_dropped = wanted_.drop_gone;
        if (wanted_.drop_gone) {
            for (const std::string& id : out_.gone)
                out_.text = remove_member(std::move(out_.text), pointer_to("/lines", id));
        }
        // What is written is a project that can be read: also one without the lines that are gone.
        (void)resolve(Session::with_text(out_.text, file_), host_, tables_, "draft");
    }

    struct Edit {
        std::string line;
        std::string key;
        Json value;
    };

    const std::string& file_;
    const PartsToTake& wanted_;
    PluginHost& host_;
    const Json& tables_;
    std::vector<contract::Description> modules_;
    Json document_;
    Resolved resolved_;
    std::vector<Role> roles_;
    PartsRows rows_;
    std::set<std::string> used_;
    Json new_lines_ = Json::object();
    Json new_pieces_ = Json::object();
    std::vector<Edit> edits_;
    PartsTaken out_;
};

} // namespace

PartsSource parts_source(const std::filesystem::path& file) {
    return {file.generic_string(), read_file(file), file};
}

PartsTaken take_parts(const std::string& project_text, const std::string& project_file,
                      PartsSource source, const PartsToTake& wanted, PluginHost& host,
                      const Json& tables) {
    return PartsTaking(project_text, project_file, wanted, host, tables).take(std::move(source));
}

} // namespace aumbry
