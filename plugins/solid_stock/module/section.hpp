// Cross-sections: finished, dressed and nominal sizes of solid wood.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/grid.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace aumbry::solid_stock {

/// Thickness and width in steps of the cutting grid.
struct CrossSection {
    GridLength thickness = 0;
    GridLength width = 0;

    bool operator==(const CrossSection&) const = default;
};

/// A nominal size in inches, "1x4" or "5/4x6", and what it is dressed to by PS 20.
struct NominalSize {
    std::int64_t thickness_quarters = 0;
    std::int64_t width_quarters = 0;
    CrossSection dressed;
};

/// Reads a nominal size. @throws FaultError "bad-nominal" for what is none, or a size that PS 20
/// does not have.
[[nodiscard]] NominalSize nominal_size(std::string_view text);

/// What an offer measures: its own thickness and width, else those of its nominal size. Empty when
/// it says neither.
[[nodiscard]] std::optional<CrossSection> section_of(const Json& attributes);

} // namespace aumbry::solid_stock
