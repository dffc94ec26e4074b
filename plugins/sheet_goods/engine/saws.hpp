// Who cuts a sheet and what that takes: the dealer first, on the sheet as delivered, then the
// workshop.
#pragma once

#include "sheet_goods/engine/cutting.hpp"

#include <array>
#include <cstddef>
#include <utility>

namespace aumbry::sheet_goods {

struct SawsOfSheet {
    Steps workshop_kerf = 0;
    Steps dealer_kerf = 0;
    Steps dealer_accuracy = 0; ///< his pieces may be so much off
    Steps least_cut = 0;       ///< what a cut must find to take off
    Steps clean_up = 0;        ///< taken off a factory edge, that cut's kerf included
    Steps blank_allowance = 0; ///< left on an edge that the dealer cut; 0: his edge will do
    Steps dealer_step = 1;     ///< his settings are multiples of it
    Steps longest_rip = 0;     ///< of the workshop; 0: any
    Steps least_offcut = 1;    ///< what is narrower falls away
    /// A strip that falls off is cut off by a cut of its own when it is at least so large.
    std::array<Steps, 2> kept_offcut{1, 1}; ///< longer side, shorter side
};

/// A rectangle that exists, and what its edges are good for; by axis.
struct Piece {
    std::array<Steps, 2> at{}, size{};
    std::array<Steps, 2> near{}; ///< still to come off at the edge that positions are measured from
    std::array<Steps, 2> far{};  ///< must come off, or may, at the opposite edge
    std::array<bool, 2> set{};   ///< the opposite edge was made at a fence
};

/// The rectangle alone.
[[nodiscard]] Blank blank_of(const Piece& piece);

[[nodiscard]] Piece sheet_as_delivered(const std::array<Steps, 2>& raw, const SawsOfSheet& saws);

/// What is left for parts along an axis.
[[nodiscard]] Steps room_of(const Piece& piece, std::size_t axis, const SawsOfSheet& saws);

/// What the dealer's cut at a position of his makes of a piece.
[[nodiscard]] std::pair<Piece, Piece> divided_by_dealer(const Piece& piece, std::size_t axis,
                                                        Steps position, const SawsOfSheet& saws);

} // namespace aumbry::sheet_goods
