// The swing of a lift: hand force over the angle, and a side view at one angle.
#pragma once

#include "app/state.hpp"

#include <string>

namespace aumbry::gui {

/// One of the figures of a step of the swing: `&contract::LiftForces::open`.
using LiftFigure = double contract::LiftForces::*;

/// The force of the hand over the swing, opening or closing, with its limits. Sets `step` to where
/// the mouse points while its button is down.
void draw_hand_force(const State& state, const contract::LiftPlan& plan, bool opening, int& step,
                     ImVec2 size);

/// Panel, hinge, springs, mounts and masses to scale, at a step of the swing.
void draw_side_view(const State& state, const contract::LiftPlan& plan, int step, ImVec2 size);

/// A force as its reader knows it: "40 N", or with `length_unit` "in" pounds of force: "9 lbf".
[[nodiscard]] std::string force_in_words(float newtons, const std::string& length_unit);
/// How many steps the swing has.
[[nodiscard]] int steps_of(const contract::LiftPlan& plan);
/// A figure of one step of the swing.
[[nodiscard]] float figure_at(const contract::LiftPlan& plan, int step, LiftFigure figure);

} // namespace aumbry::gui
