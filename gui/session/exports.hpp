// What the window can write out: the same texts and papers as the command.
#pragma once

#include "aumbry/estimate.hpp"
#include "aumbry/study.hpp"

#include <span>
#include <string>

namespace aumbry::gui {

/// One thing to write out.
struct Export {
    const char* title;     ///< in the menu
    const char* file;      ///< proposed name; its ending says what kind of file it is
    bool needs_comparison; ///< made from the alternatives side by side
};

[[nodiscard]] std::span<const Export> exports();

/// The bytes of one. `comparison` may be null for those that need none.
/// @throws FaultError "bad-plan", "bad-drawing".
[[nodiscard]] std::string bytes_of(const Export& what, const Estimate& estimate,
                                   const Comparison* comparison);

} // namespace aumbry::gui
