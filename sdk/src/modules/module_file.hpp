// Opening a shared object up to its table of functions: the first steps through the C door, the
// same for the host and for the conformance check.
#pragma once

#include "aumbry/plugin.h"

#include <filesystem>
#include <string>

namespace aumbry {

/// How far a file got.
enum class ModuleFileState { usable, not_loaded, no_entry, other_contract, no_instance };

/// A shared object and its functions. Never unloaded: a library with unique symbols stays mapped
/// anyway.
struct ModuleFile {
    ModuleFileState state = ModuleFileState::usable;
    std::string reason; ///< one sentence when it is not usable
    const aumbry_module_functions* functions = nullptr;
};

[[nodiscard]] ModuleFile open_module_file(const std::filesystem::path& path);

/// Makes an instance; null with a reason when that fails or throws.
[[nodiscard]] void* make_instance(const aumbry_module_functions& functions, const aumbry_host* host,
                                  std::string& reason);

/// Ends an instance. What a module throws here can change nothing any more.
void end_instance(const aumbry_module_functions& functions, void* instance) noexcept;

} // namespace aumbry
