// A formula under other names: for bills that are copied from one document into another.
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace aumbry {

/// The formula with every name replaced by what `renamed` says of it; everything else stays as it
/// is written. @throws as Formula::parse(), and what `renamed` throws.
[[nodiscard]] std::string
with_names(std::string_view formula,
           const std::function<std::string(const std::string& name)>& renamed);

} // namespace aumbry
