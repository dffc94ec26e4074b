#include "print/label_sheet.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <array>

namespace aumbry::print {
namespace {

constexpr double inch = 25.4;

/// Labels of one size in the middle of the paper, `gap_x` apart.
LabelSheet centred(std::string name, Paper paper, int across, int down, double width, double height,
                   double gap_x) {
    LabelSheet sheet{std::move(name), paper, across, down, width, height};
    sheet.gap_x = gap_x;
    sheet.left = (paper.width - across * width - (across - 1) * gap_x) / 2;
    sheet.top = (paper.height - down * height) / 2;
    return sheet;
}

const std::array<LabelSheet, 9>& all_sheets() {
    static const std::array<LabelSheet, 9> sheets{
        centred("a4-2x4", a4, 2, 4, 99.1, 67.7, 2.5),
        centred("a4-2x7", a4, 2, 7, 99.1, 38.1, 2.5),
        centred("a4-3x7", a4, 3, 7, 63.5, 38.1, 2.5),
        centred("a4-3x8", a4, 3, 8, 70, 36, 0),
        centred("letter-2x3", letter, 2, 3, 4 * inch, 10 * inch / 3, 0.19 * inch),
        centred("letter-2x5", letter, 2, 5, 4 * inch, 2 * inch, 0.19 * inch),
        centred("letter-2x7", letter, 2, 7, 4 * inch, 4 * inch / 3, 0.19 * inch),
        centred("letter-3x10", letter, 3, 10, 2.625 * inch, inch, 0.125 * inch),
        LabelSheet{"single", {100, 62}, 1, 1, 100, 62, 0, 0, 0, 0, 2}};
    return sheets;
}

} // namespace

Box LabelSheet::place(int index) const {
    const int column = index % across;
    const int row = index / across;
    return {left + column * (width + gap_x), top + row * (height + gap_y), width, height};
}

void LabelSheet::check() const {
    const auto refuse = [&](const std::string& wrong, const std::string& right) {
        fail("bad-label-sheet", {}, "the labels do not fit the paper: " + wrong, right);
    };
    if (across < 1 || down < 1 || count() > 1000)
        refuse("there are " + std::to_string(across) + " by " + std::to_string(down) + " of them",
               "give whole numbers from 1 on");
    if (width < 30 || height < 15)
        refuse("one is smaller than 30 x 15 mm", "what a label says needs that much");
    if (left < 0 || top < 0 || gap_x < 0 || gap_y < 0)
        refuse("a distance is below zero", "give margins and gaps of 0 or more");
    const Box last = place(count() - 1);
    const auto over = [&](double reach, double room, const char* what, const char* keys) {
        // Half a millimetre: sheets are sold in rounded sizes.
        if (reach > room + 0.5)
            refuse(std::string(what) + " they take " + format_trimmed(reach, 1) + " of " +
                       format_trimmed(room, 1) + " mm",
                   std::string("make ") + keys + " smaller");
    };
    over(last.right(), paper.width, "across,", "width, left margin or gap");
    over(last.bottom(), paper.height, "down,", "height, top margin or gap");
}

std::span<const LabelSheet> label_sheets() {
    return all_sheets();
}

LabelSheet label_sheet(std::string_view name) {
    std::string names;
    for (const LabelSheet& sheet : all_sheets()) {
        if (sheet.name == name) return sheet;
        names += (names.empty() ? "" : ", ") + sheet.name;
    }
    fail("unknown-label-sheet", {}, "there is no sheet of labels '" + std::string(name) + "'",
         "choose one of " + names + ", or give across, down, width and height");
}

LabelSheet usual_label_sheet(std::string_view length_unit) {
    return label_sheet(length_unit == "in" ? "letter-2x7" : "a4-2x7");
}

} // namespace aumbry::print
