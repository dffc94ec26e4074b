// What the saw takes from a sheet as one rectangle: a part, or parts of a match group side by side.
#pragma once

#include "sheet_goods/module/grades.hpp"
#include "sheet_goods/module/panel.hpp"

#include "sheet_goods/engine/cutting.hpp"

#include <string>
#include <vector>

namespace aumbry::sheet_goods {

/// One part within a cut part.
struct Member {
    const Panel* panel = nullptr;
    Section section;
};

struct CutPart {
    std::vector<Member> members; ///< one, or those of a match group in order
    bool along_length = true;    ///< members follow one another along their length
    PanelSize size;              ///< mm, of the rectangle
    Turn turn = Turn::free;
    std::int64_t count = 1;
    std::string name;

    [[nodiscard]] bool compound() const { return members.size() > 1; }
    /// m2 of the members' blanks, of one.
    [[nodiscard]] double area() const;
};

/// What is cut for the panels with this kerf. A match group of several lines of equal count n is
/// cut as n compounds alike, each with one part of every line; a group of one line, or of lines of
/// unequal count, as one compound of all. `findings` says what of a match group cannot be.
[[nodiscard]] std::vector<CutPart> cut_parts(const std::vector<Panel>& panels, double kerf,
                                             std::vector<contract::Finding>& findings);

/// The grades that a sheet needs for the faces of a panel that show; `usual` where the panel asks
/// for none of its own.
[[nodiscard]] Grades wanted_grades(const Panel& panel, const std::string& usual);

} // namespace aumbry::sheet_goods
