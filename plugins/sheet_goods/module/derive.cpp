#include "sheet_goods/module/derive.hpp"

#include "sheet_goods/module/edging.hpp"
#include "sheet_goods/module/text.hpp"

#include "aumbry/plugin.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::sheet_goods {

namespace {

using contract::DeriveReply;
using contract::Severity;

/// Standard gravity, CGPM 1901.
constexpr double gravity = 9.80665;

class PanelDeriver {
  public:
    PanelDeriver(const contract::Line& line, const Shop& shop, const Json& tables,
                 DeriveReply& reply)
        : shop_(shop), panel_(read_panel(line, shop)),
          material_(read_material(*line.material, tables)), reply_(reply) {
        values_.line = line.id;
    }

    void derive() {
        sizes();
        mass();
        if (panel_.load) sag();
        check_shape();
        check_groove();
        reply_.lines.push_back(std::move(values_));
    }

  private:
    void find(Severity severity, const char* code, std::string sentence) {
        reply_.findings.push_back({severity, code, panel_.line->id, std::move(sentence)});
    }

    contract::Working& work(const char* value, std::string title, std::string formula,
                            std::string result, std::string source) {
        reply_.workings.push_back({panel_.line->id + '.' + value,
                                   std::move(title),
                                   std::move(formula),
                                   {},
                                   std::move(result),
                                   std::move(source)});
        return reply_.workings.back();
    }

    [[nodiscard]] std::string length(double mm) const { return length_text(mm, shop_.unit); }

    void sizes() {
        const PanelSize outer = panel_.outer();
        const PanelSize cut = cut_size(outer, panel_.edges);
        double edge_length = 0;
        for (const double edge : panel_.edge_lengths()) edge_length += edge;
        const double thickness = material_.part_thickness();
        Json& v = values_.values;
        v["length"] = round_to(outer.length, 4);
        v["width"] = round_to(outer.width, 4);
        v["thickness"] = round_to(thickness, 4);
        v["cut_length"] = cut.length;
        v["cut_width"] = cut.width;
        v["area"] = round_to(panel_.area(), 6);
        v["edge_length"] = round_to(edge_length, 4);
        v["banding"] = round_to(treated_length(panel_, Treatment::banded) * 1000, 4);
        v["volume"] = round_to(panel_.area() * thickness / 1000, 9);
        auto& area =
            work("area", "Area of one face",
                 panel_.tapered() ? "(length x width_right + length_back x width) / 2"
                                  : "length x width",
                 format_trimmed(panel_.area(), 6) + " m2",
                 panel_.tapered() ? "geometry (shoelace rule), the left end square to the front"
                                  : "geometry");
        area.inputs.push_back({"length", length(panel_.length), panel_.line->id + ".length"});
        area.inputs.push_back({"width", length(panel_.width), panel_.line->id + ".width"});
        if (panel_.tapered()) {
            area.inputs.push_back(
                {"length_back", length(panel_.length_back), panel_.line->id + ".length_back"});
            area.inputs.push_back(
                {"width_right", length(panel_.width_right), panel_.line->id + ".width_right"});
        }
        if (cut.length != round_to(outer.length, 4) || cut.width != round_to(outer.width, 4)) {
            auto& blank = work("cut_length", "Blank that is cut",
                               "finished size + allowances - banding and lipping",
                               size_text(cut.length, cut.width, shop_.unit), "common practice");
            blank.inputs.push_back({"finished", size_text(outer.length, outer.width, shop_.unit),
                                    panel_.line->id + ".length"});
            for (std::size_t side = 0; side < side_names.size(); ++side) {
                if (panel_.edges[side].left_on() != 0)
                    blank.inputs.push_back({side_names[side], length(panel_.edges[side].left_on()),
                                            panel_.line->id + ".edges"});
            }
        }
        if (cut.length <= 0 || cut.width <= 0)
            find(Severity::problem, "edges-thicker-than-panel",
                 "The edges of " + panel_.name +
                     " are thicker than the panel is wide: nothing is left to cut.");
    }

    void mass() {
        const auto mass = mass_of(panel_, material_);
        if (!mass) {
            find(Severity::caution, "density-unknown",
                 "The mass of " + panel_.name + " is not known: state the density of material " +
                     material_.role + ".");
            return;
        }
        values_.values["mass"] = *mass;
        auto& working = work("mass", "Mass of one", "area x thickness x density",
                             format_trimmed(*mass, 3) + " kg", material_.density_source);
        working.inputs = {
            {"area", format_trimmed(panel_.area(), 6) + " m2", panel_.line->id + ".area"},
            {"thickness", length(material_.part_thickness()), "material " + material_.role},
            {"density", format_trimmed(*material_.density, 1) + " kg/m3",
             material_.density_source}};
    }

    /// Along the span the panel is as stiff as its grain lies; where that is left open, as stiff as
    /// in the worse case.
    [[nodiscard]] std::optional<double> modulus() const {
        const auto& along = material_.modulus_along;
        const auto& across = material_.modulus_across;
        if (panel_.grain == "length" && along) return along;
        if (panel_.grain == "width" && across) return across;
        if (along && across) return std::min(*along, *across);
        return panel_.grain == "any" && !across ? along : std::nullopt;
    }

