#include "print/sheet_drawing.hpp"
#include "print/part_label.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>

namespace aumbry::print {
namespace {

const Stroke sheet_outline{0.35, 0, {}};
const Stroke part_outline{0.15, 0.3, {}};
const Stroke bench_cut{0.12, 0.25, {}};
const Stroke dealer_cut{0.55, 0, {3.2, 0.9, 0.7, 0.9}};
const Stroke keep_hatching{0.1, 0.45, {}};

/// Light enough for black letters, and told apart in grey too.
const std::array<Ink, 6> tints{Ink{0.86, 0.93, 0.97}, Ink{0.98, 0.91, 0.82}, Ink{0.88, 0.95, 0.86},
                               Ink{0.95, 0.87, 0.93}, Ink{0.97, 0.96, 0.82}, Ink{0.88, 0.88, 0.88}};

bool free_of(const Box& box, const std::vector<Box>& taken) {
    return std::none_of(taken.begin(), taken.end(),
                        [&](const Box& other) { return overlap(box, other); });
}

bool within(const Box& inner, const Box& outer) {
    return inner.x >= outer.x && inner.y >= outer.y && inner.right() <= outer.right() &&
           inner.bottom() <= outer.bottom();
}

/// Within two bounds, by the lower one where a sheet is narrower than its number.
double held(double value, double low, double high) {
    return std::max(low, std::min(value, high));
}

Box grown(const Box& box, double by) {
    return {box.x - by, box.y - by, box.width + 2 * by, box.height + 2 * by};
}

/// One edge of a part, drawn just inside it from (x1, y1) to (x2, y2); `in` points into the part.
void draw_edge(Page& page, EdgeLook look, double x1, double y1, double x2, double y2, double in_x,
               double in_y) {
    if (look == EdgeLook::raw) return;
    const auto line = [&](double width, std::vector<double> dashes, const char* role) {
        const double inset = width / 2;
        page.line(x1 + in_x * inset, y1 + in_y * inset, x2 + in_x * inset, y2 + in_y * inset,
                  {width, 0, std::move(dashes)}, role);
    };
    if (look == EdgeLook::treated) return line(0.9, {}, "edge-treated");
    if (look == EdgeLook::rounded) return line(0.7, {1.6, 0.8}, "edge-rounded");
    if (look == EdgeLook::joint) return line(0.5, {0.5, 0.7}, "edge-joint");
    // Scribed: a wave.
    const double length = std::hypot(x2 - x1, y2 - y1);
    const int waves = std::max(2, static_cast<int>(length / 2.4));
    const int steps = waves * 8;
    double last_x = x1;
    double last_y = y1;
    for (int i = 1; i <= steps; ++i) {
        const double along = static_cast<double>(i) / steps;
        const double in = 0.45 * (1 - std::cos(along * waves * 6.283185307179586));
        const double x = x1 + (x2 - x1) * along + in_x * in;
        const double y = y1 + (y2 - y1) * along + in_y * in;
        page.line(last_x, last_y, x, y, {0.3, 0, {}}, i == 1 ? "edge-scribed" : "");
        last_x = x;
        last_y = y;
    }
}

/// Draws numbers and letters where they cover nothing.
class Tags {
  public:
    Tags(Page& page, Box sheet, std::vector<Box>& taken)
        : page_(page), sheet_(sheet), taken_(taken) {}

    /// A number beside its cut, somewhere along it.
    void number(const PlannedCut& cut, double x1, double y1, double x2, double y2) {
        const std::string text = std::to_string(cut.number);
        for (const double size :
             cut.dealer ? std::array{3.2, 2.6, 2.2} : std::array{2.6, 2.3, 1.9}) {
            const Box tag = tag_of(text, size);
            if (along(tag, cut, text, size, x1, y1, x2, y2)) return;
        }
        lead_out(cut, text, 1.9, (x1 + x2) / 2, (y1 + y2) / 2);
    }

