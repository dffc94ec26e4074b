#include "sheet_goods/module/panel.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace aumbry::sheet_goods {

namespace {

using Point = std::array<double, 2>; // along the length, along the width

Treatment treatment_named(const std::string& name) {
    static constexpr std::array<std::pair<const char*, Treatment>, 5> names{
        {{"raw", Treatment::raw},
         {"rounded", Treatment::rounded},
         {"banded", Treatment::banded},
         {"lipped", Treatment::lipped},
         {"scribed", Treatment::scribed}}};
    for (const auto& [known, treatment] : names) {
        if (name == known) return treatment;
    }
    return Treatment::raw;
}

/// Usual thicknesses where neither line nor material states one: iron-on veneer 0.5 mm, sold as
/// 0.02 in where lengths are in inches, lipping 6 mm (common practice).
double usual_thickness(Treatment treatment, const std::string& unit) {
    if (treatment == Treatment::banded) return unit == "in" ? 0.508 : 0.5;
    return treatment == Treatment::lipped ? 6 : 0;
}

/// What the edge does not say of its banding, the material does.
Edge read_edge(const Json& record, const contract::Line& line, const Shop& shop) {
    Edge edge;
    edge.treatment = treatment_named(text(record, "treatment", "raw"));
    edge.edging = text(record, "edging", text(line, "material.edging", ""));
    if (edge.treatment == Treatment::banded || edge.treatment == Treatment::lipped) {
        const double usual = usual_thickness(edge.treatment, shop.unit);
        edge.thickness = number(record, "thickness",
                                edge.treatment == Treatment::banded
                                    ? number(line, "material.edging_thickness", usual)
                                    : usual);
        edge.overhang = number(record, "overhang", 0);
    }
    edge.allowance =
        number(record, "allowance", edge.treatment == Treatment::scribed ? shop.scribe : 0);
    return edge;
}

const Json* record_at(const contract::Line& line, const char* name) {
    const Json* record = find_value(line, name);
    return record != nullptr && !record->is_null() ? record : nullptr;
}

ShelfLoad read_load(const Json& record, const Panel& panel, const Shop& shop) {
    ShelfLoad load;
    load.mass = number(record, "mass", 0);
    load.own_mass = flag(record, "own_mass", true);
    load.span = number(record, "span", panel.length);
    load.depth = number(record, "depth", std::min(panel.width, panel.width_right));
    load.creep = number(record, "creep", shop.creep);
    load.support = support_named(text(record, "support", "both ends"));
    load.limit = number(record, "limit", shop.sag_ratio * load.span);
    return load;
}

std::array<Point, 4> corners_of(const Panel& panel) {
    return {{{0, 0}, {panel.length, 0}, {panel.length_back, panel.width_right}, {0, panel.width}}};
}

/// The part of a shape on one side of a line square to an axis (Sutherland and Hodgman 1974).
std::vector<Point> clipped(const std::vector<Point>& shape, std::size_t axis, double at,
                           bool keep_above) {
    std::vector<Point> kept;
    const auto inside = [&](const Point& p) { return keep_above ? p[axis] >= at : p[axis] <= at; };
    for (std::size_t i = 0; i < shape.size(); ++i) {
        const Point& from = shape[i];
        const Point& to = shape[(i + 1) % shape.size()];
        if (inside(from)) kept.push_back(from);
        if (inside(from) != inside(to)) {
            const double share = (at - from[axis]) / (to[axis] - from[axis]);
            kept.push_back(
                {from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])});
        }
    }
    return kept;
}

/// Seam positions along one axis with both ends; `seam[i]` is the index of the seam at the far end
/// of stretch i, none at the last.
struct Stretches {
    std::vector<double> at;
    std::vector<std::optional<std::size_t>> seam;
};

