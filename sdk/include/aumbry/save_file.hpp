// Writing files so that nothing is ever half written.
#pragma once

#include <filesystem>
#include <string_view>

namespace aumbry {

/// Writes beside the file, flushes to the disk, and renames: whatever fails leaves the file as it
/// was. A link stays a link; an existing file keeps its permissions; a pipe or device is written to
/// as it is.
/// @throws FaultError "read-only-file", "write-failed".
void save_file(const std::filesystem::path& file, std::string_view text);

/// The same in place of `before`, the bytes that were read from the file: what another program
/// wrote meanwhile is not lost. Looks again right before the rename.
/// @throws FaultError "changed-meanwhile" too; the file is as the other program left it then.
void replace_file(const std::filesystem::path& file, std::string_view before,
                  std::string_view text);

} // namespace aumbry