    /// A letter within its piece, as near to its upper left corner as there is room.
    void letter(const LetteredPiece& piece, const Box& at) {
        for (const double size :
             piece.handed_over ? std::array{5.0, 3.6, 2.6, 2.2} : std::array{2.9, 2.6, 2.3, 1.9}) {
            const Box tag = tag_of(piece.letter, size);
            const double step = std::max(1.0, size / 2);
            for (double y = at.y + 0.5; y + tag.height + 0.5 <= at.bottom(); y += step) {
                for (double x = at.x + 0.5; x + tag.width + 0.5 <= at.right(); x += step) {
                    const Box box{x, y, tag.width, tag.height};
                    if (!free_of(grown(box, 0.2), taken_)) continue;
                    page_.box(box,
                              piece.handed_over ? std::optional(Stroke{0.3, 0, {}}) : std::nullopt,
                              1.0, "letter");
                    write(box, piece.letter, size, true);
                    return;
                }
            }
        }
    }

  private:
    static Box tag_of(const std::string& text, double size) {
        return {0, 0, text_width(text, size, true) + 0.8, size * 1.2};
    }

    void write(const Box& box, const std::string& text, double size, bool bold) {
        page_.text(box.x + box.width / 2, box.y + size * 0.97, text, size, bold, Anchor::middle);
        taken_.push_back(box);
    }

    void set(const Box& box, const PlannedCut& cut, const std::string& text, double size) {
        page_.box(box, cut.dealer ? std::optional(Stroke{0.25, 0, {}}) : std::nullopt, 1.0,
                  "cut-number");
        write(box, text, size, cut.dealer);
    }

    /// On the line, else close beside it.
    bool along(const Box& tag, const PlannedCut& cut, const std::string& text, double size,
               double x1, double y1, double x2, double y2) {
        const double length = std::hypot(x2 - x1, y2 - y1);
        const double beside = (cut.along ? tag.height : tag.width) / 2 + 0.2;
        for (const double off : {0.0, beside, -beside}) {
            for (int i = 0; i <= 40; ++i) {
                // From the middle outwards, so that numbers stay clear of corners.
                const double share = 0.5 + (i % 2 == 0 ? 1 : -1) * ((i + 1) / 2) * 0.0245;
                const double room = length * std::min(share, 1 - share);
                if (room < (cut.along ? tag.width : tag.height) / 2 && i > 0) continue;
                const double x = x1 + (x2 - x1) * share + (cut.along ? 0 : off);
                const double y = y1 + (y2 - y1) * share + (cut.along ? off : 0);
                Box box{x - tag.width / 2, y - tag.height / 2, tag.width, tag.height};
                box.x = held(box.x, sheet_.x + 0.3, sheet_.right() - box.width - 0.3);
                box.y = held(box.y, sheet_.y + 0.3, sheet_.bottom() - box.height - 0.3);
                if (!free_of(grown(box, 0.15), taken_)) continue;
                set(box, cut, text, size);
                return true;
            }
        }
        return false;
    }

    /// Off its line, joined to it by a thin line; round it in growing rings.
    void lead_out(const PlannedCut& cut, const std::string& text, double size, double x, double y) {
        const Box tag = tag_of(text, size);
        const Box page = grown(sheet_, drawing_margin - 0.3);
        for (double ring = 2; ring < 80; ring += 1) {
            for (int way = 0; way < 16; ++way) {
                const double angle = way * 0.39269908169872414;
                const Box box{x + ring * std::cos(angle) - tag.width / 2,
                              y + ring * std::sin(angle) - tag.height / 2, tag.width, tag.height};
                if (!within(box, page) || !free_of(grown(box, 0.15), taken_)) continue;
                page_.line(x, y, box.x + box.width / 2, box.y + box.height / 2, {0.1, 0.2, {}});
                return set(box, cut, text, size);
            }
        }
    }

    Page& page_;
    Box sheet_;
    std::vector<Box>& taken_;
};

/// A mark of the trade: the tick that points at an edge to measure from.
void reference_mark(Page& page, double x, double y, double in_x, double in_y) {
    const Stroke stroke{0.25, 0, {}};
    const double deep = 1.5;
    const double wide = 0.7;
    page.line(x, y, x + in_x * deep + in_y * wide, y + in_y * deep + in_x * wide, stroke,
              "reference-edge");
    page.line(x, y, x + in_x * deep - in_y * wide, y + in_y * deep - in_x * wide, stroke);
}

/// The drawing of one sheet, layer on layer.
class Drawing {
  public:
    Drawing(Page& page, const CutBook& book, const SheetPage& sheet, double x, double y,
            double scale)
        : page_(page), book_(book), sheet_(sheet), x_(x), y_(y), scale_(scale) {}

