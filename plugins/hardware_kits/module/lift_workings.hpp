// How a lift's figures came about: what moves, the hand's force over the swing, why these springs.
#pragma once

#include "aumbry/contract.hpp"
#include "hardware_kits/engine/lifts/lift_choice.hpp"
#include "hardware_kits/module/lift_line.hpp"
#include "hardware_kits/module/lift_plan.hpp"

namespace aumbry::hardware_kits {

void tell_masses(const contract::Line& line, const LiftLine& read, const std::string& unit,
                 std::vector<contract::Working>& workings);
/// The hand's force every ten degrees, loaded and bare.
[[nodiscard]] contract::Working hand_force_table(const contract::Line& line, const SwingSet& set,
                                                 const std::string& made);
[[nodiscard]] contract::Working choice_working(const contract::Line& line,
                                               const SpringChoice& choice,
                                               const Assumptions& assumptions,
                                               const HandLimits& limits);
void add_figures(const contract::Line& line, const SwingSet& set, contract::TakeOffReply& reply);
void tell_rests(const contract::Line& line, const SwingSet& set, contract::TakeOffReply& reply);

} // namespace aumbry::hardware_kits
