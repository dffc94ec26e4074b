// The job over its days: days across, what comes in and what is worked below.
#pragma once

#include "app/state.hpp"

namespace aumbry::gui {

/// Draws the chart into the region at hand, which scrolls both ways.
void draw_schedule_chart(State& state, Intents& intents);

/// What the marks of the chart mean.
void draw_schedule_legend(const Theme& theme);

/// Each supplier's order.
void draw_orders(State& state, Intents& intents);

} // namespace aumbry::gui
