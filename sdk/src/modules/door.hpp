// One module behind the C door: its functions, its instance, and a call from text to text.
//
// Whatever goes wrong in a call becomes a ModuleError whose reason goes on from the module's name:
// "failed in derive: the island is too big".
#pragma once

#include "aumbry/plugin.h"
#include "aumbry/plugin_host.hpp"

#include <memory>
#include <string>

namespace aumbry {

/// What the host's callbacks work on. Calls are made one at a time, so there is one for all
/// modules.
struct CallState {
    std::function<bool()> cancelled;
    ModuleListener listener;
    std::string module; ///< of the call under way
    std::string method;
    bool told_to_stop = false; ///< the call under way has heard that it is cancelled
};

/// The host's side of the door; `state` must outlive it.
[[nodiscard]] aumbry_host host_functions(CallState& state);

/// Whether the caller wants to stop. What the caller's function throws counts as no.
[[nodiscard]] bool wants_to_stop(const CallState& state) noexcept;

/// One loaded shared object with its instance.
struct LoadedModule {
    std::string file;
    const aumbry_module_functions* functions = nullptr;
    void* instance = nullptr;
};

/// One call through the door. Empty when the module does not have the method; `known` says so.
/// Any exception that a module lets through is caught here: it comes from hand-written C++ behind
/// the C functions, and the sentence names it.
/// @throws ModuleError; CallCancelled when the caller wants to stop, before or during the call.
[[nodiscard]] std::string call_door(const LoadedModule& loaded, CallState& state,
                                    const std::string& module, const std::string& method,
                                    const std::string& request, bool& known);

/// The JSON of a module's answer, its texts printable: what a module says ends in terminals,
/// documents and windows. @throws FaultError.
[[nodiscard]] Json parse_answer(const std::string& text, const std::string& origin);

} // namespace aumbry
