// A plan of cutting panels from a choice of sheets, with who makes which cut.
#pragma once

#include "sheet_goods/engine/divisions.hpp"
#include "sheet_goods/engine/true_cuts.hpp"
#include "sheet_goods/module/stock.hpp"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// What the plan is made under.
struct Terms {
    Shop shop;
    double mass_per_area = 0; ///< kg/m2 of the sheet; 0 when unknown
    Stop stop;                ///< of the search
};

/// A part of a plan: a member of one of `CuttingPlan::parts`.
struct MemberAt {
    int part = 0;
    std::size_t member = 0;
};

/// A sheet as the saws cut it; `Blank::part` is an index in `members`.
struct BenchSheet {
    MadeSheet made;
    std::vector<MemberAt> members;
};

/// "draft" and "thorough"; anything else is normal.
[[nodiscard]] Effort effort_named(const std::string& name);

struct CuttingPlan {
    std::vector<const Stock*> stock; ///< indexed by SheetPlan::format
    std::vector<CutPart> parts;      ///< indexed by Placement::part
    double kerf = 0;                 ///< mm between neighbours in `plan`
    Plan plan;                       ///< on the grid of 1/8000 mm
    std::vector<Steps> earlier;      ///< positions: of strips side by side, these first
    std::vector<BenchSheet> bench;   ///< for each of plan.sheets
    [[nodiscard]] const Member& member(const MemberAt& at) const {
        return parts[static_cast<std::size_t>(at.part)].members[at.member];
    }

    /// Whether one of plan.sheets lies in the vehicle as it is handed over, or need not.
    [[nodiscard]] bool fits_vehicle(std::size_t sheet, const Terms& terms) const;
    [[nodiscard]] std::int64_t sheets_of(const Stock& sheet) const;
    /// Purchase counts of an offer: whole packs.
    [[nodiscard]] std::int64_t count_of(const Stock& sheet) const;
    /// All cuts of a supplier's service, and those beyond the ones free with the sheets.
    [[nodiscard]] std::int64_t dealer_cuts(const std::string& supplier) const;
    [[nodiscard]] std::int64_t paid_cuts(const std::string& supplier) const;
    /// What the sheets add to the cost of the job, in hundredths, and the same with the dealer's
    /// cuts; for choosing what to look at, never for money.
    [[nodiscard]] std::int64_t sheets_cost() const;
    [[nodiscard]] std::int64_t listed_cost() const;
    /// m2 of the sheets used.
    [[nodiscard]] double sheet_area() const;
    /// m2 of the blanks of parts.
    [[nodiscard]] double part_area() const;
    /// Suppliers whose service would have to cut a strip narrower than it cuts, waste not counted.
    [[nodiscard]] std::vector<std::string> narrow_strips() const;
};

/// Whether a dealer has to divide a sheet before the workshop gets it: it does not lie in the
/// vehicle, is longer than the longest rip, or heavier than one person lifts.
[[nodiscard]] bool dealer_divides(const Stock& sheet, const Terms& terms);

/// The last of a row is cut to size by a cut of its own: mm that it is wider before.
inline constexpr double to_cut_off = 0.5;

/// Between neighbours in a plan, mm: the workshop's kerf, and half a millimetre so that the last of
/// a row can be cut to size. Where a dealer cuts there is more (`blank_allowance`).
[[nodiscard]] double plan_kerf(const Shop& shop);

/// What decides a plan besides what it costs: two sheets of one key are cut alike.
[[nodiscard]] std::string cutting_key(const Stock& sheet, const Terms& terms);

/// What is taken off the edges of a sheet, mm: at least a kerf, or nothing.
[[nodiscard]] double clean_up_of(const Stock& sheet, const Shop& shop);

/// What a dealer leaves on an edge that he cuts, mm: at least what his saw may be off, or nothing
/// where his edges will do.
[[nodiscard]] double blank_allowance(const contract::CuttingService& cutting, const Shop& shop);

/// What a dealer sets his saw to is a multiple of this, mm: whole millimetres, or eighths of an
/// inch.
[[nodiscard]] double dealer_step(const Shop& shop);

/// How dealers may divide their sheets for the parts of one take-off; worked out once a sheet.
class Divider {
  public:
    /// Nothing for a sheet that stays whole, or that nobody could take away.
    std::span<const Division> divisions(const CuttingPlan& plan, std::size_t sheet,
                                        const Terms& terms);

    /// Of any way to divide a sheet for which divisions() was asked.
    [[nodiscard]] std::int64_t fewest_cuts(const Stock& stock, const Terms& terms) const;

  private:
    struct Known {
        std::vector<Division> divisions;
        std::int64_t fewest_cuts = 0;
    };
    std::map<std::string, Known> known_;
};

/// Plans the panels on the sheets; none when they do not all find room. Beyond a draft, plans that
/// cost the same by list are tried for fewer fence settings in the workshop. A plan given to start
/// from is never made worse.
[[nodiscard]] std::optional<CuttingPlan> plan_cutting(const std::vector<Panel>& panels,
                                                      const std::vector<const Stock*>& stock,
                                                      const Terms& terms, Divider& divider,
                                                      Effort effort,
                                                      const CuttingPlan* start = nullptr);

/// What the sheets of any plan cost at least; the search for it ends when `enough`, in hundredths,
/// is proven. At draft effort by the area of the parts alone.
[[nodiscard]] double least_cost(const std::vector<Panel>& panels, const std::vector<Stock>& stock,
                                const Terms& terms, std::int64_t enough);

/// The same plan on sheets of the same size from elsewhere.
[[nodiscard]] CuttingPlan on_stock(CuttingPlan plan, const std::vector<const Stock*>& stock,
                                   const Terms& terms);

} // namespace aumbry::sheet_goods
