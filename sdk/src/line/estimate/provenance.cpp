#include "line/estimate/provenance.hpp"

#include <algorithm>

namespace aumbry {

const contract::Description* Provenance::module(const std::string& id) const {
    const auto found =
        std::find_if(modules.begin(), modules.end(),
                     [&](const contract::Description& each) { return each.id == id; });
    return found == modules.end() ? nullptr : &*found;
}

const contract::CatalogClass* Provenance::catalog_class(const std::string& name) const {
    for (const contract::Description& module : modules) {
        for (const contract::CatalogClass& each : module.catalog_classes) {
            if (each.name == name) return &each;
        }
    }
    return nullptr;
}

} // namespace aumbry
