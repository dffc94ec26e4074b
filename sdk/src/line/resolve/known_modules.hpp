// What resolve knows of the modules: kinds and classes by name, and the homes of kinds whose module
// is not loaded.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/kind_table.hpp"

#include <set>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace aumbry::resolving {

/// A module that is not loaded, with the reason why.
struct RefusedId {
    std::string module;
    std::string reason; ///< "worktops.so describes itself wrongly: ..."
};

/// Refers to the descriptions that it was made of; they must outlive it.
class KnownModules {
  public:
    explicit KnownModules(const std::vector<contract::Description>& loaded, KindTable homes = {},
                          std::vector<RefusedId> refused = {});

    [[nodiscard]] std::span<const contract::Description> loaded() const { return loaded_; }
    [[nodiscard]] bool is_loaded(const std::string& module) const;
    [[nodiscard]] const contract::Description* find_module(const std::string& id) const;
    [[nodiscard]] const contract::LineKind* find_kind(const std::string& kind) const;
    /// The loaded module that prices a kind; empty when there is none.
    [[nodiscard]] std::string module_of(const std::string& kind) const;
    [[nodiscard]] const contract::CatalogClass* find_class(const std::string& name) const;
    /// Classes that are charged as services.
    [[nodiscard]] std::set<std::string> services() const;
    /// The module that would price a kind, and is not loaded; empty when nobody would.
    [[nodiscard]] std::string absent_home_of(const std::string& kind) const;
    /// Whether a module is the home of some kind, loaded or not.
    [[nodiscard]] bool is_home(const std::string& module) const;
    /// Why a module is not there: "is not in the plugin folder", "was refused: ...".
    [[nodiscard]] std::string why_absent(const std::string& module) const;

    /// What to write instead of a kind that nobody prices: the nearest, or all.
    [[nodiscard]] std::string kind_advice(const std::string& kind) const;
    [[nodiscard]] std::string missing_kind_advice() const;
    [[nodiscard]] std::string missing_class_advice() const;

  private:
    struct KnownKind {
        const contract::LineKind* kind;
        const contract::Description* module;
    };
    [[nodiscard]] std::vector<std::string> kinds() const;

    std::span<const contract::Description> loaded_;
    KindTable homes_;
    std::vector<RefusedId> refused_;
    std::unordered_map<std::string, KnownKind> kinds_;
    std::unordered_map<std::string, const contract::CatalogClass*> classes_;
};

} // namespace aumbry::resolving
