// Reading values strictly by field records: the one way in which anything that a person writes
// becomes a value, be it a line of a project, a setting, a supplier's terms or a cell of a price
// list.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/formula.hpp"
#include "aumbry/quantity.hpp"

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// What reading needs to know of its surroundings.
struct FieldContext {
    /// The value of a name in a formula; throws FaultError when there is none. Empty: formulas may
    /// not use names.
    std::function<Quantity(std::string_view)> lookup;
    /// The lines that an entry of a `line` or `lines` field names, or a fault's (wrong, right) when
    /// it names none. Empty: ids are taken as they are.
    std::function<std::vector<std::string>(const contract::Field&, const std::string& entry)>
        expand_lines;
};

/// Collects faults of one document; pointers are completed with line and column at the end.
class FaultList {
  public:
    explicit FaultList(std::string file) : file_(std::move(file)) {}

    void add(std::string code, std::string pointer, std::string wrong, std::string right = {}) {
        faults_.push_back({std::move(code),
                           {file_, std::move(pointer), 0, 0},
                           std::move(wrong),
                           std::move(right)});
    }
    /// Takes over a fault that knows no place.
    void add_at(const Fault& fault, const std::string& pointer) {
        add(fault.code, pointer, fault.wrong, fault.right);
    }

    [[nodiscard]] bool empty() const { return faults_.empty(); }
    [[nodiscard]] std::size_t size() const { return faults_.size(); }
    [[nodiscard]] const std::string& file() const { return file_; }
    [[nodiscard]] const std::vector<Fault>& faults() const { return faults_; }

    /// Fills in line and column of every pointer that the text has. `origin` turns a pointer into
    /// the document as it is now into one into the text (an alternative's changes stand elsewhere);
    /// empty: they are the same.
    void find_places(std::string_view text,
                     const std::function<std::string(const std::string&)>& origin = {});
    /// Throws FaultError when there is any fault.
    void throw_if_any() const;

  private:
    std::string file_;
    std::vector<Fault> faults_;
};

/// Reads one value. Empty when it is at fault; the fault is in the list. Quantities come out in the
/// field's unit.
[[nodiscard]] std::optional<Json> read_value(const contract::Field& field, const Json& in,
                                             const std::string& pointer,
                                             const FieldContext& context, FaultList& faults);

/// Reads an object by its fields: unknown keys (but `x-...` and those in `also_known`) and missing
/// required ones are faults, absent ones take their fallback. Values at fault are left out.
[[nodiscard]] Json read_fields(std::span<const contract::Field> fields, const Json& in,
                               const std::string& pointer, const FieldContext& context,
                               FaultList& faults,
                               std::span<const std::string_view> also_known = {});

/// Reads the text of a cell: scalars only, lists by semicolon; `yes`, `no`, `true`, `false` for
/// flags. Formulas may not use names. A bare number of a quantity is taken in `default_unit` when
/// that is given.
/// @throws FaultError without place.
[[nodiscard]] Json read_cell(const contract::Field& field, std::string_view cell,
                             std::string_view default_unit = {});

/// The names that formulas in a value use, in order, each once. Text that is no formula names
/// nothing.
[[nodiscard]] std::vector<std::string> names_in(const contract::Field& field, const Json& in);

/// The field of a name, or null.
[[nodiscard]] const contract::Field* find_field(std::span<const contract::Field> fields,
                                                std::string_view name);

/// Adds a fault for every key of an object that is not known, naming the nearest.
void refuse_unknown_keys(const Json& in, std::span<const std::string> known,
                         const std::string& pointer, FaultList& faults);

/// JSON Schema of what people write for these fields (formulas are texts).
[[nodiscard]] Json schema_of_fields(std::span<const contract::Field> fields);

} // namespace aumbry
