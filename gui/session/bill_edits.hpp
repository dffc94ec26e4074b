// What can be done with whole lines of the bill of materials, as edits.
#pragma once

#include "session/document.hpp"

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::gui {

/// An edit and the lines that it makes.
struct LineEdit {
    Edit edit;
    std::vector<std::string> lines;
};

/// A new line behind another one (at the end when `after` is empty), with the first material of its
/// class. What it needs besides is for the maker to say.
[[nodiscard]] LineEdit add_line(const Json& document, const contract::LineKind& kind,
                                const std::string& piece, const std::string& after);
/// A copy of each line, behind it.
[[nodiscard]] LineEdit duplicate_lines(const Json& document, const std::vector<std::string>& ids);
[[nodiscard]] Edit delete_lines(const Json& document, const std::vector<std::string>& ids);
/// To another piece; to the whole job when `piece` is empty.
[[nodiscard]] Edit move_lines(const Json& document, const std::vector<std::string>& ids,
                              const std::string& piece);
/// The same to a piece that is new.
[[nodiscard]] LineEdit move_to_new_piece(const Json& document, const std::vector<std::string>& ids,
                                         const std::string& title);

} // namespace aumbry::gui
