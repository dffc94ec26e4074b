// A plan of cutting panels from a choice of sheets, with who makes which cut.
#pragma once

#include "sheet_goods/module/stock.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// What the plan is made under.
struct Terms {
    Shop shop;
    double mass_per_area = 0; ///< kg/m2 of the sheet; 0 when unknown
    bool carried = false;     ///< bought sheets are fetched in the vehicle
    Stop stop;                ///< of the search
};

struct CuttingPlan {
    std::vector<const Stock*> stock;          ///< indexed by SheetPlan::format
    std::vector<CutPart> parts;               ///< indexed by Placement::part
    double kerf = 0;                          ///< mm
    Plan plan;                                ///< on the grid of 1/8000 mm
    std::vector<std::vector<bool>> by_dealer; ///< for each of plan.sheets, for each of its cuts

    [[nodiscard]] std::int64_t sheets_of(const Stock& sheet) const;
    /// Purchase counts of an offer: whole packs.
    [[nodiscard]] std::int64_t count_of(const Stock& sheet) const;
    /// All cuts of a supplier's service, and those beyond the ones free with the sheets.
    [[nodiscard]] std::int64_t dealer_cuts(const std::string& supplier) const;
    [[nodiscard]] std::int64_t paid_cuts(const std::string& supplier) const;
    /// Listed price of sheets and cuts in hundredths; for choosing what to look at, never for
    /// money.
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

/// The kerf of a plan: the workshop's or, where a dealer divides and that takes more, his kerf, his
/// inaccuracy and what is taken off both edges that he cut.
[[nodiscard]] double plan_kerf(const std::vector<const Stock*>& stock, const Terms& terms);

/// Plans the panels on the sheets; none when they do not all find room. A plan given to start from
/// is never made worse.
[[nodiscard]] std::optional<CuttingPlan> plan_cutting(const std::vector<Panel>& panels,
                                                      const std::vector<const Stock*>& stock,
                                                      const Terms& terms, Effort effort,
                                                      const CuttingPlan* start = nullptr);

/// The same plan on sheets of the same size from elsewhere.
[[nodiscard]] CuttingPlan on_stock(CuttingPlan plan, const std::vector<const Stock*>& stock,
                                   const Terms& terms);

} // namespace aumbry::sheet_goods
