// The job on a wall calendar: days across, what comes in and what is worked below.
#pragma once

#include "app/state.hpp"

namespace aumbry::gui {

/// Draws the calendar into the region at hand, which scrolls both ways.
void draw_wall_calendar(State& state, Intents& intents);

/// What the marks of the calendar mean.
void draw_calendar_legend(const Theme& theme);

/// Each supplier's order.
void draw_orders(State& state, Intents& intents);

} // namespace aumbry::gui