    void parts() {
        page_.box(whole(), sheet_outline, 1.0, "sheet");
        for (const contract::Offcut& offcut : sheet_.offcuts) {
            if (!offcut.keep) continue;
            const Box at = box(offcut.x, offcut.y, offcut.length, offcut.width);
            page_.box(at, part_outline, 1.0, "offcut");
            hatch(page_, at, 2.2, keep_hatching);
        }
        for (const PlacedPart& placed : sheet_.placed)
            page_.box(box(placed), part_outline, tint_of(book_, book_.parts[placed.part].piece),
                      "part");
        lines(false);
        for (const PlacedPart& placed : sheet_.placed)
            edges_of_part(page_, box(placed), placed.edges);
        lines(true);
        for (const PlacedPart& placed : sheet_.placed)
            (void)label_part(page_, box(placed), book_.parts[placed.part], book_.length_unit,
                             placed.hand, taken_);
        for (const contract::Offcut& offcut : sheet_.offcuts) {
            if (offcut.keep)
                (void)size_inside(
                    page_, box(offcut.x, offcut.y, offcut.length, offcut.width),
                    "keep " + bare_size(offcut.length, offcut.width, book_.length_unit), taken_);
        }
        letters();
        numbers();
        marks();
    }

    /// What the dealer is to cut, without the parts.
    void dealer_only() {
        page_.box(whole(), sheet_outline, 1.0, "sheet");
        lines(true);
        for (const LetteredPiece& piece : sheet_.pieces) {
            const Box at = box(piece.x, piece.y, piece.length, piece.width);
            const std::string size = bare_size(piece.length, piece.width, book_.length_unit);
            if (!size_inside(page_, at, piece.letter + "   " + size, taken_))
                (void)size_inside(page_, at, piece.letter, taken_);
        }
        numbers();
    }

  private:
    [[nodiscard]] Box box(double x, double y, double length, double width) const {
        return {x_ + x * scale_, y_ + y * scale_, length * scale_, width * scale_};
    }
    [[nodiscard]] Box box(const PlacedPart& placed) const {
        return box(placed.x, placed.y, placed.length, placed.width);
    }
    [[nodiscard]] Box whole() const { return box(0, 0, sheet_.length, sheet_.width); }

    void lines(bool dealer) {
        for (const PlannedCut& cut : sheet_.cuts) {
            if (cut.dealer != dealer) continue;
            page_.line(x_ + cut.x1 * scale_, y_ + cut.y1 * scale_, x_ + cut.x2 * scale_,
                       y_ + cut.y2 * scale_, dealer ? dealer_cut : bench_cut,
                       dealer ? "supplier-cut" : "bench-cut");
        }
    }

    void letters() {
        Tags tags(page_, whole(), taken_);
        for (const bool handed_over : {true, false}) {
            for (const LetteredPiece& piece : sheet_.pieces) {
                if (piece.handed_over == handed_over)
                    tags.letter(piece, box(piece.x, piece.y, piece.length, piece.width));
            }
        }
    }

    /// Short cuts first: they have the fewest places for a number.
    void numbers() {
        Tags tags(page_, whole(), taken_);
        std::vector<std::size_t> order(sheet_.cuts.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        const auto length = [&](std::size_t i) {
            const PlannedCut& cut = sheet_.cuts[i];
            return std::hypot(cut.x2 - cut.x1, cut.y2 - cut.y1);
        };
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t a, std::size_t b) { return length(a) < length(b); });
        for (const std::size_t i : order) {
            const PlannedCut& cut = sheet_.cuts[i];
            tags.number(cut, x_ + cut.x1 * scale_, y_ + cut.y1 * scale_, x_ + cut.x2 * scale_,
                        y_ + cut.y2 * scale_);
        }
    }

