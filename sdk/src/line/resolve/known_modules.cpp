#include "line/resolve/known_modules.hpp"

#include "values/excerpt.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <utility>

namespace aumbry::resolving {

namespace {

std::string listed(const std::vector<std::string>& names) {
    std::string list;
    for (const std::string& name : names) list += (list.empty() ? "" : ", ") + name;
    return list;
}

} // namespace

KnownModules::KnownModules(const std::vector<contract::Description>& loaded, KindTable homes,
                           std::vector<RefusedId> refused)
    : loaded_(loaded), homes_(std::move(homes)), refused_(std::move(refused)) {
    for (const contract::Description& module : loaded_) {
        for (const contract::LineKind& kind : module.line_kinds)
            kinds_.emplace(kind.kind, KnownKind{&kind, &module});
        for (const contract::CatalogClass& each : module.catalog_classes)
            classes_.emplace(each.name, &each);
    }
}

const contract::Description* KnownModules::find_module(const std::string& id) const {
    const auto found =
        std::find_if(loaded_.begin(), loaded_.end(),
                     [&](const contract::Description& module) { return module.id == id; });
    return found == loaded_.end() ? nullptr : &*found;
}

bool KnownModules::is_loaded(const std::string& module) const {
    return find_module(module) != nullptr;
}

const contract::LineKind* KnownModules::find_kind(const std::string& kind) const {
    const auto found = kinds_.find(kind);
    return found == kinds_.end() ? nullptr : found->second.kind;
}

std::string KnownModules::module_of(const std::string& kind) const {
    const auto found = kinds_.find(kind);
    return found == kinds_.end() ? std::string() : found->second.module->id;
}

const contract::CatalogClass* KnownModules::find_class(const std::string& name) const {
    const auto found = classes_.find(name);
    return found == classes_.end() ? nullptr : found->second;
}

std::set<std::string> KnownModules::services() const {
    std::set<std::string> names;
    for (const auto& [name, each] : classes_) {
        if (each->charge == contract::Charge::service) names.insert(name);
    }
    return names;
}

std::string KnownModules::absent_home_of(const std::string& kind) const {
    std::string home = home_of_kind(homes_, kind);
    return is_loaded(home) ? std::string() : home;
}

bool KnownModules::is_home(const std::string& module) const {
    return is_loaded(module) ||
           std::any_of(homes_.homes.begin(), homes_.homes.end(),
                       [&](const auto& kind) { return kind.second == module; });
}

std::string KnownModules::why_absent(const std::string& module) const {
    std::string reason = "is not among the modules that could be loaded";
    for (const RefusedId& refused : refused_) {
        if (refused.module == module) reason = "is refused: " + refused.reason;
    }
    return reason;
}

std::vector<std::string> KnownModules::kinds() const {
    std::vector<std::string> names;
    for (const contract::Description& module : loaded_) {
        for (const contract::LineKind& kind : module.line_kinds) names.push_back(kind.kind);
    }
    return names;
}

std::string KnownModules::kind_advice(const std::string& kind) const {
    const std::vector<std::string> known = kinds();
    const std::string near = nearest_name(kind, known);
    return near.empty() ? "known kinds: " + listed(known) : "did you mean " + in_quotes(near) + "?";
}

std::string KnownModules::missing_kind_advice() const {
    return "add \"kind\", one of: " + listed(kinds());
}

std::string KnownModules::missing_class_advice() const {
    std::vector<std::string> names;
    for (const contract::Description& module : loaded_) {
        for (const contract::CatalogClass& each : module.catalog_classes)
            names.push_back(each.name);
    }
    return "add \"class\", one of: " + listed(names);
}

} // namespace aumbry::resolving
