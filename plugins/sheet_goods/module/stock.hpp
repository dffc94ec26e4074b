// Sheets that can be had: offers of suppliers and what lies in the workshop.
#pragma once

#include "sheet_goods/module/cut_part.hpp"
#include "sheet_goods/module/material.hpp"
#include "sheet_goods/module/shop.hpp"

#include "sheet_goods/engine/cutting.hpp"

#include "aumbry/contract.hpp"

#include <optional>
#include <vector>

namespace aumbry::sheet_goods {

struct Stock {
    const contract::Offer* offer = nullptr;
    double length = 0, width = 0; ///< mm
    Grain grain = Grain::none;
    double clean_up = 0; ///< mm off every edge
    Grades grades;
    std::int64_t cost = 0;       ///< of one sheet, in hundredths, for guidance
    std::int64_t least_cost = 0; ///< the same rounded down, for bounds
    double measure = 0; ///< of one purchase count in the offer's price unit; 0 when priced by count
    std::int64_t pack = 1;             ///< sheets in one purchase count
    std::optional<std::int64_t> limit; ///< sheets
    const contract::CuttingService* cutting = nullptr;
    bool fetched = false; ///< must lie in the vehicle as it is handed over, if it is not delivered
    bool brought = false; ///< the project wants it delivered

    [[nodiscard]] bool owned() const { return offer->owned; }
    /// m2 of one sheet.
    [[nodiscard]] double area() const { return length * width / 1e6; }
};

/// A decimal number; 0 for none, and for what is none.
[[nodiscard]] double amount_of(const std::string& price);
/// What a dealer's cut beyond the free ones adds to the cost of the job.
[[nodiscard]] double cost_of_cut(const contract::CuttingService& cutting);

/// Whether a sheet is fetched and does not lie in the vehicle as it is bought.
[[nodiscard]] bool too_large_to_fetch(const Stock& sheet, const Shop& shop);

/// The offers of class sheet that are good enough for the material, owned first, then by price a
/// square metre. `findings` says which are left out for what they state.
[[nodiscard]] std::vector<Stock> read_stock(const contract::TakeOffRequest& request,
                                            const SheetMaterial& material, const GradeTable& grades,
                                            const Shop& shop,
                                            std::vector<contract::Finding>& findings);

/// Why a part cannot be cut from any of the sheets.
enum class Fit { fits, too_large, against_grain };
[[nodiscard]] Fit fit_of(const CutPart& part, const std::vector<Stock>& stock);
[[nodiscard]] bool fits(const CutPart& part, const Stock& stock);

} // namespace aumbry::sheet_goods