    /// Edges to measure from, and faces that show.
    void marks() {
        for (const PlannedCut& cut : sheet_.cuts) {
            if (cut.kind != contract::CutKind::trim) continue;
            const double x = x_ + (cut.x1 + cut.x2) / 2 * scale_;
            const double y = y_ + (cut.y1 + cut.y2) / 2 * scale_;
            for (const double off : {0.0, 4.0, -4.0, 8.0, -8.0}) {
                const double at_x = x + (cut.along ? off : 0);
                const double at_y = y + (cut.along ? 0 : off);
                const Box mark =
                    cut.along ? Box{at_x - 0.8, at_y, 1.6, 1.6} : Box{at_x, at_y - 0.8, 1.6, 1.6};
                if (!free_of(mark, taken_)) continue;
                reference_mark(page_, at_x, at_y, cut.along ? 0 : 1, cut.along ? 1 : 0);
                taken_.push_back(mark);
                break;
            }
        }
        for (const PlacedPart& placed : sheet_.placed) {
            if (book_.parts[placed.part].faces < 1) continue;
            const Box at = box(placed);
            for (const double size : {3.0, 2.0}) {
                const Box mark{at.right() - size - 1.2, at.bottom() - size - 1.3, size * 0.8, size};
                if (size + 2 > at.height || size + 2 > at.width || !free_of(mark, taken_)) continue;
                face_mark(page_, mark.x, mark.y, size);
                taken_.push_back(mark);
                break;
            }
        }
    }

    Page& page_;
    const CutBook& book_;
    const SheetPage& sheet_;
    double x_;
    double y_;
    double scale_;
    std::vector<Box> taken_;
};

} // namespace

Ink tint_of(const CutBook& book, const std::string& piece) {
    std::vector<std::string> pieces;
    for (const BookPart& part : book.parts) {
        if (std::find(pieces.begin(), pieces.end(), part.piece) == pieces.end())
            pieces.push_back(part.piece);
    }
    const auto at = std::find(pieces.begin(), pieces.end(), piece) - pieces.begin();
    return tints[static_cast<std::size_t>(at) % tints.size()];
}

bool size_inside(Page& page, const Box& box, const std::string& text, std::vector<Box>& taken) {
    for (const double size : {3.5, 3.0, 2.6, 2.3, 2.0}) {
        const double width = text_width(text, size);
        const double high = size * 1.2;
        const Box flat{box.x + (box.width - width) / 2, box.y + (box.height - high) / 2, width,
                       high};
        if (width + 1 < box.width && high + 0.6 < box.height && free_of(flat, taken)) {
            page.box(grown(flat, 0.3), {}, 1.0);
            page.text(flat.x, flat.y + size * 0.95, text, size);
            taken.push_back(flat);
            return true;
        }
        const Box tall{box.x + (box.width - high) / 2, box.y + (box.height - width) / 2, high,
                       width};
        if (width + 1 < box.height && high + 0.6 < box.width && free_of(tall, taken)) {
            page.box(grown(tall, 0.3), {}, 1.0);
            TextMark mark{tall.x + size * 0.95, tall.y + width / 2, text, size};
            mark.anchor = Anchor::middle;
            mark.turned = true;
            page.marks.emplace_back(std::move(mark));
            taken.push_back(tall);
            return true;
        }
    }
    return false;
}

void face_mark(Page& page, double x, double y, double size) {
    constexpr std::array<std::array<double, 2>, 8> loop{{{0, 1},
                                                         {0.35, 0.8},
                                                         {0.68, 0.3},
                                                         {0.62, 0.02},
                                                         {0.42, 0.12},
                                                         {0.36, 0.55},
                                                         {0.5, 0.95},
                                                         {0.8, 0.9}}};
    for (std::size_t i = 1; i < loop.size(); ++i)
        page.line(x + loop[i - 1][0] * size, y + loop[i - 1][1] * size, x + loop[i][0] * size,
                  y + loop[i][1] * size, {0.25, 0, {}}, i == 1 ? "face" : "");
}

