#include "sheet_goods/engine/saws.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

Blank blank_of(const Piece& piece) {
    Blank blank;
    blank.x = piece.at[0];
    blank.y = piece.at[1];
    blank.length = piece.size[0];
    blank.width = piece.size[1];
    return blank;
}

Piece sheet_as_delivered(const std::array<Steps, 2>& raw, const SawsOfSheet& saws) {
    Piece sheet;
    sheet.size = raw;
    sheet.near = sheet.far = {saws.clean_up, saws.clean_up};
    sheet.set = {saws.clean_up == 0, saws.clean_up == 0};
    return sheet;
}

Steps room_of(const Piece& piece, std::size_t axis, const SawsOfSheet& saws) {
    return piece.size[axis] - piece.near[axis] - piece.far[axis] -
           (piece.far[axis] == 0 && !piece.set[axis] ? saws.least_cut : 0);
}

std::pair<Piece, Piece> divided_by_dealer(const Piece& piece, std::size_t axis, Steps position,
                                          const SawsOfSheet& saws) {
    Piece first = piece;
    first.size[axis] = position;
    // Even where his edges will do, he may be off, and parts are cut to size from what he cuts.
    first.far[axis] = std::max(saws.blank_allowance, saws.dealer_accuracy + saws.least_cut);
    first.set[axis] = false;
    Piece second = piece;
    second.at[axis] += position + saws.dealer_kerf;
    second.size[axis] -= position + saws.dealer_kerf;
    second.near[axis] = saws.blank_allowance;
    // Cut too long, the first takes it from here.
    second.far[axis] += saws.dealer_accuracy + (second.far[axis] == 0 ? saws.least_cut : 0);
    second.set[axis] = false;
    return {first, second};
}

} // namespace aumbry::sheet_goods
