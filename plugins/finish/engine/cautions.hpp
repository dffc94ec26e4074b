// What can hurt somebody when a finish is used.
#pragma once

#include "finish/engine/coats.hpp"

#include "aumbry/contract.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace aumbry::finish {

enum class ProductClass { waterborne, oil, solvent };

/// Fails for another word.
[[nodiscard]] ProductClass product_class_named(std::string_view name);

struct Caution {
    std::string code; ///< stable, kebab-case
    contract::Severity severity = contract::Severity::caution;
    std::string text; ///< one or two sentences that say what to do
};

/// The usual cautions for a product class and a way of applying it; `rubbed_down`: coats are rubbed
/// between; `coated_before`: the wood may carry an old coating. Each defers to the product's safety
/// data sheet. They are no substitute for it.
[[nodiscard]] std::vector<Caution> cautions(ProductClass product_class, Application application,
                                            bool rubbed_down, bool coated_before = false);

/// How whoever lives with the piece keeps its faces (common practice).
[[nodiscard]] Caution care(ProductClass product_class);

/// For what is left in an opened tin.
[[nodiscard]] Caution shelf_life_caution(std::string_view product, double litres_left);

} // namespace aumbry::finish
