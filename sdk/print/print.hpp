// Papers of an estimate: pages, and their bytes as SVG and PDF.
#pragma once

#include "print/cut_book.hpp"
#include "print/drawing.hpp"
#include "print/label_sheet.hpp"

#include "aumbry/estimate.hpp"
#include "aumbry/order.hpp"
#include "aumbry/parts_list.hpp"
#include "aumbry/quote.hpp"

#include <string>
#include <vector>

namespace aumbry::print {

/// One figure of the cut book with the lists that belong to it.
struct Figure {
    std::string name;        ///< of its file, without ending: "sheet-03", "boards-01"
    std::vector<Page> pages; ///< at least one
};

/// One figure a sheet and one a group of boards, to scale, the cautions first. `endless` pages are
/// as long as what they show, for a screen; else lists are carried over to further pages.
[[nodiscard]] std::vector<Figure> cut_figures(const CutBook& book, bool endless);

/// All plans of the cut book, page after page.
[[nodiscard]] std::vector<Page> cut_pages(const CutBook& book);

/// A label for every part in the order of cutting, and one for every offcut that is kept: what it
/// is, its sizes, and a picture of its edges. Text keeps clear of what printers do not reach.
/// @throws FaultError "bad-label-sheet".
[[nodiscard]] std::vector<Page> label_pages(const CutBook& book, const LabelSheet& sheet);
/// The same on the usual sheet.
[[nodiscard]] std::vector<Page> label_pages(const CutBook& book);

/// What a supplier is sent: positions, charges, tax, dates, and the cuts that it makes with their
/// drawings. `maker` stands at the head.
[[nodiscard]] std::vector<Page> order_pages(const OrderHead& head, const Order& order);

/// What has to be fetched where, to tick off.
[[nodiscard]] std::vector<Page> shopping_pages(const OrderHead& head,
                                               const std::vector<Order>& orders);

/// What the client is shown.
[[nodiscard]] std::vector<Page> quote_pages(const Quote& quote, const std::string& length_unit);

/// What the workshop works from: plans, labels, steps in order, coatings with their waits,
/// warnings.
[[nodiscard]] std::vector<Page> job_pack_pages(const Estimate& estimate, const CutBook& book);

/// Text of an SVG 1.1 document; bytes depend on the page alone.
[[nodiscard]] std::string to_svg(const Page& page);

/// Bytes of a PDF; they depend on the pages, the title, the day of making and the machine's fonts.
/// @throws FaultError "bad-drawing".
[[nodiscard]] std::string to_pdf(const std::vector<Page>& pages, const std::string& title,
                                 const std::string& made_on);

/// Bytes of a spreadsheet (Office Open XML, ECMA-376) with one order: positions, charges, tax and a
/// total that the sheet adds up itself. They depend on the order and the day alone.
/// @throws FaultError "bad-spreadsheet".
[[nodiscard]] std::string to_xlsx(const Order& order, const std::string& title,
                                  const std::string& made_on);

/// The same of a parts list: its rows under their headings, sizes as numbers.
/// @throws FaultError "bad-spreadsheet".
[[nodiscard]] std::string to_xlsx(const PartsTable& parts, const std::string& title,
                                  const std::string& made_on);

} // namespace aumbry::print