void edges_of_part(Page& page, const Box& at, const EdgeLooks& edges) {
    draw_edge(page, edges.top, at.x, at.y, at.right(), at.y, 0, 1);
    draw_edge(page, edges.bottom, at.x, at.bottom(), at.right(), at.bottom(), 0, -1);
    draw_edge(page, edges.left, at.x, at.y, at.x, at.bottom(), 1, 0);
    draw_edge(page, edges.right, at.right(), at.y, at.right(), at.bottom(), -1, 0);
}

double draw_sheet(Page& page, const CutBook& book, const SheetPage& sheet, double x, double y,
                  double room, double high, bool dealer_only) {
    const double scale = std::min(room / sheet.length, high / sheet.width);
    Drawing drawing(page, book, sheet, x, y, scale);
    dealer_only ? drawing.dealer_only() : drawing.parts();
    return y + sheet.width * scale;
}

double draw_legend(Page& page, const CutBook& book, const SheetPage& sheet, double left, double y,
                   double room) {
    constexpr double size = 2.8;
    constexpr double line = 4.4;
    double x = left;
    const auto entry = [&](const std::string& text, const auto& sign) {
        const double wide = 9 + text_width(text, size);
        if (x > left && x + wide > left + room) {
            x = left;
            y += line;
        }
        sign(Box{x, y + 0.4, 7.5, 2.6});
        page.text(x + 8.7, y + size, text, size);
        x += wide + 4;
    };
    if (sheet.grain != contract::SheetGrain::none)
        entry("grain of the sheet", [&](const Box& at) {
            const bool upright = sheet.grain == contract::SheetGrain::width;
            double_arrow(page, upright ? Box{at.x + 3, at.y - 0.6, 1.4, 3.8} : at, upright);
        });
    std::vector<std::string> pieces;
    std::array<bool, 5> looks{};
    for (const PlacedPart& placed : sheet.placed) {
        const BookPart& part = book.parts[placed.part];
        for (const EdgeLook look :
             {placed.edges.top, placed.edges.right, placed.edges.bottom, placed.edges.left})
            looks[static_cast<std::size_t>(look)] = true;
        if (std::find(pieces.begin(), pieces.end(), part.piece) != pieces.end()) continue;
        pieces.push_back(part.piece);
        entry(part.piece.empty() ? "whole job" : part.piece,
              [&](const Box& at) { page.box(at, part_outline, tint_of(book, part.piece)); });
    }
    const auto edge = [&](EdgeLook look, const char* text) {
        if (!looks[static_cast<std::size_t>(look)]) return;
        entry(text, [&](const Box& at) {
            draw_edge(page, look, at.x, at.y + 1.3, at.right(), at.y + 1.3, 0, 1);
        });
    };
    edge(EdgeLook::treated, "edge banded or lipped");
    edge(EdgeLook::rounded, "rounded");
    edge(EdgeLook::scribed, "scribed");
    edge(EdgeLook::joint, "seam");
    if (std::any_of(sheet.placed.begin(), sheet.placed.end(),
                    [&](const PlacedPart& placed) { return book.parts[placed.part].faces > 0; }))
        entry("face that shows, up on this drawing",
              [&](const Box& at) { face_mark(page, at.x + 3, at.y - 0.1, 2.8); });
    const auto any_cut = [&](const auto& wanted) {
        return std::any_of(sheet.cuts.begin(), sheet.cuts.end(), wanted);
    };
    if (any_cut([](const PlannedCut& cut) { return cut.kind == contract::CutKind::trim; }))
        entry("edge to measure from",
              [&](const Box& at) { reference_mark(page, at.x + 3.7, at.y + 0.8, 0, 1); });
    if (any_cut([](const PlannedCut& cut) { return cut.dealer; }))
        entry("cut by the supplier", [&](const Box& at) {
            page.line(at.x, at.y + 1.3, at.right(), at.y + 1.3, dealer_cut);
        });
    if (std::any_of(sheet.offcuts.begin(), sheet.offcuts.end(),
                    [](const contract::Offcut& offcut) { return offcut.keep; }))
        entry("worth keeping", [&](const Box& at) {
            page.box(at, part_outline, 1.0);
            hatch(page, at, 2.2, keep_hatching);
        });
    return y + line;
}

} // namespace aumbry::print
