// The cut book: the plans of an estimate as a person at the saw needs them, in numbers, places and
// plain words. Text, drawings and labels are views of it, so that a part has one number everywhere.
#pragma once

#include "aumbry/estimate.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace aumbry::print {

/// A part: a line, or one section of a panel that is larger than a sheet. Sizes in mm, as the part
/// lies before its maker: length, then width.
struct BookPart {
    std::string number; ///< "12", or "12.2" for a section: the same on plans, lists and labels
    std::string line;
    std::string title;
    std::string piece; ///< title of the piece; empty when it belongs to the whole job
    std::string material;
    std::string stock; ///< what it is cut from, "18 mm birch BB/BB for carcase"; empty: no plan
    double length = 0; ///< finished
    double width = 0;
    double thickness = 0;
    double mass = 0;       ///< kg of one; 0: unknown
    std::string taper;     ///< "front 942, back 950"; empty: its corners are square
    double cut_length = 0; ///< 0: it is cut from boards without a plan
    double cut_width = 0;
    std::string grain; ///< "along its length", "across its length", "either way"; empty: unknown
    bool grain_fixed = false;
    std::int64_t faces = -1;                                 ///< how many faces show; -1: unknown
    std::vector<std::pair<std::string, std::string>> edges;  ///< edge and its treatment, but raw
    std::vector<std::pair<std::string, std::string>> joints; ///< edge at a seam, and what is made
    std::string hand;       ///< "left", "right", "pair": every second one mirrored; empty: neither
    std::string match;      ///< group whose grain runs on from part to part; empty: none
    std::int64_t count = 0; ///< in the whole job
};

/// How an edge is drawn.
enum class EdgeLook { raw, treated, rounded, scribed, joint };

/// The edges of a rectangle as it lies on the page.
struct EdgeLooks {
    EdgeLook top = EdgeLook::raw;
    EdgeLook right = EdgeLook::raw;
    EdgeLook bottom = EdgeLook::raw;
    EdgeLook left = EdgeLook::raw;
};

/// A part on its sheet or board, mm from the sheet's corner.
struct PlacedPart {
    std::size_t part = 0; ///< index into CutBook::parts
    double x = 0, y = 0;
    double length = 0, width = 0; ///< along the sheet's length and width
    bool rotated = false;
    std::string hand;  ///< "left", "right"; empty: neither, or both where sheets are cut alike
    std::string place; ///< "2 of 3" in its match group; empty: in none
    EdgeLooks edges = {};
};

/// One cut, in the order in which they are made.
struct PlannedCut {
    int number = 0;
    bool dealer = false;
    bool along = false; ///< the saw runs along the sheet's length, else across it
    double x1 = 0, y1 = 0, x2 = 0, y2 = 0; ///< the middle of the kerf
    std::string piece;                     ///< the letter of what is cut
    double blank_x = 0, blank_y = 0;
    double blank_length = 0, blank_width = 0;
    contract::CutKind kind = contract::CutKind::rip;
    double setting = 0;        ///< mm from the blank's left or upper edge to the kerf
    double kerf = 0;           ///< of the saw that makes it
    bool same_setting = false; ///< as the cut before it, by the same hands
    int table_row = 0;         ///< its setting in the table over all sheets; 0: none
    std::string first;         ///< what comes off at the fence: "part 12", "B 1589 x 1279", "waste"
    std::string rest;
    std::string first_short; ///< the same without its size: "12", "B", "waste"
    std::string rest_short;
};

/// A piece on the way to the parts, as it is when it gets its letter.
struct LetteredPiece {
    std::string letter;
    double x = 0, y = 0, length = 0, width = 0;
    bool handed_over = false; ///< by the dealer
};

/// One sheet, or several cut alike.
struct SheetPage {
    std::string id; ///< "S3"
    std::string title;
    std::string source;     ///< where it comes from, in words
    std::string from_which; ///< "sheet 3 of 4", "sheets 3 and 4 of 5"
    double length = 0, width = 0, clean_up = 0;
    double kerf = 0;                   ///< of the workshop's saw
    std::optional<double> dealer_kerf; ///< where a dealer cuts it too
    contract::SheetGrain grain = contract::SheetGrain::none;
    std::int64_t copies = 1;
    double yield = 0;    ///< parts by area of this sheet, 0 to 1
    std::string quality; ///< yield of all and whether the plan can be beaten, in words
    std::vector<PlacedPart> placed;
    std::vector<PlannedCut> cuts;
    std::vector<LetteredPiece> pieces; ///< in the order of their letters
    std::vector<contract::Offcut> offcuts;
};

