// Plans: how sheets and boards are cut, as a module answers them, a project keeps them under
// `as_bought` and an estimate prints them. All lengths in mm.
#pragma once

#include "aumbry/contract/lift_plan.hpp"
#include "aumbry/json.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::contract {

struct Size {
    double length = 0;
    double width = 0;
};

/// How good the plan is that a sheet belongs to.
struct PlanBound {
    std::int64_t sheets = 0;      ///< of the whole plan
    std::int64_t lower_bound = 0; ///< no plan of its parts has fewer
    bool proven = false;          ///< no other plan is better
    std::string method = {};      ///< what gave the bound
};

enum class SheetGrain { none, length, width };

/// Which way the grain of a part must run.
enum class PartGrain { any, length, width };

/// How the edges of a part are treated; empty: raw.
struct PlacedEdges {
    std::string front = {};
    std::string back = {};
    std::string left = {};
    std::string right = {};
};

/// Where a part stands in a group whose grain runs on from one to the next.
struct MatchPlace {
    std::int64_t place = 1; ///< from 1, along the group
    std::int64_t of = 1;    ///< parts of the group
};

/// The other ends of a part whose sides are not parallel, in mm as finished; a side that is none of
/// these is as `finished` says.
struct TaperedTo {
    std::optional<double> length_front = {};
    std::optional<double> length_back = {};
    std::optional<double> width_left = {};
    std::optional<double> width_right = {};
};

/// A part on its sheet or board, from the corner nearest the origin. As it lies unturned, its left
/// end is the one nearest the origin and its front is away from it; a turn takes the left end to
/// where the back was. Its better face is up.
struct Placement {
    std::string line = {};
    double x = 0;                  ///< along the sheet's length
    double y = 0;                  ///< along its width
    double length = 0, width = 0;  ///< as it lies
    bool rotated = false;          ///< its own length lies along the sheet's width
    std::optional<int> blank = {}; ///< index into `blanks`, where the plan lists its cuts
    std::optional<Size> finished = {};
    std::optional<PartGrain> grain = {};
    std::optional<std::int64_t> faces = {};   ///< how many show
    std::optional<std::int64_t> section = {}; ///< of a panel that is larger than a sheet, from 1
    std::optional<PlacedEdges> edges = {};
    std::optional<PlacedEdges> joints = {}; ///< what is made at an edge that is a seam, in words
    std::optional<TaperedTo> tapered = {};
    std::optional<MatchPlace> match = {};
    bool dealer_edge_will_do = false; ///< edges that the dealer cut stay as they are
};

/// Along which side of a blank the position of a cut is measured; the saw runs square to it.
enum class CutDirection { length, width };

enum class CutBy { workshop, dealer };

/// Which cut it is, seen from the piece that is cut off: along its longer side, or across it. A
/// trim makes an edge to measure from.
enum class CutKind { trim, rip, crosscut };

/// One cut, in the order in which they are made. It divides a blank into `first`, which is
/// `position` wide, and `second`, which begins where the kerf ends.
struct SheetCut {
    int blank = 0; ///< index into `blanks`, like `first` and `second`
    CutDirection direction = CutDirection::length;
    double position = 0; ///< from the blank's corner nearest the origin: the fence setting
    CutBy by = CutBy::workshop;
    std::optional<int> first = {};  ///< absent: it falls away, as in every trim
    std::optional<int> second = {}; ///< absent: it falls away, or the kerf leaves nothing
    std::optional<CutKind> kind = {};
    std::optional<double> kerf = {};     ///< of the saw that makes it; absent: as the sheet's
    std::optional<double> accuracy = {}; ///< of that saw: a piece may be so much off
    /// Of the workshop's cuts to size: the number, from 1, of the fence setting at which it is
    /// made. Cuts of one kind and position share one over all sheets of a way; settings are made in
    /// order.
    std::optional<int> setting = {};
};

/// A rectangle on the way from the sheet to the parts; the first is the sheet as it is delivered.
struct Blank {
    double x = 0, y = 0;
    double length = 0, width = 0;
    std::string line = {}; ///< the part that it is
    bool offcut = false;   ///< left over
};

struct Offcut {
    double x = 0, y = 0;
    double length = 0, width = 0;
    bool keep = false; ///< large enough to be worth keeping
};

/// One sheet, or several cut alike.
struct SheetPlan {
    std::string material = {}; ///< the role of its first part
    std::string supplier = {}; ///< empty: of the workshop's own
    std::string sku = {};
    std::string offer = {};
    Size sheet = {};
    SheetGrain grain = SheetGrain::none;
    double clean_up = 0; ///< no part reaches nearer to an edge of the sheet
    double kerf = 0;     ///< of the workshop's saw
    std::int64_t copies = 1;
    std::optional<PlanBound> bound = {};
    std::vector<Placement> placements = {};
    std::vector<SheetCut> cuts = {};
    std::vector<Blank> blanks = {};
    std::vector<Offcut> offcuts = {};
    std::string demand = {}; ///< in an estimate: what it meets, "module/id"
};

/// What the saw of a cut takes.
[[nodiscard]] inline double kerf_of(const SheetPlan& plan, const SheetCut& cut) {
    return cut.kerf.value_or(plan.kerf);
}

struct BoardSize {
    double length = 0;
    double width = 0;
    double thickness = 0;
};

/// A part that is as wide and thick as its board.
struct BoardPiece {
    std::string line = {};
    double position = 0; ///< where it begins
    double length = 0;
};

/// A crosscut that the dealer makes, so that the board can be carried.
struct BoardCut {
    double position = 0; ///< from the board's first end
    double kerf = 0;     ///< of his saw
};

/// One board, or several cut alike: into `pieces` by length alone, or into `placements`.
struct BoardPlan {
    std::string material = {};
    std::string supplier = {};
    std::string sku = {};
    std::string offer = {};
    BoardSize board = {};
    bool at_least = false; ///< of random width and length: the least that will do
    double kerf = 0;
    double end_trim = 0;
    std::int64_t copies = 1;
    std::vector<BoardPiece> pieces = {};
    std::optional<double> offcut =
        {};                   ///< length of the end that is left, where it is cut to length
    bool keep_offcut = false; ///< that end is worth keeping
    std::vector<Placement> placements = {};
    std::vector<BoardCut> dealer_cuts = {}; ///< by position, before all other cuts
    std::string demand = {};
};

/// The plans of a way. One list in a document: sheets, boards, lifts, then those of other types,
/// which their modules alone understand. A plan that states a `type` is a lift or of another type;
/// of the rest, one with "sheet", "cuts" or "blanks" is of a sheet, one with "board" or "pieces" of
/// a board.
struct Plans {
    std::vector<SheetPlan> sheets = {};
    std::vector<BoardPlan> boards = {};
    std::vector<LiftPlan> lifts = {};
    std::vector<Json> others = {}; ///< objects

    [[nodiscard]] std::size_t size() const {
        return sheets.size() + boards.size() + lifts.size() + others.size();
    }
    [[nodiscard]] bool empty() const { return size() == 0; }
};

[[nodiscard]] Json to_json(const SheetPlan&);
[[nodiscard]] Json to_json(const BoardPlan&);
[[nodiscard]] Json to_json(const Plans&);

/// Reads a list of plans; `origin` names it in faults.
/// @throws FaultError with every fault: "missing-key", "wrong-type", "unknown-choice".
[[nodiscard]] Plans read_plans(const Json&, const std::string& origin);

} // namespace aumbry::contract
