// What a piece of the library makes of the price of the job, before it is added.
#pragma once

#include "app/state.hpp"

namespace aumbry::gui {

/// The answer to what the form says now; null while it is awaited.
[[nodiscard]] const TrialAnswer* trial_of(const State& state);
/// Whether a fault is one of a size of the piece: it stands beside that then.
[[nodiscard]] bool is_of_size(const State& state, const Fault& fault, const std::string& name);

/// The price, the button that adds the piece, what the price is made of and what is wrong.
void price_of_piece(State& state, Intents& intents, const PieceFile& piece);
/// In a narrow window, always in sight: the button and the price beside it.
void price_bar(State& state, Intents& intents, const PieceFile& piece);
/// What the price is made of, and what is wrong with it.
void details_of_trial(const State& state, const TrialAnswer& answer);

} // namespace aumbry::gui
