// The form of the line, or piece, that is chosen in the bill of materials.
#pragma once

#include "app/state.hpp"

namespace aumbry::gui {

void draw_bill_form(State& state, Intents& intents, ImVec2 size);

} // namespace aumbry::gui
