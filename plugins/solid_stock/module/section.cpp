#include "solid_stock/module/section.hpp"

#include "solid_stock/engine/lumber.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/plugin.hpp"

#include <charconv>

namespace aumbry::solid_stock {
namespace {

/// Quarter inches of "1", "2", "5/4", "1 1/4" or "1-1/4".
std::optional<std::int64_t> quarters_of(std::string_view text) {
    std::int64_t whole = 0;
    const auto read = [](std::string_view digits, std::int64_t& value) {
        const auto result = std::from_chars(digits.data(), digits.data() + digits.size(), value);
        return !digits.empty() && result.ec == std::errc() &&
               result.ptr == digits.data() + digits.size();
    };
    const auto slash = text.find('/');
    if (slash == std::string_view::npos) {
        if (!read(text, whole)) return std::nullopt;
        return whole * 4;
    }
    std::string_view fraction = text;
    const auto gap = text.find_first_of(" -");
    if (gap != std::string_view::npos) {
        if (!read(text.substr(0, gap), whole)) return std::nullopt;
        fraction = text.substr(gap + 1);
    }
    const auto bar = fraction.find('/');
    std::int64_t above = 0;
    std::int64_t below = 0;
    if (bar == std::string_view::npos || !read(fraction.substr(0, bar), above) ||
        !read(fraction.substr(bar + 1), below))
        return std::nullopt;
    if (below <= 0 || 4 * above % below != 0) return std::nullopt;
    return whole * 4 + 4 * above / below;
}

} // namespace

NominalSize nominal_size(std::string_view text) {
    const auto cross = text.find('x');
    const auto thickness = quarters_of(text.substr(0, cross));
    const auto width =
        cross == std::string_view::npos ? std::nullopt : quarters_of(text.substr(cross + 1));
    if (!thickness || !width)
        fail("bad-nominal", {}, "'" + std::string(text) + "' is no nominal size",
             "write it as '1x4' or '5/4x6'");
    return {*thickness, *width, {dressed_thickness(*thickness), dressed_width(*width)}};
}

std::optional<CrossSection> section_of(const Json& attributes) {
    const double thickness = number(attributes, "thickness", 0);
    const double width = number(attributes, "width", 0);
    if (thickness > 0 && width > 0) return CrossSection{to_grid(thickness), to_grid(width)};
    const std::string nominal = text(attributes, "nominal");
    if (nominal.empty()) return std::nullopt;
    return nominal_size(nominal).dressed;
}

} // namespace aumbry::solid_stock
