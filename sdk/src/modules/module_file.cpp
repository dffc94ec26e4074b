#include "modules/module_file.hpp"

#include <dlfcn.h>

namespace aumbry {

ModuleFile open_module_file(const std::filesystem::path& path) {
    const auto refuse = [](ModuleFileState state, std::string reason) {
        return ModuleFile{state, std::move(reason), nullptr};
    };
    void* library = dlopen(path.c_str(), RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) {
        const char* reason = dlerror();
        return refuse(ModuleFileState::not_loaded,
                      std::string("cannot be loaded: ") +
                          (reason == nullptr ? "no reason given" : reason));
    }
    auto* entry = reinterpret_cast<aumbry_module_entry>(dlsym(library, AUMBRY_ENTRY_SYMBOL));
    if (entry == nullptr)
        return refuse(ModuleFileState::no_entry,
                      "is no module: it exports no symbol '" AUMBRY_ENTRY_SYMBOL "'");
    const aumbry_module_functions* functions = nullptr;
    try {
        functions = entry();
    } catch (...) {
        return refuse(ModuleFileState::no_entry, "threw an exception in '" AUMBRY_ENTRY_SYMBOL "'");
    }
    if (functions == nullptr)
        return refuse(ModuleFileState::no_entry, "gives no table of functions");
    const std::string theirs =
        std::to_string(functions->contract_major) + '.' + std::to_string(functions->contract_minor);
    const std::string ours =
        std::to_string(AUMBRY_CONTRACT_MAJOR) + '.' + std::to_string(AUMBRY_CONTRACT_MINOR);
    if (functions->contract_major != AUMBRY_CONTRACT_MAJOR ||
        functions->contract_minor > AUMBRY_CONTRACT_MINOR) {
        // A newer minor is refused by its number, whether or not the module uses what is new in it.
        const bool newer = functions->contract_major > AUMBRY_CONTRACT_MAJOR ||
                           functions->contract_major == AUMBRY_CONTRACT_MAJOR;
        return refuse(ModuleFileState::other_contract,
                      "was built for contract " + theirs + " and this Aumbry speaks " + ours +
                          (newer ? "; update Aumbry, or build the module with its SDK"
                                 : "; build the module with this Aumbry's SDK"));
    }
    if (functions->create == nullptr || functions->call == nullptr ||
        functions->release == nullptr || functions->destroy == nullptr) {
        return refuse(ModuleFileState::no_entry, "leaves a function of its table empty");
    }
    return {ModuleFileState::usable, {}, functions};
}

void* make_instance(const aumbry_module_functions& functions, const aumbry_host* host,
                    std::string& reason) {
    try {
        void* instance = functions.create(host);
        if (instance == nullptr) reason = "could not make an instance";
        return instance;
    } catch (...) {
        reason = "threw an exception in create";
        return nullptr;
    }
}

void end_instance(const aumbry_module_functions& functions, void* instance) noexcept {
    try {
        functions.destroy(instance);
    } catch (...) {
    }
}

} // namespace aumbry
