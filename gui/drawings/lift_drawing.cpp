#include "drawings/lift_drawing.hpp"

#include "widgets/drawing.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::gui {

using contract::LiftForces;

namespace {

constexpr float pound_force = 4.4482216F; ///< in N (NIST SP 811)

/// From angle and force to the screen.
struct Axes {
    ImVec2 min, max; ///< of the plot on the screen
    float start = 0, end = 1;
    float low = 0, high = 1;
    std::string unit; ///< of lengths of who reads it: forces are told in N, or in lbf with "in"

    /// Between two lines of the plot, in N: 50 N or 10 lbf.
    [[nodiscard]] float grid() const { return unit == "in" ? 10 * pound_force : 50; }
    [[nodiscard]] float x(float angle) const {
        return min.x + (max.x - min.x) * (angle - start) / (end - start);
    }
    [[nodiscard]] float y(float force) const {
        return max.y - (max.y - min.y) * (force - low) / (high - low);
    }
};

void lines_of_grid(ImDrawList& list, const Theme& theme, const Axes& axes) {
    ImFont* font = theme.small;
    const ImU32 quiet = packed(theme.palette.quiet);
    const bool pounds = axes.unit == "in";
    for (float force = axes.low; force <= axes.high + 1; force += axes.grid()) {
        const float y = axes.y(force);
        list.AddLine({axes.min.x, y}, {axes.max.x, y}, packed(theme.palette.rule, 0.6F));
        const std::string text =
            format_number(static_cast<double>(pounds ? force / pound_force : force), 0) +
            (force + axes.grid() <= axes.high + 1 ? ""
             : pounds                             ? " lbf"
                                                  : " N");
        const float width = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, text.c_str()).x;
        list.AddText(font, font->FontSize,
                     {axes.min.x - width - theme.px(6), y - font->FontSize / 2}, quiet,
                     text.c_str());
    }
    const float degrees = axes.end - axes.start > 45 ? 15.0F : 5.0F;
    for (float angle = axes.start; angle <= axes.end + 0.01F; angle += degrees) {
        const std::string text = format_number(static_cast<double>(angle), 0) + "\xc2\xb0";
        const float x = axes.x(angle);
        list.AddLine({x, axes.max.y}, {x, axes.max.y + theme.px(4)}, quiet);
        centred(list, font, {x - 40, axes.max.y + theme.px(5)},
                {x + 40, axes.max.y + theme.px(5) + font->FontSize}, quiet, text);
    }
}

void limit(ImDrawList& list, const Theme& theme, const Axes& axes, float force,
           const std::string& text, bool below) {
    const float y = axes.y(force);
    const ImU32 colour = packed(theme.palette.problem);
    broken_line(list, {axes.min.x, y}, {axes.max.x, y}, colour, theme.px(1.5F), theme.px(8));
    ImFont* font = theme.small;
    list.AddText(
        font, font->FontSize,
        {axes.min.x + theme.px(6), below ? y + theme.px(2) : y - font->FontSize - theme.px(2)},
        colour, text.c_str());
}

/// Where it moves by itself and where it stays, in words below the plot.
void regions(ImDrawList& list, const Theme& theme, const Axes& axes,
             const contract::LiftPlan& plan) {
    const int steps = steps_of(plan);
    const auto word_at = [&](int step) {
        if (figure_at(plan, step, &LiftForces::close) < 0) return "falls shut";
        if (figure_at(plan, step, &LiftForces::open) < 0) return "opens by itself";
        return "stays";
    };
    const float top = axes.max.y + theme.px(9) + theme.small->FontSize;
    const float bottom = top + theme.small->FontSize + theme.px(6);
    for (int from = 0; from < steps;) {
        const std::string_view word = word_at(from);
        int to = from;
        while (to + 1 < steps && word_at(to + 1) == word) ++to;
        const float left = axes.x(figure_at(plan, from, &LiftForces::angle));
        const float right =
            axes.x(figure_at(plan, std::min(to + 1, steps - 1), &LiftForces::angle));
        if (word == "stays") {
            list.AddRectFilled({left, top}, {right, bottom}, packed(theme.palette.chosen));
        } else {
            hatch(list, {left, top}, {right, bottom}, packed(theme.palette.rule), theme.px(6));
        }
        list.AddRect({left, top}, {right, bottom}, packed(theme.palette.rule));
        const float width = theme.small
                                ->CalcTextSizeA(theme.small->FontSize, FLT_MAX, 0, word.data(),
                                                word.data() + word.size())
                                .x;
        if (width + theme.px(6) < right - left) {
            const float middle = (left + right) / 2;
            if (word != "stays") {
                list.AddRectFilled({middle - width / 2 - theme.px(3), top + 1},
                                   {middle + width / 2 + theme.px(3), bottom - 1},
                                   packed(theme.palette.sheet));
            }
            centred(list, theme.small, {left, top}, {right, bottom}, packed(theme.palette.text),
                    std::string(word));
        } else {
            centred(list, theme.small, {left, bottom}, {right, bottom + theme.small->FontSize},
                    packed(theme.palette.text), std::string(word));
        }
        from = to + 1;
    }
}

