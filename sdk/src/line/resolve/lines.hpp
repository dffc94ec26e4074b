// The materials, parameters and lines of a project: opened into a graph of names, linked by what
// their formulas and fields name, settled into values line by line.
#pragma once

#include "line/resolve/graph.hpp"
#include "line/resolve/known_modules.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/resolved_project.hpp"

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace aumbry::resolving {

/// Asks a module what follows from lines. @throws ModuleError.
using Derive = std::function<std::shared_ptr<const contract::DeriveReply>(
    const std::string& module, std::vector<contract::Line> lines)>;

/// What became of the lines.
struct ReadLines {
    std::vector<ResolvedLine> lines; ///< in document order
    std::map<std::string, std::string> material_titles;
    std::vector<AbsentModule> absent;
    std::map<std::string, std::vector<contract::Finding>> findings; ///< by module
    std::vector<contract::Working> workings; ///< of parameters and formulas, then of derived values
};

/// A number that a module states, in a unit that it states.
/// @throws ModuleError when it is no number, or the unit is none that exists.
[[nodiscard]] Quantity module_quantity(const std::string& module, const std::string& name,
                                       const Json& value, const std::string& unit);
/// The values that a reply gives a line, by name, as formulas use them. @throws ModuleError.
[[nodiscard]] std::vector<std::pair<std::string, Quantity>>
derived_quantities(const std::string& module, const contract::LineKind& kind,
                   const contract::DerivedLine& derived);

/// Reads the lines of one project, once: open, link, settle, take. Every fault goes into the list.
class LineReader {
  public:
    LineReader(const Project& project, const KnownModules& modules, std::span<const Piece> pieces,
               FaultList& faults);

    /// Opens materials, lines and parameters: what is there, and what is wrong with it.
    void open();
    /// Finds what every value needs first.
    void link();
    /// Finds every value, asking modules for what follows from lines; tells the loops.
    void settle(const Derive& derive);
    /// The lines with what they name, once everything is settled.
    [[nodiscard]] ReadLines take();

    /// The names of the project for formulas elsewhere. While values are being found, a name that
    /// rests on derived values has none yet.
    [[nodiscard]] FieldContext names();
    /// Why a name has no value because a line has no price; empty when that is not so.
    [[nodiscard]] std::string why_not_priced(const std::string& name);
    /// What each parameter comes to; those at fault are left out.
    [[nodiscard]] std::map<std::string, Quantity> parameters() const;

  private:
    /// What gives a node its value.
    struct Source {
        enum class Kind { parameter, attribute, field, line } kind = Kind::parameter;
        std::size_t owner = 0; ///< index of the material or line
        const contract::Field* field = nullptr;
        const Json* raw = nullptr;
        std::string pointer;
    };
    struct MaterialEntry {
        contract::Material material;
        bool faulty = false;
        bool class_known = true;
        std::vector<NodeId> attributes;
    };
    struct LineEntry {
        NodeId node = 0; ///< of its derived values
        std::vector<NodeId> fields;
        std::optional<std::size_t> material;
    };
    /// A name that has no value yet, or never will.
    struct NameAnswer {
        std::optional<NodeId> node; ///< that gives it one
        std::string wrong;          ///< why nothing does
        std::string right;
    };

    // lines.cpp: what stands in the document
    NodeId add_value(Source source, std::string name);
    void open_parameters();
    void open_materials();
    void open_material(const std::string& id, const Json& json);
    void read_carriage(contract::Material& material, const Json& json, const std::string& pointer);
    void open_attributes(std::size_t owner, const Json& json, const std::string& pointer);
    void open_lines();
    void open_line(std::size_t index, const Json& json);
    [[nodiscard]] const contract::LineKind* open_kind(std::size_t index, const Json& json,
                                                      const std::string& pointer);
    [[nodiscard]] bool open_common(ResolvedLine& line, const contract::LineKind& kind,
                                   const Json& json, const std::string& pointer);
    void check_piece(const std::string& piece, const std::string& pointer);
    [[nodiscard]] bool open_material_of(std::size_t index, const contract::LineKind& kind,
                                        const Json& json, const std::string& pointer);
    [[nodiscard]] bool open_fields(std::size_t index, const contract::LineKind& kind,
                                   const Json& json, const std::string& pointer);
    void use_fallback(ResolvedLine& line, const contract::Field& field);
    void note_absent(const std::string& module);

    // references.cpp: what names and fields refer to
    [[nodiscard]] NameAnswer find_name(const std::string& name);
    [[nodiscard]] const std::vector<std::string>& all_names();
    void link_formulas();
    void note_dependence();
    void add_dependence(std::size_t line, const std::string& on);
    void collect_lines(const contract::Field& field, const Json& raw, std::size_t self,
                       std::vector<std::string>& ids) const;
    [[nodiscard]] std::vector<std::string> expand(const contract::Field& field,
                                                  const std::string& entry) const;
    [[nodiscard]] std::vector<std::string> lines_of_piece(const std::string& piece,
                                                          const contract::Field& field) const;

    // values.cpp: what they come to
    [[nodiscard]] Quantity value_of(const std::string& name);
    void evaluate(NodeId id);
    void store(const Source& source, Json value);
    void explain(NodeId id);
    void warn_of_unit(NodeId id);
    void derive_lines(const std::vector<NodeId>& ready, const Derive& derive);
    void take_derived(const std::string& module, const contract::DeriveReply& reply);
    void module_failed(const std::string& module, const std::string& reason,
                       std::span<const NodeId> lines);
    void complete(std::size_t index);
    void report_loops();

    const Project& project_;
    const KnownModules& modules_;
    std::span<const Piece> pieces_;
    FaultList& faults_;
    ReadLines out_;
    Graph graph_;
    std::vector<Source> sources_;    ///< by node
    std::vector<LineEntry> entries_; ///< by line
    std::vector<MaterialEntry> materials_;
    std::unordered_map<std::string, Quantity> values_;
    std::unordered_map<std::string, std::size_t> material_index_;
    std::unordered_map<std::string, std::size_t> line_index_;
    std::vector<std::string> all_names_; ///< sorted, for the nearest; made when first needed
    bool settled_ = false;
};

} // namespace aumbry::resolving
