// Pieces of the library: a piece of furniture with sizes to choose, as a bill that is copied into a
// project. What was added is a bill like any other: plain formulas that may be edited.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/fault.hpp"
#include "aumbry/json.hpp"
#include "aumbry/quantity.hpp"

#include <filesystem>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry {

/// The version of piece files that this library reads.
inline constexpr int piece_version = 1;

/// A size of a piece that whoever adds it may choose.
struct PieceSize {
    std::string name;
    std::string label;
    std::string help;
    std::string standard; ///< what it is when nobody chooses: "880 mm", "5"
    std::string min;      ///< empty: no limit
    std::string max;
};

/// A `*.piece.json` as it was read.
struct PieceFile {
    std::string name; ///< of the file: "open-bookcase"
    std::string file; ///< as it was found
    std::string text;
    Json document; ///< with both systems of units
    std::string title;
    std::string help;
};

/// Reads a piece file. Checks its shape; whether its formulas hold and its lines can be priced is
/// seen when it is added (piece_check.hpp).
/// @throws FaultError "bad-json", "no-piece", "newer-version", "missing-key", "name-clash", ...
[[nodiscard]] PieceFile read_piece(std::string text, const std::string& file);

/// The bill of a piece for projects of a length unit, "mm" or "in": wherever the file has
/// `{ "mm": ..., "in": ... }`, what holds for that unit.
[[nodiscard]] Json bill_of(const PieceFile& piece, std::string_view length_unit);

/// The sizes to choose, in the order of the file.
[[nodiscard]] std::vector<PieceSize> sizes_of(const PieceFile& piece, std::string_view length_unit);

/// The pieces of some catalog folders.
struct PieceLibrary {
    std::vector<PieceFile> pieces; ///< by name
    std::vector<Fault> faults;     ///< of files that are left out

    /// @throws FaultError "unknown-piece" that names the nearest.
    [[nodiscard]] const PieceFile& find(const std::string& name) const;
};

/// Reads `pieces/*.piece.json` of each folder. A piece of an earlier folder wins over one of the
/// same name in a later one: a maker's own over those installed.
[[nodiscard]] PieceLibrary load_pieces(const std::vector<std::filesystem::path>& folders);

/// How a piece is to be added.
struct PieceToAdd {
    std::string id;    ///< of the piece in the project; its names begin with it: "case_width"
    std::string title; ///< on paper; empty: the piece's own
    std::map<std::string, std::string> sizes = {}; ///< chosen: quantities, or formulas over names
                                                   ///< of the project
    std::map<std::string, std::string> roles = {}; ///< the piece's role -> the project's
};

/// An id for a piece that the project has not yet: "open_bookcase", then "open_bookcase_2".
[[nodiscard]] std::string free_piece_id(const Json& project, const PieceFile& piece);

/// A role of a piece that the project has already.
struct SharedRole {
    std::string role;
    std::string title;
};

/// A project's text with a piece in it.
struct WithPiece {
    std::string text;
    std::vector<SharedRole> shared; ///< roles that were there already
};

/// Whether a size may be chosen so: its dimension and limits. A formula over names is taken as it
/// is: refuse_outside() judges what it comes to.
/// @throws FaultError "missing-unit", "dimension-clash", "too-small", "too-large", "bad-formula".
void refuse_size(const PieceSize& size, const std::string& chosen, std::string_view length_unit);
void refuse_outside(const PieceSize& size, const Quantity& value, const std::string& chosen,
                    std::string_view length_unit);

/// Adds a piece to a project: sizes, roles, lines, tasks and checks under names that begin with
/// the piece's id. Every other byte of the text stays. A material role that the project has with
/// the same class is shared.
/// @throws FaultError "unknown-size", "too-small", "too-large", "missing-unit", "name-clash",
/// "wrong-material", "unknown-kind", "unknown-name", ...
[[nodiscard]] WithPiece with_piece(const std::string& project_text, const std::string& project_file,
                                   const PieceFile& piece, const PieceToAdd& wanted,
                                   std::span<const contract::Description> modules);

/// JSON Schema (draft-07) of a piece file.
[[nodiscard]] Json piece_schema();

} // namespace aumbry