void curve(ImDrawList& list, const Axes& axes, const contract::LiftPlan& plan, LiftFigure figure,
           ImU32 colour, float thickness, float dash) {
    const int steps = steps_of(plan);
    // Of a broken curve every other stretch of the axis is left out.
    for (int step = 0; step + 1 < steps; ++step) {
        const ImVec2 a{axes.x(figure_at(plan, step, &LiftForces::angle)),
                       axes.y(figure_at(plan, step, figure))};
        const ImVec2 b{axes.x(figure_at(plan, step + 1, &LiftForces::angle)),
                       axes.y(figure_at(plan, step + 1, figure))};
        if (dash > 0 && std::fmod(a.x - axes.min.x, 2 * dash) > dash) continue;
        list.AddLine(a, b, colour, thickness);
    }
}

} // namespace

int steps_of(const contract::LiftPlan& plan) {
    return static_cast<int>(std::min(plan.curve.size(), plan.side_view.size()));
}

std::string force_in_words(float newtons, const std::string& length_unit) {
    return measures_for_reader(format_number(static_cast<double>(newtons), 0) + " N", length_unit);
}

float figure_at(const contract::LiftPlan& plan, int step, LiftFigure figure) {
    return static_cast<float>(plan.curve.at(static_cast<std::size_t>(step)).*figure);
}

