// The workshop, the vehicle and the module's own settings, as numbers.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/vehicle.hpp"

#include <optional>
#include <string>
#include <utility>

namespace aumbry::sheet_goods {

/// kg: one man, the load held close to the body at the height of the elbow (HSE INDG143).
inline constexpr double one_person_lifts = 25;

struct Shop {
    double kerf = 3.2;    ///< mm
    double clean_up = 10; ///< mm off every edge of a sheet, the kerf of that cut included
    std::optional<double> longest_rip;    ///< mm
    std::optional<double> heaviest_blank; ///< kg
    double longest_alone = 2000;          ///< mm that one person carries
    double largest_alone = 1.5;           ///< m2 that one person carries
    std::optional<Vehicle> vehicle;
    bool delivered = false; ///< sheets are wanted by delivery, where their material says nothing
    double dealer_edge = 4; ///< mm taken off an edge that a dealer cut
    double least_offcut_length = 600,
           least_offcut_width = 300; ///< mm; a smaller offcut is not worth keeping
    double least_offcut_area = 0.25, ///< m2; as large a one is, where it is not narrower than
        least_offcut_side = 150;     ///< mm
    double edging_overlength = 25;   ///< mm that a strip of edging is cut longer at each end
    double scribe = 10;              ///< mm left on an edge that is scribed
    double creep = 1.5;              ///< a long load sags so many times as far as at once
    double sag_ratio = 0.003;        ///< of the span
    double minutes_a_part = 3;       ///< cutting, with handling
    double minutes_a_mark = 1;       ///< marking a part: its number, face and edges, and its joints
    double minutes_to_carry_in = 10; ///< a piece
    double minutes_to_clear_up = 20, minutes_of_snags = 15; ///< a piece
    double minutes_a_setting = 1.5; ///< of a fence or a stop, with a trial cut where it counts
    double minutes_a_metre_banded = 2, minutes_a_metre_lipped = 6, minutes_a_metre_rounded = 1,
           minutes_a_metre_scribed = 10;
    double minutes_a_groove = 10;
    double minutes_a_seam = 20;
    double minutes_a_heavy_sheet = 5; ///< of two people
    std::string unit = "mm";          ///< of lengths that people read
    std::string effort = "normal";

    /// Whether an offcut is worth keeping.
    [[nodiscard]] bool keeps(double length, double width) const;
    /// Whether a sheet lies in the vehicle, flat or on edge; true when there is none to fetch it.
    [[nodiscard]] bool carries(double length, double width) const;
    /// The longer and the shorter side of the largest sheet that lies in the vehicle, mm.
    [[nodiscard]] std::pair<double, double> largest_carried() const;
};

[[nodiscard]] Shop read_shop(const contract::Settings& settings);

/// The module's settings as fields, with the defaults above.
[[nodiscard]] std::vector<contract::Field> setting_fields();

} // namespace aumbry::sheet_goods
