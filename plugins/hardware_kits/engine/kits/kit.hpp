// Kit: what is in the box, what is left out and added and why, and what the kit fits.
#pragma once

#include "aumbry/contract.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::hardware_kits {

enum class Hand { either, left, right };

struct KitItem {
    std::string item;
    int count = 0;  ///< in the box, spares included
    int spares = 0; ///< of those, meant as spares
};

/// A part left out (negative) or added (positive), with the reason, which is printed beside it.
struct KitChange {
    std::string item;
    int count = 0;
    std::string reason;
};

/// A range, both ends allowed.
struct Range {
    double min = 0;
    double max = 0;
};

/// What a kit is made for; what is not stated is not checked.
struct KitFit {
    std::optional<Range> mattress_width;     ///< mm
    std::optional<Range> mattress_length;    ///< mm
    std::optional<Range> mattress_thickness; ///< mm
    std::optional<Range> moving_mass;        ///< kg
    std::optional<Range> material_thickness; ///< mm
};

struct Kit {
    std::string name;
    Hand hand = Hand::either;
    std::vector<KitItem> contents;
    std::vector<std::string> bought_besides; ///< what the kit needs and does not hold
    KitFit fit;
};

struct ContentRow {
    std::string item;
    int in_box = 0;
    int spares = 0;
    int change = 0;     ///< added or left out
    int used = 0;       ///< in_box + change
    std::string reason; ///< reasons of the changes, joined
};

/// Contents after the changes; added items that are not in the box follow at the end. Throws
/// FaultError for a change without reason or of nothing, or one that leaves out what is not there.
[[nodiscard]] std::vector<ContentRow> kit_contents(const Kit& kit,
                                                   const std::vector<KitChange>& changes);

/// The mattress, mass and material a kit is asked to carry; what is not known is not checked.
struct KitDuty {
    std::optional<double> mattress_width;     ///< mm
    std::optional<double> mattress_length;    ///< mm
    std::optional<double> mattress_thickness; ///< mm
    std::optional<double> moving_mass;        ///< kg
    std::optional<double> material_thickness; ///< mm
    Hand hand = Hand::either;
};

/// One finding for each thing that does not suit; a note for each stated limit that could not be
/// checked.
[[nodiscard]] std::vector<contract::Finding> kit_fits(const Kit& kit, const KitDuty& duty);

} // namespace aumbry::hardware_kits
