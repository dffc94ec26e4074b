// Which module is the home of a kind of line whose name does not say it: a table beside the shared
// objects, so that a kind is known even when its module is not there.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <string_view>

namespace aumbry {

/// The file beside the shared objects: `{ "sheet_goods": ["panel"], ... }`, kinds by module.
inline constexpr std::string_view kind_table_file = "kinds.json";

/// Kinds and their modules.
struct KindTable {
    std::map<std::string, std::string, std::less<>> homes; ///< by kind
};

/// Reads the table of a folder; empty when the folder has none.
/// @throws FaultError "unreadable-file", "bad-json", "bad-kind-table".
[[nodiscard]] KindTable read_kind_table(const std::filesystem::path& folder);

/// The module of a kind: by the table, or by its own name when it is a third party's
/// "module.kind". Empty when the kind is nobody's.
[[nodiscard]] std::string home_of_kind(const KindTable& table, std::string_view kind);

} // namespace aumbry
