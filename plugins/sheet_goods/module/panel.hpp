// A panel as its line describes it: finished shape, edges, what is cut for it.
#pragma once

#include "sheet_goods/module/sag.hpp"
#include "sheet_goods/module/shop.hpp"

#include "aumbry/contract.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::sheet_goods {

enum class Treatment { raw, rounded, banded, lipped, scribed };

/// One edge of a panel.
struct Edge {
    Treatment treatment = Treatment::raw;
    double thickness = 0; ///< mm of banding or lipping, which is part of the finished size
    double allowance =
        0; ///< mm that the saw leaves on for what follows: scribing, trimming, shooting
    double overhang = 0; ///< mm that banding or lipping stands over all round until it is flushed
    std::string edging;  ///< species of the banding; empty: that of the panel

    /// What the saw leaves beyond the finished size (below zero: it cuts smaller).
    [[nodiscard]] double left_on() const { return allowance - thickness; }
};

/// The edges in the order of their names: front and back run along the length, left and right along
/// the width.
enum Side : std::size_t { front, back, left, right };
inline constexpr std::array<const char*, 4> side_names{"front", "back", "left", "right"};
using Edges = std::array<Edge, 4>;

/// A seam at which a panel too large for a sheet is put together.
struct Seam {
    bool along_length = true; ///< `at` is measured along the length from the left end, else along
                              ///< the width from the front
    double at = 0;            ///< mm
    std::string joint = "butt";
    double overlap = 0; ///< mm that the section before the seam is longer: tongue, lap
    bool cover_strip = false;
};

struct ShelfLoad {
    double mass = 0; ///< kg on the shelf
    bool own_mass = true;
    double span = 0, depth = 0; ///< mm
    double creep = 1;
    double limit = 0; ///< mm
    Support support = Support::both_ends;
};

struct PanelSize {
    double length = 0, width = 0; ///< mm
};

struct Panel {
    const contract::Line* line = nullptr;
    std::string name;
    double length = 0, width = 0; ///< mm, finished: along the front, at the left end
    double length_back = 0; ///< mm, finished, along the back; the left end is square to the front
    double width_right = 0; ///< mm, finished, at the right end
    std::string grain = "length"; ///< "length", "width" or "any"
    int faces = 1;                ///< that show
    std::string
        show_grade; ///< least grade of a face that shows; empty: that of the material's face
    Edges edges;
    std::vector<Seam> seams;       ///< that divide it
    std::vector<Seam> stray_seams; ///< that lie outside it: nothing is made of them
    std::optional<ShelfLoad> load;
    std::string match; ///< group of parts that are cut side by side; empty: none
    std::int64_t match_place = 0;
    std::string
        match_run; ///< "length" or "width": which way the parts of the group follow one another

    [[nodiscard]] bool tapered() const { return length_back != length || width_right != width; }
    /// The rectangle round the finished shape.
    [[nodiscard]] PanelSize outer() const;
    /// m2 of one face as finished.
    [[nodiscard]] double area() const;
    /// mm, as finished, by Side.
    [[nodiscard]] std::array<double, 4> edge_lengths() const;
};

[[nodiscard]] Panel read_panel(const contract::Line& line, const Shop& shop);

/// The blank that is cut for a finished rectangle with these edges.
[[nodiscard]] PanelSize cut_size(const PanelSize& finished, const Edges& edges);

/// A part that is cut in one piece: the whole panel, or what lies between its seams.
struct Section {
    PanelSize finished;
    PanelSize cut;
    Edges edges;
    std::int64_t number = 0;       ///< from 1; 0 when the panel has no seam
    std::array<double, 4> sides{}; ///< mm, finished, by Side; differ where the panel is tapered
    std::array<std::optional<std::size_t>, 4> seams{}; ///< index into Panel::seams, by Side
};

/// Sections from left to right, then from front to back.
[[nodiscard]] std::vector<Section> sections_of(const Panel& panel);

/// What is made at a side of a section that a seam bounds, "lap of 60 mm, 9 mm of the thickness
/// left at the face"; empty at the other sides. A lap is cut from the back before the seam and from
/// the face after it, so that both leave half the thickness (common practice).
[[nodiscard]] std::string joint_text(const Section& section, Side side, const Panel& panel,
                                     const std::string& unit);

} // namespace aumbry::sheet_goods
