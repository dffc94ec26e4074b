// A net under what is drawn: a view that throws leaves a sentence in its place, and the rest of
// the window goes on.
#pragma once

#include "app/state.hpp"

#include <functional>
#include <string>

namespace aumbry::gui {

/// Draws. When that throws, everything that was begun is ended, so that Dear ImGui is as it was
/// before the call, and the reason is returned; empty: it was drawn whole.
[[nodiscard]] std::string drawn_or_reason(const std::function<void()>& draw);

/// Draws something that has a name ("Cutting"). When it throws, the sentence of what went wrong
/// stands in its place until something changes that it shows, or a person wants it tried again.
void draw_over_net(State& state, const std::string& name, const std::function<void()>& draw);

} // namespace aumbry::gui
