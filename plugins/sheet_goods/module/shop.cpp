#include "sheet_goods/module/shop.hpp"

#include "sheet_goods/module/text.hpp"

#include "aumbry/plugin.hpp"

#include <algorithm>
#include <array>
#include <functional>

namespace aumbry::sheet_goods {

bool Shop::carries(double length, double width) const {
    return !vehicle || carried_in(*vehicle, length, width, 0) == Carried::yes;
}

bool Shop::keeps(double length, double width) const {
    const double longer = std::max(length, width);
    const double shorter = std::min(length, width);
    return (longer >= least_offcut_length && shorter >= least_offcut_width) ||
           (longer * shorter / 1e6 >= least_offcut_area && shorter >= least_offcut_side);
}

std::pair<double, double> Shop::largest_carried() const {
    std::array<double, 3> sides{vehicle->length, vehicle->width, vehicle->height.value_or(0)};
    std::sort(sides.begin(), sides.end(), std::greater<>());
    return {sides[0], sides[1]};
}

Shop read_shop(const contract::Settings& settings) {
    Shop shop;
    shop.kerf = number(settings.workshop, "kerf", shop.kerf);
    shop.clean_up = number(settings.workshop, "clean_up", shop.clean_up);
    shop.longest_rip = stated(settings.workshop, "longest_rip");
    shop.heaviest_blank = stated(settings.workshop, "heaviest_blank");
    shop.longest_alone = number(settings.workshop, "longest_alone", shop.longest_alone);
    shop.largest_alone = number(settings.workshop, "largest_alone", shop.largest_alone);
    const Json& own = settings.module;
    shop.vehicle = vehicle_of(settings.vehicle);
    shop.delivered = text(own, "carriage", "vehicle") == "delivered";
    shop.dealer_edge = number(own, "dealer_edge", shop.dealer_edge);
    shop.least_offcut_length = number(own, "least_offcut_length", shop.least_offcut_length);
    shop.least_offcut_width = number(own, "least_offcut_width", shop.least_offcut_width);
    shop.least_offcut_area = number(own, "least_offcut_area", shop.least_offcut_area);
    shop.least_offcut_side = number(own, "least_offcut_side", shop.least_offcut_side);
    shop.scribe = number(own, "scribe_allowance", shop.scribe);
    shop.creep = number(own, "creep", shop.creep);
    shop.sag_ratio = number(own, "sag_ratio", shop.sag_ratio);
    shop.minutes_a_part = number(own, "minutes_a_part", shop.minutes_a_part);
    shop.minutes_a_setting = number(own, "minutes_a_setting", shop.minutes_a_setting);
    shop.minutes_a_metre_banded =
        number(own, "minutes_a_metre_banded", shop.minutes_a_metre_banded);
    shop.minutes_a_metre_lipped =
        number(own, "minutes_a_metre_lipped", shop.minutes_a_metre_lipped);
    shop.minutes_a_metre_rounded =
        number(own, "minutes_a_metre_rounded", shop.minutes_a_metre_rounded);
    shop.minutes_a_metre_scribed =
        number(own, "minutes_a_metre_scribed", shop.minutes_a_metre_scribed);
    shop.minutes_a_groove = number(own, "minutes_a_groove", shop.minutes_a_groove);
    shop.minutes_a_seam = number(own, "minutes_a_seam", shop.minutes_a_seam);
    shop.minutes_a_mark = number(own, "minutes_a_mark", shop.minutes_a_mark);
    shop.minutes_to_carry_in = number(own, "minutes_to_carry_in", shop.minutes_to_carry_in);
    shop.minutes_to_clear_up = number(own, "minutes_to_clear_up", shop.minutes_to_clear_up);
    shop.minutes_of_snags = number(own, "minutes_of_snags", shop.minutes_of_snags);
    shop.edging_overlength = number(own, "edging_overlength", shop.edging_overlength);
    shop.minutes_a_heavy_sheet = number(own, "minutes_a_heavy_sheet", shop.minutes_a_heavy_sheet);
    shop.unit = settings.length_unit;
    shop.effort = settings.effort;
    return shop;
}

std::vector<contract::Field> setting_fields() {
    const Shop usual;
    const auto mm = [](std::string name, std::string title, std::string help, double fallback) {
        return with_default(
            at_least(quantity_field(std::move(name), "mm", std::move(title), std::move(help)), 0),
            fallback);
    };
    const auto minutes = [](std::string name, std::string title, std::string help,
                            double fallback) {
        return with_default(at_most(at_least(quantity_field(std::move(name), "min",
                                                            std::move(title), std::move(help)),
                                             0),
                                    1000),
                            fallback);
    };
    return {
        with_default(choice_field("carriage", "Carriage", {"vehicle", "delivered"},
                                  "vehicle: sheets are fetched in the project's vehicle, the "
                                  "dealer cuts what does not fit; delivered: they come whole. A "
                                  "material may say its own"),
                     "vehicle"),
        mm("dealer_edge", "Off a dealer's edge",
           "taken off an edge that a dealer cut before it counts as cut; 0: his edges are good "
           "enough",
           usual.dealer_edge),
        mm("least_offcut_length", "Offcut worth keeping, length", "a shorter offcut is waste",
           usual.least_offcut_length),
        mm("least_offcut_width", "Offcut worth keeping, width",
           "a narrower offcut is waste, unless it is large", usual.least_offcut_width),
        with_default(at_least(quantity_field("least_offcut_area", "m2", "Large offcut, area",
                                             "a long and narrow offcut as large as this is worth "
                                             "keeping too (common practice)"),
                              0),
                     usual.least_offcut_area),
        mm("least_offcut_side", "Large offcut, width",
           "a narrower offcut is waste, however large (common practice)", usual.least_offcut_side),
        mm("edging_overlength", "Edging, over at each end",
           "a strip of edging is cut so much longer at each of its ends and trimmed flush (common "
           "practice)",
           usual.edging_overlength),
        mm("scribe_allowance", "Scribing allowance",
           "left on an edge that is scribed to a wall; 5 to 10 mm is common practice",
           usual.scribe),
        with_default(at_most(at_least(number_field("creep", "Creep",
                                                   "a long load sags so many times as far as at "
                                                   "once; 1.5 to 2 is common practice"),
                                      1),
                             10),
                     usual.creep),
        with_default(
            at_most(
                at_least(number_field(
                             "sag_ratio", "Sag allowed",
                             "share of the span that a shelf may sag; 0.003 is usual for joists"),
                         0.0001),
                0.1),
            usual.sag_ratio),
        minutes("minutes_a_part", "Time to cut a part",
                "hands-on, with handling the sheet; common practice", usual.minutes_a_part),
        minutes("minutes_a_mark", "Time to mark a part",
                "its number, face and edges, and where it is joined; common practice",
                usual.minutes_a_mark),
        minutes(
            "minutes_to_carry_in", "Time to carry in a piece",
            "of each who carries, from the vehicle to where it stands; common practice; 0 where "
            "a task of the project counts it",
            usual.minutes_to_carry_in),
        minutes("minutes_to_clear_up", "Time to clear up after a piece",
                "bench and room; common practice; 0 where a task of the project counts it",
                usual.minutes_to_clear_up),
        minutes("minutes_of_snags", "Time for snags of a piece",
                "to put right what is found when it is handed over; common practice; 0 where a "
                "task of the project counts it",
                usual.minutes_of_snags),
        minutes("minutes_a_setting", "Time to set the saw",
                "of one fence setting or stop, with a trial cut; common practice",
                usual.minutes_a_setting),
        minutes("minutes_a_metre_banded", "Time to band a metre", "hands-on; common practice",
                usual.minutes_a_metre_banded),
        minutes("minutes_a_metre_lipped", "Time to lip a metre",
                "hands-on, with flushing; common practice", usual.minutes_a_metre_lipped),
        minutes("minutes_a_metre_rounded", "Time to round a metre",
                "hands-on, with sanding; common practice", usual.minutes_a_metre_rounded),
        minutes("minutes_a_metre_scribed", "Time to scribe a metre",
                "hands-on, at the wall; common practice", usual.minutes_a_metre_scribed),
        minutes("minutes_a_groove", "Time for a groove",
                "hands-on, with a trial cut in waste; common practice", usual.minutes_a_groove),
        minutes("minutes_a_seam", "Time for a seam",
                "hands-on, to join it and clean it up; common practice", usual.minutes_a_seam),
        minutes("minutes_a_heavy_sheet", "Time for a heavy sheet",
                "of each of two people, to bring in and divide a sheet too heavy for one; common "
                "practice",
                usual.minutes_a_heavy_sheet),
    };
}

} // namespace aumbry::sheet_goods
