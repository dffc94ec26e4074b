// Anchors: pull on the fixings of a frame to the wall, by statics, shared over the screws. Nothing
// here certifies.
//
// The frame is taken as rigid. It would turn about its edge nearest the room where it stands on the
// floor (or, hung on the wall, about its lower edge against the wall). Loads that act beyond that
// edge turn it out of the wall, its own mass behind the edge holds it back, and the screws carry
// the rest. Springs act between frame and panel: they are inner forces and change nothing outside.
// Units: mm, kg, N, N·m.
#pragma once

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// A row of equal screws at one height.
struct ScrewRow {
    double height = 0; ///< above the edge the frame turns about, mm
    int count = 0;
};

struct AnchoredFrame {
    std::string name;
    double turning_edge =
        0; ///< distance of the edge it turns about from the wall, mm; 0 when hung on the wall
    bool on_floor = true;     ///< the floor carries the weight; otherwise the screws do, in shear
    double mass = 0;          ///< of the frame itself, kg
    double mass_distance = 0; ///< of its centre from the wall, mm
    std::vector<ScrewRow> rows;
};

/// A force on the frame through the panel.
struct AnchorLoad {
    std::string name;
    double down = 0;     ///< N
    double distance = 0; ///< of that force from the wall, mm
    double out = 0;      ///< N, away from the wall
    double height = 0;   ///< of that force above the turning edge, mm
    double sudden =
        1; ///< factor; 2 for a load that comes on all at once (elastic, no drop; from memory)
};

struct AnchorCase {
    std::string name;
    std::vector<AnchorLoad> loads;
};

/// A child as the tests of tipping take it: 27.2 kg (60 lb, ASTM F2057-23), and a pull of 44.5 N
/// (10 lbf) at 1422 mm (56 in) at most (the same, 9.2.2, from memory). That its centre hangs 150 mm
/// in front of the edge it stands on is assumed.
inline constexpr double child_mass = 27.2;        // kg
inline constexpr double child_in_front = 150;     // mm
inline constexpr double child_pull = 44.5;        // N
inline constexpr double child_pull_height = 1422; // mm

struct AnchorForce {
    std::string name;
    double moment = 0; ///< turning the frame out of the wall, N·m; 0 when it stands by itself
    double greatest_pull = 0;     ///< on one screw of the row pulled hardest, N
    double shear = 0;             ///< on each screw, N
    std::vector<double> row_pull; ///< on each screw of each row, N
    double pull_total = 0;        ///< N over all screws
};

/// The case of someone pulling the loaded panel down: the panel level, the hand's force down at the
/// handle.
[[nodiscard]] AnchorCase pulled_down(double panel_mass, double panel_distance, double hand_force,
                                     double handle_distance);

/// The case of someone sitting on the end of the level panel with nothing under it; the person's
/// mass comes on all at once.
[[nodiscard]] AnchorCase sitting_on_end(double panel_mass, double panel_distance,
                                        double person_mass, double end_distance);

/// A child climbs on the front: its weight in front of the edge, and the pull of its hands at the
/// top of a piece that stands on the floor; on what hangs it hangs from the front edge.
[[nodiscard]] AnchorCase climbed_on(double depth, double height, bool on_floor);

/// Moment about the turning edge over rows in proportion to their height (rigid frame): the pull of
/// a screw at height h is M h / sum(n h2). Throws FaultError for no screws, rows below the turning
/// edge, negative masses.
[[nodiscard]] AnchorForce anchor_force(const AnchoredFrame& frame, const AnchorCase& load_case);

/// Allowable withdrawal of a wood screw from side grain, N a mm of thread: 2850 G2 D lb/in with D
/// in inches (published wood-screw rule; G on oven-dry mass). Throws FaultError for G or D out of
/// range.
[[nodiscard]] double wood_screw_withdrawal(double specific_gravity, double diameter);

/// Thread needed in the wood for a pull, mm: pull / withdrawal.
[[nodiscard]] double thread_needed(double pull, double specific_gravity, double diameter);

/// What must be said about the fixings: fewer than four screws (common practice) is a warning; what
/// must hold, and that a competent person must check.
[[nodiscard]] std::vector<contract::Finding>
anchor_findings(const AnchoredFrame& frame, const std::vector<AnchorForce>& forces);

} // namespace aumbry::hardware_kits
