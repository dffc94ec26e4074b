// The host of modules: loads them, calls them, caches their replies and attributes every
// failure to its module.
#pragma once

#include "aumbry/absent_module.hpp"
#include "aumbry/contract.hpp"
#include "aumbry/kind_table.hpp"

#include <filesystem>
#include <functional>
#include <memory>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

namespace aumbry {

/// A shared object that is not used, and why.
struct RefusedModule {
    std::string file;
    std::string reason; ///< goes on from the file's name: "is no module: it exports no symbol ..."
    std::string module; ///< the id that it gives itself, when it came so far
};

/// The ids that a module has used in its replies.
struct ModuleNames {
    std::set<std::string> demands;
    std::set<std::string> steps;
    std::set<std::string> quantities;
};

/// A module failed in a call or answered what the contract does not allow. The reason goes on from
/// the module's name: "failed in derive: the island is too big".
class ModuleError : public std::runtime_error {
  public:
    ModuleError(std::string module, const std::string& reason);
    [[nodiscard]] const std::string& module() const noexcept { return module_; }
    [[nodiscard]] const std::string& reason() const noexcept { return reason_; }

  private:
    std::string module_;
    std::string reason_;
};

/// The caller's cancel function said so before or during a call.
struct CallCancelled {};

/// Hears what modules say while they work. Called on the thread that made the call, in the middle
/// of it: it must not call the host. What it throws is dropped. Either may be empty.
struct ModuleListener {
    /// A message for the module's developer, without control characters.
    std::function<void(const std::string& module, const std::string& text)> log;
    /// How far a call is, 0 to 1.
    std::function<void(const std::string& module, const std::string& method, double fraction)>
        progress;
};

/// How often the module was asked and how often a kept reply served instead.
struct CallCounts {
    std::size_t called = 0;
    std::size_t kept = 0;
    double seconds_in_modules = 0; ///< wall time inside modules
    double seconds_in_text = 0;    ///< wall time writing requests and reading replies
};

/// Loads every shared object of some folders through the one C door. Calls may come from several
/// threads; they are made one at a time.
class PluginHost {
  public:
    /// Loads in order of folder, then file name. A file that is no module, has another contract
    /// version, fails in `describe`, repeats a module, a line kind or a catalog class, or describes
    /// itself unsoundly (all that the conformance check knows of a description) is refused with a
    /// reason. A missing folder throws FaultError "missing-folder".
    explicit PluginHost(const std::vector<std::filesystem::path>& folders);
    PluginHost(const PluginHost&) = delete;
    PluginHost& operator=(const PluginHost&) = delete;
    ~PluginHost();

    /// What the modules said of themselves, in order of id.
    [[nodiscard]] const std::vector<contract::Description>& modules() const;
    /// The file of a module.
    [[nodiscard]] std::string file_of(const std::string& module) const;
    [[nodiscard]] const std::vector<RefusedModule>& refused() const;

    /// The homes of kinds, from the tables of the folders.
    [[nodiscard]] const KindTable& kinds() const;

    [[nodiscard]] const contract::Description* find_module(std::string_view id) const;
    /// The module that prices a kind, or null.
    [[nodiscard]] const contract::Description* module_of_kind(std::string_view kind) const;
    [[nodiscard]] const contract::LineKind* find_kind(std::string_view kind) const;
    /// All catalog classes of all modules.
    [[nodiscard]] std::vector<contract::CatalogClass> catalog_classes() const;
    [[nodiscard]] const contract::CatalogClass* find_class(std::string_view name) const;

    /// Typed calls. Every reply is checked against its request: it may name only lines, offers and
    /// values that it was given or has declared, in units, decimals and ranges that the core can
    /// reckon with. Its texts come out without control characters.
    /// @throws ModuleError for whatever is wrong with it; CallCancelled.
    [[nodiscard]] std::shared_ptr<const contract::DeriveReply>
    derive(const std::string& module, const contract::DeriveRequest& request);
    [[nodiscard]] std::shared_ptr<const contract::TakeOffReply>
    take_off(const std::string& module, const contract::TakeOffRequest& request);
    [[nodiscard]] std::shared_ptr<const contract::PlanReply>
    plan(const std::string& module, const contract::PlanRequest& request);
    [[nodiscard]] std::shared_ptr<const contract::FollowReply>
    follow(const std::string& module, const contract::FollowRequest& request);

    /// A raw call, neither kept nor checked; for the conformance check. @throws ModuleError,
    /// CallCancelled.
    [[nodiscard]] std::string call_text(const std::string& module, const std::string& method,
                                        const std::string& request);

    /// Asked before each call, and by modules now and then; true ends the call. May be empty.
    void set_cancel(std::function<bool()> cancelled);
    void set_listener(ModuleListener listener);
    /// What set_cancel was given, for work beside the modules. Empty when nothing was.
    [[nodiscard]] std::function<bool()> cancel() const;
    [[nodiscard]] CallCounts counts() const;
    /// Forgets kept replies.
    void clear_kept();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace aumbry