Stretches stretches_of(const Panel& panel, bool along_length) {
    const double end = along_length ? panel.outer().length : panel.outer().width;
    std::vector<std::pair<double, std::size_t>> seams;
    for (std::size_t i = 0; i < panel.seams.size(); ++i) {
        if (panel.seams[i].along_length == along_length) seams.emplace_back(panel.seams[i].at, i);
    }
    std::sort(seams.begin(), seams.end());
    seams.erase(std::unique(seams.begin(), seams.end(),
                            [](const auto& a, const auto& b) { return a.first == b.first; }),
                seams.end());
    Stretches stretches;
    stretches.at.push_back(0);
    for (const auto& [at, seam] : seams) {
        stretches.at.push_back(at);
        stretches.seam.emplace_back(seam);
    }
    stretches.at.push_back(end);
    stretches.seam.emplace_back(std::nullopt);
    return stretches;
}

/// Where the straight lines through `a` and `b` and through `c` and `d` meet.
Point crossing(const Point& a, const Point& b, const Point& c, const Point& d) {
    const double turn = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0]);
    const double share = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / turn;
    return {a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])};
}

/// The sides of what lies between `low` and `high`: the panel's own where no seam bounds it.
std::array<double, 4> side_lengths(const Panel& panel, const Point& low, const Point& high) {
    const auto [front_left, front_right, back_right, back_left] = corners_of(panel);
    using Line = std::array<Point, 2>;
    const Line at_front =
        low[1] > 0 ? Line{{{0, low[1]}, {1, low[1]}}} : Line{{front_left, front_right}};
    const Line at_left =
        low[0] > 0 ? Line{{{low[0], 0}, {low[0], 1}}} : Line{{front_left, back_left}};
    const Line at_back = high[1] < panel.outer().width ? Line{{{0, high[1]}, {1, high[1]}}}
                                                       : Line{{back_left, back_right}};
    const Line at_right = high[0] < panel.outer().length ? Line{{{high[0], 0}, {high[0], 1}}}
                                                         : Line{{front_right, back_right}};
    const auto meet = [](const Line& a, const Line& b) { return crossing(a[0], a[1], b[0], b[1]); };
    const Point a = meet(at_front, at_left);
    const Point b = meet(at_front, at_right);
    const Point c = meet(at_back, at_right);
    const Point d = meet(at_back, at_left);
    return {round_to(b[0] - a[0], 4), round_to(c[0] - d[0], 4), round_to(d[1] - a[1], 4),
            round_to(c[1] - b[1], 4)};
}

/// Whether a seam divides the panel.
bool divides(const Seam& seam, const Panel& panel) {
    return seam.at > 0 &&
           seam.at < (seam.along_length ? panel.outer().length : panel.outer().width);
}

/// Gives a section's side to a seam: it is cut to size, and before the seam has what the joint
/// takes from the next section.
void end_at_seam(Section& section, Side side, const Panel& panel, std::optional<std::size_t> seam) {
    if (!seam) return;
    section.edges[side] = Edge();
    section.seams[side] = seam;
    if (side == right || side == back) section.edges[side].allowance = panel.seams[*seam].overlap;
}

} // namespace

PanelSize Panel::outer() const {
    return {std::max(length, length_back), std::max(width, width_right)};
}

double Panel::area() const {
    // The shoelace rule over (0,0), (length,0), (length_back,width_right), (0,width).
    return (length * width_right + length_back * width) / 2 / 1e6;
}

std::array<double, 4> Panel::edge_lengths() const {
    return {length, std::hypot(length_back, width - width_right), width,
            std::hypot(length - length_back, width_right)};
}

