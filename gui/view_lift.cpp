#include "parts_of_views.hpp"
#include "views.hpp"

namespace aumbry::gui {

void draw_lift(State& state, Intents& /*intents*/) {
    nothing_here(state.theme, "Nothing to show yet.");
}

} // namespace aumbry::gui