void draw_hand_force(const State& state, const contract::LiftPlan& plan, bool opening, int& step,
                     ImVec2 size) {
    const Theme& theme = state.theme;
    const Palette& palette = theme.palette;
    const int steps = steps_of(plan);
    if (steps < 2) return;
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    ImGui::InvisibleButton("hand force", size);
    state.mark("lift plot");
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const LiftFigure with = opening ? &LiftForces::open : &LiftForces::close;
    const LiftFigure bare = opening ? &LiftForces::bare_open : &LiftForces::bare_close;
    const LiftFigure max = opening ? &LiftForces::most_open : &LiftForces::most_close;
    const LiftFigure min = opening ? &LiftForces::least_open : &LiftForces::least_close;
    const auto push = static_cast<float>(opening ? plan.limits.open : plan.limits.close);
    const auto hold = static_cast<float>(plan.limits.hold_back);

    Axes axes;
    axes.unit = unit_of_lengths(state);
    axes.start = figure_at(plan, 0, &LiftForces::angle);
    axes.end = figure_at(plan, steps - 1, &LiftForces::angle);
    axes.low = -hold;
    axes.high = push;
    for (int i = 0; i < steps; ++i) {
        for (const LiftFigure figure : {with, bare, max, min}) {
            axes.low = std::min(axes.low, figure_at(plan, i, figure));
            axes.high = std::max(axes.high, figure_at(plan, i, figure));
        }
    }
    axes.low = std::floor(axes.low / axes.grid() - 0.5F) * axes.grid();
    axes.high = std::ceil(axes.high / axes.grid() + 0.3F) * axes.grid();
    axes.min = {corner.x + theme.px(52), corner.y + theme.px(4)};
    axes.max = {corner.x + size.x - theme.px(12),
                corner.y + size.y - theme.px(22) - 3 * theme.small->FontSize};
    if (ImGui::IsItemActive()) {
        const float share = (ImGui::GetIO().MousePos.x - axes.min.x) / (axes.max.x - axes.min.x);
        step = std::clamp(static_cast<int>(std::lround(share * static_cast<float>(steps - 1))), 0,
                          steps - 1);
    }

    lines_of_grid(list, theme, axes);
    const ImDrawListFlags smooth = list.Flags;
    list.Flags &= ~ImDrawListFlags_AntiAliasedFill; // else seams show between the steps
    for (int i = 0; i + 1 < steps; ++i) {
        const float left = axes.x(figure_at(plan, i, &LiftForces::angle));
        const float right = axes.x(figure_at(plan, i + 1, &LiftForces::angle));
        list.AddQuadFilled({left, axes.y(figure_at(plan, i, min))},
                           {right, axes.y(figure_at(plan, i + 1, min))},
                           {right, axes.y(figure_at(plan, i + 1, max))},
                           {left, axes.y(figure_at(plan, i, max))}, packed(palette.link, 0.16F));
    }
    list.Flags = smooth;
    list.AddLine({axes.min.x, axes.y(0)}, {axes.max.x, axes.y(0)}, packed(palette.text),
                 theme.px(1));
    limit(list, theme, axes, push, "the hand pushes at most " + force_in_words(push, axes.unit),
          false);
    limit(list, theme, axes, -hold,
          opening
              ? "below: it flies open, over " + force_in_words(hold, axes.unit) + " to hold back"
              : "below: it slams shut, over " + force_in_words(hold, axes.unit) + " to hold back",
          true);
    curve(list, axes, plan, bare, packed(palette.quiet), theme.px(2), theme.px(12));
    curve(list, axes, plan, with, packed(palette.link), theme.px(3), 0);
    regions(list, theme, axes, plan);

    const float x = axes.x(figure_at(plan, step, &LiftForces::angle));
    list.AddLine({x, axes.min.y}, {x, axes.max.y}, packed(palette.text), theme.px(1));
    for (const LiftFigure figure : {bare, with})
        list.AddCircleFilled({x, axes.y(figure_at(plan, step, figure))}, theme.px(4.5F),
                             packed(figure == with ? palette.link : palette.quiet));
}

namespace {

/// From millimetres beside the hinge, up being up, to the screen.
struct Standing {
    ImVec2 hinge;
    float scale = 1;

    [[nodiscard]] ImVec2 at(const contract::LiftPoint& point) const {
        return {hinge.x + static_cast<float>(point.x) * scale,
                hinge.y - static_cast<float>(point.y) * scale};
    }
};

/// Everything that any step of the swing shows.
void bounds(const contract::LiftPlan& plan, ImVec2& min, ImVec2& max) {
    min = max = {0, 0};
    const auto take = [&](const contract::LiftPoint& point) {
        const ImVec2 at{static_cast<float>(point.x), static_cast<float>(point.y)};
        min = {std::min(min.x, at.x), std::min(min.y, at.y)};
        max = {std::max(max.x, at.x), std::max(max.y, at.y)};
    };
    for (const contract::LiftView& view : plan.side_view) {
        take(view.handle);
        for (const auto* points : {&view.masses, &view.fixed, &view.moving}) {
            for (const contract::LiftPoint& point : *points) take(point);
        }
    }
}

void spring(ImDrawList& list, const Theme& theme, ImVec2 fixed, ImVec2 moving) {
    // A cylinder from the fixed mount and a thinner rod to the moving one.
    const ImVec2 middle{fixed.x + (moving.x - fixed.x) * 0.55F,
                        fixed.y + (moving.y - fixed.y) * 0.55F};
    list.AddLine(fixed, moving, packed(theme.palette.text), theme.px(2.5F));
    list.AddLine(fixed, middle, packed(theme.palette.text), theme.px(7));
    for (const ImVec2 mount : {fixed, moving}) {
        list.AddCircleFilled(mount, theme.px(5), packed(theme.palette.sheet));
        list.AddCircle(mount, theme.px(5), packed(theme.palette.text), 0, theme.px(2));
    }
}

void mass(ImDrawList& list, const Theme& theme, ImVec2 at, const std::string& load, float kg) {
    const float half = theme.px(std::clamp(2.0F + std::sqrt(kg) * 1.3F, 3.0F, 12.0F));
    const ImU32 colour = packed(theme.palette.quiet);
    if (load == "mattress") {
        list.AddRect({at.x - half, at.y - half}, {at.x + half, at.y + half}, colour, 0, 0,
                     theme.px(1.5F));
    } else if (load == "bedding") {
        list.AddTriangle({at.x, at.y - half}, {at.x + half, at.y + half},
                         {at.x - half, at.y + half}, colour, theme.px(1.5F));
    } else {
        list.AddCircle(at, half, colour, 0, theme.px(1.5F));
    }
}

/// The middle of all masses: a ring with two filled quarters, as drawings mark it.
void centre_of_mass(ImDrawList& list, const Theme& theme, ImVec2 at) {
    const float radius = theme.px(9);
    const ImU32 colour = packed(theme.palette.text);
    constexpr float quarter = 1.5707963F;
    list.AddCircleFilled(at, radius, packed(theme.palette.sheet));
    for (const float from : {0.0F, 2 * quarter}) {
        list.PathLineTo(at);
        list.PathArcTo(at, radius, from, from + quarter, 10);
        list.PathFillConvex(colour);
    }
    list.AddCircle(at, radius, colour, 0, theme.px(1.5F));
}

} // namespace

