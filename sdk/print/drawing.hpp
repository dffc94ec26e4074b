// What a page shows, as values: boxes, lines and texts in millimetres from the upper left corner.
// Pages are laid out once and written as SVG or PDF.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace aumbry::print {

/// A sheet of paper, upright, in mm.
struct Paper {
    double width = 0;
    double height = 0;
};
inline constexpr Paper a4{210, 297};         ///< ISO 216
inline constexpr Paper letter{215.9, 279.4}; ///< 8 1/2 x 11 in (ANSI/ASME Y14.1, size A)
/// Letter where lengths are in inches, A4 elsewhere.
[[nodiscard]] constexpr Paper paper_for(std::string_view length_unit) {
    return length_unit == "in" ? letter : a4;
}

struct Box {
    double x = 0, y = 0, width = 0, height = 0;
    [[nodiscard]] double right() const { return x + width; }
    [[nodiscard]] double bottom() const { return y + height; }
};

/// Whether two boxes have more in common than an edge.
[[nodiscard]] bool overlap(const Box& a, const Box& b);

/// A colour, each part from 0 to 1; a number alone is a grey from 0, black, to 1, white.
struct Ink {
    Ink(double grey) : red(grey), green(grey), blue(grey) {}
    Ink(double r, double g, double b) : red(r), green(g), blue(b) {}
    double red = 0, green = 0, blue = 0;
};

/// Grey as in Ink. Dashes are lengths drawn and left out in turn, in mm.
struct Stroke {
    double width = 0.2;
    double grey = 0;
    std::vector<double> dashes;
};

struct BoxMark {
    Box box;
    std::optional<Stroke> outline;
    std::optional<Ink> fill;
    std::string role; ///< "part", "offcut", ...: the class in SVG; empty: decoration
};

struct LineMark {
    double x1 = 0, y1 = 0, x2 = 0, y2 = 0;
    Stroke stroke;
    std::string role;
};

enum class Anchor { left, middle, right };

/// One line of text; x, y is a point of its base line. Turned texts read upwards.
struct TextMark {
    double x = 0, y = 0;
    std::string text;
    double size = 2.6; ///< mm, of the em
    bool bold = false;
    Anchor anchor = Anchor::left;
    bool turned = false;
    double grey = 0;
};

using Mark = std::variant<BoxMark, LineMark, TextMark>;

struct Page {
    double width = a4.width;
    double height = a4.height;
    std::string title;
    std::vector<Mark> marks;

    void box(const Box& box, std::optional<Stroke> outline, std::optional<Ink> fill = {},
             std::string role = {}) {
        marks.emplace_back(BoxMark{box, std::move(outline), fill, std::move(role)});
    }
    void line(double x1, double y1, double x2, double y2, Stroke stroke = {},
              std::string role = {}) {
        marks.emplace_back(LineMark{x1, y1, x2, y2, std::move(stroke), std::move(role)});
    }
    void text(double x, double y, std::string text, double size, bool bold = false,
              Anchor anchor = Anchor::left, double grey = 0) {
        marks.emplace_back(TextMark{x, y, std::move(text), size, bold, anchor, false, grey});
    }
};

/// Fills a box with diagonal lines.
void hatch(Page& page, const Box& box, double spacing, const Stroke& stroke);

/// An arrow with two heads, along the box's longer side, in its middle.
void double_arrow(Page& page, const Box& box, bool upright);

/// Width in mm of a line of text, em size in mm, from a table of a wide sans-serif face: texts that
/// fit by it also fit in narrower faces. The same on every machine, whatever fonts it has.
[[nodiscard]] double text_width(std::string_view text, double size, bool bold = false);

/// The text, cut between characters and ended with an ellipsis where it is wider than `room`.
[[nodiscard]] std::string shortened(std::string_view text, double size, double room,
                                    bool bold = false);

/// Lines no wider than `room`, broken at spaces; a single word that is too wide is shortened.
[[nodiscard]] std::vector<std::string> wrapped(std::string_view text, double size, double room,
                                               bool bold = false);

} // namespace aumbry::print
