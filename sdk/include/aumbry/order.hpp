// Orders: what each supplier is sent. One order a supplier, which is one invoice: amounts, charges
// and tax by rate add up to what the estimate says of it, to the cent (EN 16931: tax is rounded
// once a rate), less what fetching it costs, which is in the estimate and on no invoice.
#pragma once

#include "aumbry/estimate.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// One thing ordered. Its `unit_price` is in the order's currency; `listed_price` as the supplier's
/// list has it, which may be in another.
struct OrderPosition : PurchaseRow {
    int number = 0;                 ///< 1, 2, 3 ...
    std::vector<std::string> lines; ///< titles of what it is for
};

/// What is charged beside the goods.
struct OrderCharge {
    std::string title;
    Money amount;
};

/// A cut that the supplier makes, in order.
struct SupplierCut {
    int number = 0;
    std::string piece;   ///< the letter of what is cut
    std::string cut_off; ///< of what comes off; empty where nothing is kept
    std::string left;    ///< of what is left, likewise
    contract::CutKind kind = contract::CutKind::rip;
    bool across = false;                   ///< across the sheet's length; else along it
    double kerf = 0;                       ///< mm
    double at = 0;                         ///< mm from the near edge of the piece that is cut
    double length = 0;                     ///< mm, of the piece that is cut
    double width = 0;                      ///< mm
    double x1 = 0, y1 = 0, x2 = 0, y2 = 0; ///< the middle of the kerf on the sheet, mm
};

/// A piece that the supplier hands over, mm.
struct SupplierPiece {
    std::string letter;
    double x = 0, y = 0; ///< on the sheet
    double length = 0;
    double width = 0;
};

/// One sheet, or several alike, that the supplier cuts.
struct SupplierSheet {
    std::string sku;
    std::string description;
    std::int64_t copies = 1;
    double length = 0; ///< mm, of the sheet
    double width = 0;
    double clean_up = 0; ///< mm off every edge
    std::string id;      ///< "S3" on the papers of the job
    std::vector<SupplierCut> cuts;
    std::vector<SupplierPiece> pieces; ///< that are handed over
};

struct Order {
    std::string supplier;
    std::string name;
    bool invented = false;
    std::string currency;
    std::vector<OrderPosition> positions;
    std::vector<OrderCharge> charges; ///< cuts, delivery, what makes it up to the minimum order
    Money net;
    std::vector<TaxAtRate> taxes;
    Money tax;
    Money total;      ///< what the supplier asks for
    Money collecting; ///< what fetching it costs the maker, which is on no invoice
    bool collected = false;
    std::int64_t trips = 0;       ///< to fetch it
    double mass = 0;              ///< kg, as far as known
    std::optional<Date> order_by; ///< so that nothing waits for it
    Date in_hand{}; ///< when the supplier's terms have it there, ordered on the start day
    std::optional<Date> needed; ///< the latest day on which nothing waits for it
    std::vector<SupplierSheet> sheets;
};

/// What stands above every order.
struct OrderHead {
    std::string title; ///< of the job
    Currency currency;
    std::string length_unit;
    Date priced_on{};
    Party maker;
};
[[nodiscard]] OrderHead head_of(const Estimate& estimate);

/// The orders of an estimate, by supplier. What is owned is in none. Its plans were checked when
/// the modules gave them, so none is at fault here.
/// @throws FaultError "amount-overflow" of a sum beyond what money holds.
[[nodiscard]] std::vector<Order> orders_of(const Estimate& estimate);

/// `{"title", "currency", "orders": [...]}`.
[[nodiscard]] Json orders_json(const OrderHead& head, const std::vector<Order>& orders);
/// One order as a spreadsheet's rows (RFC 4180): positions, then charges, then tax by rate, then
/// the total; the column `amount` adds up to the row "total".
[[nodiscard]] std::string order_csv(const Order& order);

/// Which of an article is asked for, where the list leaves that open: "2 boards, each at least 150
/// mm wide and 2400 mm long". Empty where nothing is.
[[nodiscard]] std::string wanted_text(const PurchaseRow& purchase);

/// The price of one, in whole minor units; exact where that would lose too much: below one.
/// @throws FaultError "amount-overflow".
[[nodiscard]] std::string price_in_words(const Decimal& price, const Currency& currency);

/// File names for what is sent to the suppliers: their ids with nothing but letters, digits and
/// dashes, no two alike.
[[nodiscard]] std::vector<std::string> file_names_of(const std::vector<Order>& orders);

} // namespace aumbry