Panel read_panel(const contract::Line& line, const Shop& shop) {
    Panel panel;
    panel.line = &line;
    panel.name = display_name(line);
    panel.length = number(line, "length");
    panel.width = number(line, "width");
    panel.length_back = number(line, "length_back", panel.length);
    panel.width_right = number(line, "width_right", panel.width);
    panel.grain = text(line, "grain", "length");
    panel.faces = static_cast<int>(number(line, "faces", 1));
    panel.show_grade = text(line, "show_grade", "");
    panel.match = text(line, "match", "");
    panel.match_place = static_cast<std::int64_t>(number(line, "match_place", 0));
    panel.match_run = text(line, "match_run", panel.grain == "width" ? "width" : "length");
    if (const Json* edges = record_at(line, "edges")) {
        for (std::size_t side = 0; side < side_names.size(); ++side) {
            const auto found = edges->find(side_names[side]);
            if (found != edges->end()) panel.edges[side] = read_edge(*found, line, shop);
        }
    }
    if (const Json* seams = record_at(line, "seams")) {
        for (const Json& record : *seams) {
            Seam seam;
            seam.at = number(record, "at", 0);
            seam.along_length = text(record, "along", "length") == "length";
            seam.joint = text(record, "joint", "butt");
            seam.overlap = number(record, "overlap", 0);
            seam.cover_strip = flag(record, "cover_strip", false);
            (divides(seam, panel) ? panel.seams : panel.stray_seams).push_back(std::move(seam));
        }
    }
    if (const Json* load = record_at(line, "load")) panel.load = read_load(*load, panel, shop);
    return panel;
}

PanelSize cut_size(const PanelSize& finished, const Edges& edges) {
    return {round_to(finished.length + edges[left].left_on() + edges[right].left_on(), 4),
            round_to(finished.width + edges[front].left_on() + edges[back].left_on(), 4)};
}

std::vector<Section> sections_of(const Panel& panel) {
    const Stretches along = stretches_of(panel, true);
    const Stretches across = stretches_of(panel, false);
    const auto corners = corners_of(panel);
    const std::vector<Point> whole(corners.begin(), corners.end());
    std::vector<Section> sections;
    for (std::size_t y = 0; y + 1 < across.at.size(); ++y) {
        for (std::size_t x = 0; x + 1 < along.at.size(); ++x) {
            std::vector<Point> shape =
                clipped(clipped(whole, 0, along.at[x], true), 0, along.at[x + 1], false);
            shape = clipped(clipped(shape, 1, across.at[y], true), 1, across.at[y + 1], false);
            if (shape.empty()) continue;
            Section section;
            const auto extent = [&](std::size_t axis) {
                const auto [low, high] = std::minmax_element(
                    shape.begin(), shape.end(),
                    [&](const Point& a, const Point& b) { return a[axis] < b[axis]; });
                return round_to((*high)[axis] - (*low)[axis], 4);
            };
            section.finished = {extent(0), extent(1)};
            if (section.finished.length <= 0 || section.finished.width <= 0) continue;
            section.edges = panel.edges;
            section.sides = side_lengths(panel, {along.at[x], across.at[y]},
                                         {along.at[x + 1], across.at[y + 1]});
            if (x > 0) end_at_seam(section, left, panel, along.seam[x - 1]);
            end_at_seam(section, right, panel, along.seam[x]);
            if (y > 0) end_at_seam(section, front, panel, across.seam[y - 1]);
            end_at_seam(section, back, panel, across.seam[y]);
            section.cut = cut_size(section.finished, section.edges);
            section.number = static_cast<std::int64_t>(sections.size()) + 1;
            sections.push_back(section);
        }
    }
    if (sections.size() == 1) sections.front().number = 0;
    return sections;
}

std::string joint_text(const Section& section, Side side, const Panel& panel,
                       const std::string& unit) {
    if (!section.seams[side]) return "";
    const Seam& seam = panel.seams[*section.seams[side]];
    const bool before = side == right || side == back;
    const std::string reach = length_text(seam.overlap, unit);
    std::string made = seam.joint + " joint";
    if (seam.joint == "dowel") made = "dowelled";
    if (seam.joint == "spline") made = "groove for a spline";
    if (seam.joint == "tongue") made = before ? "tongue of " + reach : "groove " + reach + " deep";
    if (seam.joint == "lap") {
        const Json& material = panel.line->material->attributes;
        const double thickness =
            number(material, "true_thickness", number(material, "thickness", 0));
        made = "lap of " + reach + ", ";
        made +=
            thickness > 0 ? length_text(thickness / 2, unit) : std::string("half the thickness");
        made += before ? " left at the face" : " left at the back";
    }
    return made + (seam.cover_strip ? ", a strip over it" : "");
}

} // namespace aumbry::sheet_goods
