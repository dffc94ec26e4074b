// One sheet on one page: its drawing, its parts and all its cuts.
#pragma once

#include "print/cut_book.hpp"
#include "print/drawing.hpp"
#include "print/flow.hpp"

#include <string>
#include <vector>

namespace aumbry::print {

/// The page of a sheet. Where lists are long they stand in more columns, then beside a smaller
/// drawing, then in smaller letters; a second page is begun only for what no letter that can be
/// read fits on one. An `endless` page is as long as it needs.
[[nodiscard]] std::vector<Page> sheet_pages(const CutBook& book, const SheetPage& sheet,
                                            bool endless);

/// Cuts by setting in two columns, from where the flow is; smaller where the page is short.
void list_cuts(Flow& flow, const CutBook& book, const SheetPage& sheet);

} // namespace aumbry::print
