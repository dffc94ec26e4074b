// The form by which a dealer's spreadsheet is imported by hand.
#pragma once

#include "app/state.hpp"

#include <vector>

namespace aumbry::gui {

/// What a spreadsheet is, column by column, and what would come of it.
void draw_import(State& state, Intents& intents);

/// Leaves the form at once; a look at a spreadsheet that is under way ends by itself.
void leave_import(ListsState& lists);

/// Faults of rows: list, row, column, value, and the sentence.
void fault_table(const State& state, const char* id, const std::vector<const csv::RowFault*>& all,
                 bool with_list);

} // namespace aumbry::gui