    void sag() {
        const ShelfLoad& load = *panel_.load;
        const auto stiffness = modulus();
        if (!stiffness) {
            find(Severity::caution, "modulus-unknown",
                 "How far " + panel_.name +
                     " sags is not known: state modulus_along and modulus_across of material " +
                     material_.role + ".");
            return;
        }
        const double own = load.own_mass ? mass_of(panel_, material_).value_or(0) *
                                               std::min(1.0, load.span / panel_.length)
                                         : 0;
        const Beam beam{(load.mass + own) * gravity, load.span, load.depth,
                        material_.part_thickness(), *stiffness};
        const Deflection at_once = deflection(beam, load.support);
        const double sag = round_to(at_once.total() * load.creep, 4);
        values_.values["sag"] = sag;
        auto& working =
            work("sag", "Sag after long time", "(kb W L^3 / (E I) + ks W L / (G A')) x creep",
                 format_trimmed(sag, 2) + " mm",
                 "Wood Handbook (FPL-GTR-282) eq. 9-2 to 9-4 and table 9-1, G = E / 16; creep: "
                 "common practice");
        working.inputs = {
            {"load",
             format_trimmed(load.mass, 2) + " kg and " + format_trimmed(own, 2) + " kg of its own",
             panel_.line->id + ".load"},
            {"span", length(load.span), panel_.line->id + ".load"},
            {"depth", length(load.depth), panel_.line->id + ".load"},
            {"thickness", length(beam.thickness), "material " + material_.role},
            {"E", format_trimmed(*stiffness, 0) + " N/mm2", material_.modulus_source},
            {"bending", format_trimmed(at_once.bending, 3) + " mm", ""},
            {"shear", format_trimmed(at_once.shear, 3) + " mm", ""},
            {"creep", format_trimmed(load.creep, 2), "common practice"},
            {"limit", format_trimmed(load.limit, 2) + " mm", panel_.line->id + ".load"}};
        if (sag <= load.limit) return;
        // Bending, which is nearly all of it, falls with the cube of the thickness.
        const double thicker = beam.thickness * std::cbrt(sag / load.limit);
        find(sag > 2 * load.limit ? Severity::problem : Severity::caution, "shelf-sags",
             panel_.name + " sags " + length(sag) + " in time, more than the " +
                 length(load.limit) + " allowed: make it about " + length(std::ceil(thicker)) +
                 " thick, shorten the span, lip it or give it a support.");
    }

    void check_shape() {
        for (const Seam& seam : panel_.stray_seams) {
            find(Severity::problem, "seam-outside-panel",
                 "The seam of " + panel_.name + " at " + length(seam.at) +
                     " lies outside the panel and is left out: measure it along the " +
                     (seam.along_length ? "length" : "width") + ".");
        }
        if (panel_.load && panel_.seams.size() > 0) {
            find(Severity::caution, "seam-under-load",
                 panel_.name + " carries a load and has a seam, which the sag does not reckon "
                               "with: put a support under it.");
        }
    }

    /// EN 315:2000 for sanded plywood (from memory), and PS 1-19 where lengths are in inches.
    [[nodiscard]] std::string thickness_tolerance(double nominal) const {
        if (shop_.unit == "in")
            return nominal <= 19.05 ? "1/64 in more or less (PS 1-19, sanded)"
                                    : "3 % more or less (PS 1-19, sanded)";
        return format_trimmed(0.2 + 0.03 * nominal, 2) + " mm more or " +
               format_trimmed(0.4 + 0.03 * nominal, 2) + " mm less (EN 315, sanded plywood)";
    }

    void check_groove() {
        const contract::Line* housed =
            reference(*panel_.line, text(*panel_.line, "groove_for", ""));
        if (housed == nullptr || !housed->material) return;
        const double nominal = number(housed->material->attributes, "thickness", 0);
        const double measured = number(housed->material->attributes, "true_thickness", 0);
        const std::string groove = "the groove in " + panel_.name + " for " + display_name(*housed);
        if (measured <= 0) {
            find(Severity::caution, "groove-by-nominal-thickness",
                 "Measure the sheet before cutting " + groove + ": " + length(nominal) +
                     " is a nominal thickness, which may be " + thickness_tolerance(nominal) + ".");
        } else if (round_to(measured - nominal, 4) != 0) {
            find(Severity::caution, "groove-by-true-thickness",
                 "Cut " + groove + " " + length(measured) + " wide, not " + length(nominal) +
                     ": that is its true thickness.");
        }
    }

    const Shop& shop_;
    Panel panel_;
    SheetMaterial material_;
    DeriveReply& reply_;
    contract::DerivedLine values_;
};

} // namespace

std::optional<double> mass_of(const Panel& panel, const SheetMaterial& material) {
    if (!material.density) return std::nullopt;
    return round_to(panel.area() * material.part_thickness() / 1000 * *material.density, 4);
}

DeriveReply derive_panels(const contract::DeriveRequest& request) {
    DeriveReply reply;
    const Shop shop = read_shop(request.settings);
    for (const contract::Line& line : request.lines) {
        if (line.kind == "panel" && line.material)
            PanelDeriver(line, shop, request.tables, reply).derive();
    }
    return reply;
}

} // namespace aumbry::sheet_goods
