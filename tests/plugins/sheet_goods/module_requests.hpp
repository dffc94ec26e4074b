// Requests as the host makes them, for tests of the module's face.
#pragma once

#include "sheet_goods/module/sheet_goods.hpp"

#include "aumbry/contract.hpp"

#include <string>
#include <vector>

namespace aumbry::sheet_goods::module_testing {

/// The reference tables of the repository.
[[nodiscard]] Json reference_tables();

/// 18 mm birch BB/BB.
[[nodiscard]] contract::Material birch(Json more = Json::object());
[[nodiscard]] contract::Line panel(std::string id, double length, double width,
                                   std::int64_t count = 1, Json more = Json::object());
/// A birch sheet; `more` are further attributes.
[[nodiscard]] contract::Offer sheet(std::string supplier, std::string sku, double length,
                                    double width, std::string price, Json more = Json::object());
/// A request with the usual workshop: kerf 3.2 mm, clean-up 10 mm, no vehicle.
[[nodiscard]] contract::TakeOffRequest request(std::vector<contract::Line> lines,
                                               std::vector<contract::Offer> offers);

[[nodiscard]] contract::TakeOffReply take_off(const contract::TakeOffRequest& request);
[[nodiscard]] contract::DerivedLine derive(const contract::Line& line,
                                           std::vector<contract::Finding>* findings = nullptr);
/// The finding of a code; a failure of the test when there is none.
[[nodiscard]] contract::Finding finding(const std::vector<contract::Finding>& findings,
                                        const std::string& code);
[[nodiscard]] bool has_finding(const std::vector<contract::Finding>& findings,
                               const std::string& code);
/// The demand of the sheets.
[[nodiscard]] const contract::Demand& sheets_of(const contract::TakeOffReply& reply);

} // namespace aumbry::sheet_goods::module_testing
