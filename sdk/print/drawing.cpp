#include "print/drawing.hpp"

#include <algorithm>

namespace aumbry::print {

bool overlap(const Box& a, const Box& b) {
    return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

void hatch(Page& page, const Box& box, double spacing, const Stroke& stroke) {
    // Lines x + y = c, on one raster for the whole page.
    const double first = box.x + box.y;
    const double last = box.right() + box.bottom();
    for (auto step = static_cast<int>(first / spacing) + 1; step * spacing < last; ++step) {
        const double c = step * spacing;
        const double x1 = std::max(box.x, c - box.bottom());
        const double x2 = std::min(box.right(), c - box.y);
        if (x2 > x1) page.line(x1, c - x1, x2, c - x2, stroke);
    }
}

void double_arrow(Page& page, const Box& box, bool upright) {
    const Stroke stroke{0.2, 0, {}};
    const double head = 1.0;
    const double half = 0.5;
    if (upright) {
        const double x = box.x + box.width / 2;
        page.line(x, box.y, x, box.bottom(), stroke, "grain");
        for (const double side : {-half, half}) {
            page.line(x, box.y, x + side, box.y + head, stroke);
            page.line(x, box.bottom(), x + side, box.bottom() - head, stroke);
        }
    } else {
        const double y = box.y + box.height / 2;
        page.line(box.x, y, box.right(), y, stroke, "grain");
        for (const double side : {-half, half}) {
            page.line(box.x, y, box.x + head, y + side, stroke);
            page.line(box.right(), y, box.right() - head, y + side, stroke);
        }
    }
}

} // namespace aumbry::print