/// One board, or several cut alike.
struct BoardPage {
    std::string id; ///< "B2"
    std::string source;
    double length = 0, width = 0, thickness = 0, kerf = 0, end_trim = 0;
    std::int64_t copies = 1;
    bool ripped = false; ///< parts are narrower than the board and cut rough
    std::vector<PlacedPart> placed;
    std::vector<contract::Offcut> offcuts;
};

/// The boards of one section or order.
struct BoardGroup {
    std::string title;
    std::string quality;
    std::vector<BoardPage> boards;
};

/// One made part: what its label says.
struct LabelledPart {
    std::size_t part = 0;
    std::int64_t number = 1; ///< of parts[part].count
    std::string from;        ///< "S3", "S4, sheet 2 of 2"; empty: no plan
    std::string hand;        ///< "left", "right"; empty: neither
    std::string place;       ///< "2 of 3" in its match group; empty: in none
};

/// An offcut that is kept: its label goes on the rack with it.
struct LabelledOffcut {
    std::string material;
    double length = 0, width = 0;
    contract::SheetGrain grain = contract::SheetGrain::none;
    std::string from; ///< "S3", "S4, sheet 2 of 2"
    std::string source;
};

struct CutBook {
    std::string job = {};
    std::string alternative = {};
    std::string length_unit = {}; ///< "mm" or "in"
    std::string made_on = {};     ///< the day of its prices, ISO 8601
    std::vector<BookPart> parts = {};
    std::vector<SheetPage> sheets = {};
    std::vector<BoardGroup> boards = {};
    std::vector<LabelledPart> labels = {}; ///< by sheet, board, then what has no plan
    std::vector<LabelledOffcut> kept = {}; ///< by sheet
    std::vector<std::string> cautions = {};
};

/// Reads the plans of an estimate. Numbers follow the order of its lines.
/// @throws FaultError "bad-plan" when a plan names a line that the estimate lacks.
[[nodiscard]] CutBook cut_book(const Estimate& estimate);

/// The cuts that follow one another at one setting of one saw: indices into `cuts`. Trims that take
/// off as much are one setting, whichever the edge.
[[nodiscard]] std::vector<std::vector<std::size_t>> settings_of(const SheetPage& sheet);

/// The edges of a part as it lies unturned: its front at the bottom.
[[nodiscard]] EdgeLooks edge_looks(const BookPart& part, const std::string& hand);

/// Its edges in words, of the hand that it is.
[[nodiscard]] std::string edges_in_words(const BookPart& part, const std::string& hand);

/// A length without its unit: mm to one decimal, inches to the nearest 1/32.
[[nodiscard]] std::string bare_length(double mm, const std::string& unit);
/// "1221.3 x 95".
[[nodiscard]] std::string bare_size(double length, double width, const std::string& unit);
/// "1221.3 x 95 mm".
[[nodiscard]] std::string size_with_unit(double length, double width, const std::string& unit);
[[nodiscard]] std::string length_with_unit(double mm, const std::string& unit);
/// "trim", "rip", "crosscut".
[[nodiscard]] std::string kind_in_words(contract::CutKind kind);
/// "rip to 80", "crosscut to 1224 (as set)", "trim 7.6 off the left edge".
[[nodiscard]] std::string cut_in_words(const PlannedCut& cut, const std::string& unit);
/// "yours takes 2.4 mm a cut, the supplier's 4 mm".
[[nodiscard]] std::string saws_in_words(const SheetPage& sheet, const std::string& unit);
/// "all sizes in mm", and how inches are rounded.
[[nodiscard]] std::string unit_note(const std::string& unit);
/// "tapered: front 942, back 950; front banded, left scribed"; empty when it is square and all
/// edges stay raw.
[[nodiscard]] std::string edges_in_words(const BookPart& part);
/// "one face shows"; empty when unknown.
[[nodiscard]] std::string faces_in_words(const BookPart& part);
/// "86.1 %".
[[nodiscard]] std::string percent(double share);

} // namespace aumbry::print