void draw_side_view(const State& state, const contract::LiftPlan& plan, int step, ImVec2 size) {
    const Theme& theme = state.theme;
    const Palette& palette = theme.palette;
    const ImVec2 corner = ImGui::GetCursorScreenPos();
    ImGui::Dummy(size);
    state.mark("lift side view");
    if (steps_of(plan) == 0) return;
    const contract::LiftView& view = plan.side_view.at(static_cast<std::size_t>(step));
    ImVec2 min;
    ImVec2 max;
    bounds(plan, min, max);
    const float margin = theme.px(22);
    Standing standing;
    standing.scale = std::min((size.x - 2 * margin) / std::max(1.0F, max.x - min.x),
                              (size.y - 2 * margin) / std::max(1.0F, max.y - min.y));
    standing.hinge = {corner.x + size.x / 2 - (min.x + max.x) / 2 * standing.scale,
                      corner.y + size.y / 2 + (min.y + max.y) / 2 * standing.scale};
    ImDrawList& list = *ImGui::GetWindowDrawList();
    list.PushClipRect(corner, {corner.x + size.x, corner.y + size.y}, true);

    // The way of the handle, and both ends.
    for (std::size_t i = 2; i < plan.side_view.size(); i += 2)
        list.AddLine(standing.at(plan.side_view[i - 1].handle),
                     standing.at(plan.side_view[i].handle), packed(palette.rule), theme.px(1.5F));
    for (const contract::LiftView* end : {&plan.side_view.front(), &plan.side_view.back()})
        broken_line(list, standing.hinge, standing.at(end->handle), packed(palette.rule),
                    theme.px(1.5F), theme.px(6));

    const ImVec2 handle = standing.at(view.handle);
    list.AddLine(standing.hinge, handle, packed(palette.wood_edge), theme.px(9));
    list.AddLine(standing.hinge, handle, packed(palette.wood), theme.px(6));
    for (std::size_t i = 0; i < std::min(view.fixed.size(), view.moving.size()); ++i)
        spring(list, theme, standing.at(view.fixed[i]), standing.at(view.moving[i]));
    ImVec2 sum{0, 0};
    float all = 0;
    for (std::size_t i = 0; i < std::min(plan.masses.size(), view.masses.size()); ++i) {
        const auto kg = static_cast<float>(plan.masses[i].mass);
        const ImVec2 at = standing.at(view.masses[i]);
        mass(list, theme, at, plan.masses[i].load, kg);
        sum = {sum.x + at.x * kg, sum.y + at.y * kg};
        all += kg;
    }
    if (all > 0) centre_of_mass(list, theme, {sum.x / all, sum.y / all});
    // The hinge, and the hand where it takes hold.
    list.AddCircleFilled(standing.hinge, theme.px(7), packed(palette.text));
    list.AddCircleFilled(standing.hinge, theme.px(3), packed(palette.sheet));
    list.AddCircle(handle, theme.px(8), packed(palette.link), 0, theme.px(2.5F));
    list.PopClipRect();
}

} // namespace aumbry::gui
