// The project document: one file with everything that an estimate depends on but price lists and
// modules.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/fields.hpp"
#include "aumbry/json.hpp"

#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// The version of the project document that this library reads and writes.
inline constexpr int project_version = 1;

/// A project as it was read, perhaps with an alternative's changes applied.
struct Project {
    std::string file;        ///< as the user named it
    std::string text;        ///< the bytes it was read from
    Json document;           ///< with the alternative's changes applied
    std::string alternative; ///< id of the alternative applied; empty for the base

    /// Where the value at a pointer of `document` stands in the text: below the alternative's
    /// changes or in the base.
    [[nodiscard]] std::string origin(const std::string& pointer) const;
};

/// One alternative of a project.
struct AlternativeName {
    std::string id;
    std::string title;
};

/// Reads a project's text. Checks that it is JSON of a version that this library knows; `resolve`
/// checks the rest.
/// @throws FaultError "bad-json", "duplicate-key", "deep-nesting", "no-project", "newer-version".
[[nodiscard]] Project read_project(std::string text, const std::string& file);

/// Reads a file whole. @throws FaultError "missing-file", "unreadable-file".
[[nodiscard]] std::string read_file(const std::filesystem::path& file);

/// The alternatives, in document order.
[[nodiscard]] std::vector<AlternativeName> alternatives(const Project& project);

/// The project with the changes of an alternative applied (RFC 7396). May change anything but
/// `aumbry`, `currency` and `alternatives`; a change of a line's `kind` replaces the whole line.
/// @throws FaultError "unknown-alternative", "fixed-key", "nothing-to-delete", "line-without-kind",
/// with places.
[[nodiscard]] Project with_alternative(const Project& base, const std::string& id);

// The sections of the document as field records: what they hold, in which unit, with which default.

[[nodiscard]] std::span<const contract::Field> workshop_fields();
[[nodiscard]] std::span<const contract::Field> vehicle_fields();
[[nodiscard]] std::span<const contract::Field> site_fields();
[[nodiscard]] std::span<const contract::Field> pricing_fields();
[[nodiscard]] std::span<const contract::Field> person_fields();
[[nodiscard]] std::span<const contract::Field> task_fields();
[[nodiscard]] std::span<const contract::Field> piece_fields();
/// A formula that must hold: entries of `checks`.
[[nodiscard]] std::span<const contract::Field> check_fields();
[[nodiscard]] std::span<const contract::Field> supplier_wish_fields();
/// Who stands on a paper: of `maker` and `client`.
[[nodiscard]] std::span<const contract::Field> party_fields();
/// What is bought already: entries of `bought`.
[[nodiscard]] std::span<const contract::Field> bought_fields();
/// Hours worked already: entries of `worked`.
[[nodiscard]] std::span<const contract::Field> worked_fields();
/// What a quote says beside its prices.
[[nodiscard]] std::span<const contract::Field> quote_fields();
/// What every line has besides the fields of its kind: kind, piece, title, material, count, note.
[[nodiscard]] std::span<const contract::Field> common_line_fields();
/// What every owned item has besides the attributes of its class: class, title, count, value, note.
[[nodiscard]] std::span<const contract::Field> common_owned_fields();

/// Keys of the document's top level, in the order in which they are usually written.
[[nodiscard]] std::span<const std::string_view> project_keys();

/// JSON Schema (draft-07) of the project document for a set of modules: lines are checked by the
/// fields of their kind, a line of a kind that no module prices only by what is common.
[[nodiscard]] Json project_schema(std::span<const contract::Description> modules);

} // namespace aumbry
