// Pieces of the library, tried out: added to a project that is read anew with its modules, so that
// nothing is written that could not be priced.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/piece_file.hpp"
#include "aumbry/plugin_host.hpp"

#include <string>
#include <vector>

namespace aumbry {

/// A project with a piece in it, as it can be priced.
struct AddedPiece {
    WithPiece with;
    std::vector<std::string> does_not_hold; ///< checks of the piece, as sentences
};

/// Adds a piece to a project's text and reads it as the line does.
/// @throws FaultError of with_piece() and of resolve(); "too-small" or "too-large" also for sizes
/// that are formulas.
[[nodiscard]] AddedPiece add_piece(const std::string& project_text, const std::string& project_file,
                                   const PieceFile& piece, const PieceToAdd& wanted,
                                   PluginHost& host, const Json& tables);

/// What is wrong with a piece: added to an empty project of either unit, with its own sizes and
/// with each size at either limit. Faults stand at their places in the piece file.
[[nodiscard]] std::vector<Fault> piece_faults(const PieceFile& piece, PluginHost& host,
                                              const Json& tables);

/// The same of every piece file of a catalog folder.
[[nodiscard]] PieceReport check_pieces(const std::filesystem::path& folder, PluginHost& host,
                                       const Json& tables);

} // namespace aumbry
