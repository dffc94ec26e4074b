// The views, one a file. A view draws what the state shows into the current region and puts what a
// person asks for among the intents; it changes nothing but its own memory in the state.
#pragma once

#include "app/state.hpp"

namespace aumbry::gui {

/// The answer, always in sight: total and changes, finish date, sheets, problems.
void draw_answer(State& state, Intents& intents);

void draw_bill(State& state, Intents& intents);
void draw_parameters(State& state, Intents& intents);
void draw_cutting(State& state, Intents& intents);
void draw_alternatives(State& state, Intents& intents);
void draw_dates(State& state, Intents& intents);
void draw_lift(State& state, Intents& intents);
void draw_findings(State& state, Intents& intents);
void draw_explain(State& state, Intents& intents);
void draw_lists(State& state, Intents& intents);

} // namespace aumbry::gui
