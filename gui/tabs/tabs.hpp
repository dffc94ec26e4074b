// The views, one a file. A view draws what the state shows into the current region and puts what a
// person asks for among the intents; it changes nothing but its own memory in the state.
#pragma once

#include "app/state.hpp"

namespace aumbry::gui {

/// The answer, always in sight: total and changes, finish date, sheets, problems.
void draw_answer(State& state, Intents& intents);

/// A new job, and jobs to go on with; in place of the answer and the views.
void draw_start(State& state, Intents& intents);
/// A piece of the library to be added; in place of the bill of materials.
void draw_library(State& state, Intents& intents);

void draw_bill(State& state, Intents& intents);
void draw_parameters(State& state, Intents& intents);
void draw_cutting(State& state, Intents& intents);
void draw_alternatives(State& state, Intents& intents);
/// Above the alternatives: one thing otherwise, as a further one.
void draw_what_if(State& state, Intents& intents);
void draw_dates(State& state, Intents& intents);
void draw_lift(State& state, Intents& intents);
void draw_findings(State& state, Intents& intents);
void draw_explain(State& state, Intents& intents);
void draw_lists(State& state, Intents& intents);

} // namespace aumbry::gui
