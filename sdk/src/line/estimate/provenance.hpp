// What an estimate says of where it comes from: values, so that its last stage needs neither host
// nor price lists.
#pragma once

#include "aumbry/contract.hpp"

#include <map>
#include <string>
#include <vector>

namespace aumbry {

struct Provenance {
    std::string alternative; ///< empty: the base
    std::string effort;
    std::map<std::string, std::string> inputs; ///< hashes: "project", "prices", "tables"
    std::vector<contract::Description> modules;
    std::vector<std::string> refused; ///< modules that were refused, in a sentence each
    std::map<std::string, std::string> supplier_names; ///< by id, of all that have a price list
    std::map<std::string, Json> bought_attributes; ///< by id under `bought`: what price lists say
                                                   ///< of it; absent when none lists it any more

    /// Its id when it has no price list.
    [[nodiscard]] std::string name_of_supplier(const std::string& id) const {
        const auto found = supplier_names.find(id);
        return found == supplier_names.end() ? id : found->second;
    }
    /// Null when none is loaded.
    [[nodiscard]] const contract::Description* module(const std::string& id) const;
    [[nodiscard]] const contract::CatalogClass* catalog_class(const std::string& name) const;
};

} // namespace aumbry
