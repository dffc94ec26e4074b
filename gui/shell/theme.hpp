// Colours, sizes of type and spaces. Few colours, each with one meaning; none carries a meaning
// that no word or sign carries too.
#pragma once

#include <imgui.h>

#include <array>
#include <string_view>

namespace aumbry::gui {

/// A colour as red, green, blue of 0 to 255.
struct Colour {
    int red = 0;
    int green = 0;
    int blue = 0;
    bool operator==(const Colour&) const = default;
};

/// Contrast of two colours, 1 to 21 (WCAG 2.1, relative luminance and contrast ratio).
[[nodiscard]] double contrast(Colour a, Colour b);

/// All colours of one look.
struct Palette {
    Colour ground;    ///< behind everything
    Colour sheet;     ///< behind tables and forms
    Colour field;     ///< behind what can be typed into
    Colour chosen;    ///< behind the chosen row
    Colour rule;      ///< lines between things, never text
    Colour text;      ///< what is read
    Colour quiet;     ///< what explains
    Colour link;      ///< what can be clicked, and the cursor
    Colour fine;      ///< "less", "proven"
    Colour caution;   ///< "mind this"
    Colour problem;   ///< "this is wrong"
    Colour wood;      ///< parts in plans
    Colour wood_edge; ///< their outline
    Colour waste;     ///< what is cut away
};

[[nodiscard]] const Palette& light_palette();
[[nodiscard]] const Palette& dark_palette();

/// A pair of colours that are read one upon the other.
struct Reading {
    std::string_view name;
    Colour Palette::*ink;
    Colour Palette::*paper;
};
/// Every pair that the window uses.
[[nodiscard]] const std::array<Reading, 26>& readings();

/// Heights of letters in pixels at text scale 1.
struct TypeScale {
    static constexpr float small = 14;
    static constexpr float text = 16;
    static constexpr float figure = 21;
    static constexpr float total = 30;
};

/// The look as the views use it.
struct Theme {
    Palette palette = light_palette();
    float scale = 1; ///< of text and everything measured by it
    ImFont* small = nullptr;
    ImFont* text = nullptr;
    ImFont* figure = nullptr;
    ImFont* total = nullptr;

    /// A length in pixels at text scale 1.
    [[nodiscard]] float px(float length) const { return length * scale; }
};

[[nodiscard]] ImVec4 vec(Colour colour, float alpha = 1);
[[nodiscard]] ImU32 packed(Colour colour, float alpha = 1);

/// Sets ImGui's style from the theme.
void set_style(const Theme& theme);

} // namespace aumbry::gui
