#include "shell/theme.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::gui {

namespace {

double luminance(Colour colour) {
    const auto linear = [](int part) {
        const double share = part / 255.0;
        return share <= 0.03928 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) +
           0.0722 * linear(colour.blue);
}

constexpr Palette light{
    .ground = {236, 232, 224},
    .sheet = {250, 248, 243},
    .field = {255, 255, 255},
    .chosen = {214, 228, 224},
    .rule = {205, 198, 186},
    .text = {33, 36, 38},
    .quiet = {87, 85, 80},
    .link = {9, 84, 92},
    .fine = {30, 91, 48},
    .caution = {122, 72, 0},
    .problem = {150, 29, 22},
    .wood = {233, 212, 175},
    .wood_edge = {120, 88, 44},
    .waste = {222, 218, 210},
};

constexpr Palette dark{
    .ground = {24, 27, 29},
    .sheet = {33, 37, 40},
    .field = {20, 22, 24},
    .chosen = {38, 63, 66},
    .rule = {66, 72, 76},
    .text = {236, 232, 224},
    .quiet = {178, 178, 172},
    .link = {137, 208, 212},
    .fine = {150, 212, 160},
    .caution = {238, 190, 104},
    .problem = {255, 164, 154},
    .wood = {92, 74, 48},
    .wood_edge = {206, 170, 116},
    .waste = {44, 48, 50},
};

} // namespace

double contrast(Colour a, Colour b) {
    const double one = luminance(a);
    const double other = luminance(b);
    return (std::max(one, other) + 0.05) / (std::min(one, other) + 0.05);
}

const Palette& light_palette() {
    return light;
}
const Palette& dark_palette() {
    return dark;
}

const std::array<Reading, 26>& readings() {
    using P = Palette;
    static const std::array<Reading, 26> pairs{{
        {"text on ground", &P::text, &P::ground},
        {"text on sheet", &P::text, &P::sheet},
        {"text in a field", &P::text, &P::field},
        {"text chosen", &P::text, &P::chosen},
        {"text on wood", &P::text, &P::wood},
        {"text on waste", &P::text, &P::waste},
        {"quiet on ground", &P::quiet, &P::ground},
        {"quiet on sheet", &P::quiet, &P::sheet},
        {"quiet in a field", &P::quiet, &P::field},
        {"quiet chosen", &P::quiet, &P::chosen},
        {"quiet on waste", &P::quiet, &P::waste},
        {"link on ground", &P::link, &P::ground},
        {"link on sheet", &P::link, &P::sheet},
        {"link in a field", &P::link, &P::field},
        {"link chosen", &P::link, &P::chosen},
        {"fine on ground", &P::fine, &P::ground},
        {"fine on sheet", &P::fine, &P::sheet},
        {"fine chosen", &P::fine, &P::chosen},
        {"caution on ground", &P::caution, &P::ground},
        {"caution on sheet", &P::caution, &P::sheet},
        {"caution in a field", &P::caution, &P::field},
        {"caution chosen", &P::caution, &P::chosen},
        {"problem on ground", &P::problem, &P::ground},
        {"problem on sheet", &P::problem, &P::sheet},
        {"problem in a field", &P::problem, &P::field},
        {"problem chosen", &P::problem, &P::chosen},
    }};
    return pairs;
}

ImVec4 vec(Colour colour, float alpha) {
    return {static_cast<float>(colour.red) / 255.0F, static_cast<float>(colour.green) / 255.0F,
            static_cast<float>(colour.blue) / 255.0F, alpha};
}

ImU32 packed(Colour colour, float alpha) {
    return ImGui::ColorConvertFloat4ToU32(vec(colour, alpha));
}

void set_style(const Theme& theme) {
    const Palette& p = theme.palette;
    ImGuiStyle style;
    style.WindowPadding = {14, 10};
    style.FramePadding = {9, 5};
    style.ItemSpacing = {10, 7};
    style.ItemInnerSpacing = {8, 5};
    style.CellPadding = {8, 4};
    style.ScrollbarSize = 13;
    style.GrabMinSize = 12;
    style.WindowBorderSize = 0;
    style.ChildBorderSize = 0;
    style.PopupBorderSize = 1;
    style.FrameBorderSize = 1;
    style.TabBorderSize = 0;
    style.FrameRounding = 3;
    style.TabRounding = 3;
    style.ScrollbarRounding = 6;
    style.IndentSpacing = 18;
    style.ScaleAllSizes(theme.scale);
    const auto set = [&](ImGuiCol which, Colour colour, float alpha = 1) {
        style.Colors[which] = vec(colour, alpha);
    };
    set(ImGuiCol_Text, p.text);
    set(ImGuiCol_TextDisabled, p.quiet);
    set(ImGuiCol_WindowBg, p.ground);
    set(ImGuiCol_ChildBg, p.sheet);
    set(ImGuiCol_PopupBg, p.sheet);
    set(ImGuiCol_Border, p.rule);
    set(ImGuiCol_BorderShadow, p.ground, 0);
    set(ImGuiCol_FrameBg, p.field);
    set(ImGuiCol_FrameBgHovered, p.field);
    set(ImGuiCol_FrameBgActive, p.field);
    set(ImGuiCol_MenuBarBg, p.ground);
    set(ImGuiCol_TitleBg, p.ground);
    set(ImGuiCol_TitleBgActive, p.chosen);
    set(ImGuiCol_TitleBgCollapsed, p.ground);
    set(ImGuiCol_ScrollbarBg, p.sheet);
    set(ImGuiCol_ScrollbarGrab, p.rule);
    set(ImGuiCol_ScrollbarGrabHovered, p.quiet);
    set(ImGuiCol_ScrollbarGrabActive, p.quiet);
    set(ImGuiCol_CheckMark, p.link);
    set(ImGuiCol_SliderGrab, p.link);
    set(ImGuiCol_SliderGrabActive, p.link);
    set(ImGuiCol_Button, p.sheet);
    set(ImGuiCol_ButtonHovered, p.chosen);
    set(ImGuiCol_ButtonActive, p.chosen);
    set(ImGuiCol_Header, p.chosen);
    set(ImGuiCol_HeaderHovered, p.chosen);
    set(ImGuiCol_HeaderActive, p.chosen);
    set(ImGuiCol_Separator, p.rule);
    set(ImGuiCol_SeparatorHovered, p.link);
    set(ImGuiCol_SeparatorActive, p.link);
    set(ImGuiCol_Tab, p.ground);
    set(ImGuiCol_TabHovered, p.chosen);
    set(ImGuiCol_TabActive, p.sheet);
    set(ImGuiCol_TabUnfocused, p.ground);
    set(ImGuiCol_TabUnfocusedActive, p.sheet);
    set(ImGuiCol_TableHeaderBg, p.sheet);
    set(ImGuiCol_TableBorderStrong, p.rule);
    set(ImGuiCol_TableBorderLight, p.rule);
    set(ImGuiCol_TableRowBg, p.sheet, 0);
    set(ImGuiCol_TableRowBgAlt, p.sheet, 0);
    set(ImGuiCol_TextSelectedBg, p.chosen);
    set(ImGuiCol_NavHighlight, p.link);
    set(ImGuiCol_ModalWindowDimBg, p.ground, 0.7F);
    ImGui::GetStyle() = style;
}

} // namespace aumbry::gui
