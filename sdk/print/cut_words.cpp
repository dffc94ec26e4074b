#include "print/cut_book.hpp"

#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry::print {
namespace {

/// The edge that is meant where a part is the mirror image of what its line describes.
std::string edge_of_hand(const BookPart& part, const std::string& edge, const std::string& hand) {
    if (part.hand != "pair" || hand != "right") return edge;
    return edge == "left" ? "right" : edge == "right" ? "left" : edge;
}

std::string taper_of_hand(const BookPart& part, const std::string& hand) {
    std::string words;
    for (std::size_t at = 0; at < part.taper.size();) {
        const std::size_t end = std::min(part.taper.find(' ', at), part.taper.size());
        words += edge_of_hand(part, part.taper.substr(at, end - at), hand);
        if (end < part.taper.size()) words += ' ';
        at = end + 1;
    }
    return words;
}

EdgeLook look_of(const std::string& treatment) {
    return treatment == "scribed"   ? EdgeLook::scribed
           : treatment == "rounded" ? EdgeLook::rounded
                                    : EdgeLook::treated;
}

} // namespace

EdgeLooks edge_looks(const BookPart& part, const std::string& hand) {
    EdgeLooks looks;
    const auto set = [&](const std::string& edge, EdgeLook look) {
        const std::string meant = edge_of_hand(part, edge, hand);
        (meant == "front"  ? looks.bottom
         : meant == "back" ? looks.top
         : meant == "left" ? looks.left
                           : looks.right) = look;
    };
    for (const auto& [edge, treatment] : part.edges) set(edge, look_of(treatment));
    for (const auto& [edge, joint] : part.joints) set(edge, EdgeLook::joint);
    return looks;
}

std::vector<std::vector<std::size_t>> settings_of(const SheetPage& sheet) {
    std::vector<std::vector<std::size_t>> settings;
    const auto takes_off = [](const PlannedCut& cut) {
        return cut.kind == contract::CutKind::trim ? cut.setting + cut.kerf : cut.setting;
    };
    for (std::size_t i = 0; i < sheet.cuts.size(); ++i) {
        const PlannedCut& cut = sheet.cuts[i];
        const PlannedCut* last = i > 0 ? &sheet.cuts[i - 1] : nullptr;
        const bool same = last != nullptr && last->dealer == cut.dealer && last->kind == cut.kind &&
                          std::abs(takes_off(*last) - takes_off(cut)) < 0.0005;
        if (!same) settings.emplace_back();
        settings.back().push_back(i);
    }
    return settings;
}

std::string bare_length(double mm, const std::string& unit) {
    if (unit != "in") return format_trimmed(mm, 1);
    std::string text = format_length(Length::mm(mm), LengthUnit::inch);
    text.resize(text.size() - 3); // " in"
    return text;
}

std::string bare_size(double length, double width, const std::string& unit) {
    return bare_length(length, unit) + " x " + bare_length(width, unit);
}

std::string size_with_unit(double length, double width, const std::string& unit) {
    return bare_size(length, width, unit) + (unit == "in" ? " in" : " mm");
}

std::string length_with_unit(double mm, const std::string& unit) {
    return bare_length(mm, unit) + (unit == "in" ? " in" : " mm");
}

std::string kind_in_words(contract::CutKind kind) {
    return kind == contract::CutKind::trim  ? "trim"
           : kind == contract::CutKind::rip ? "rip"
                                            : "crosscut";
}

std::string cut_in_words(const PlannedCut& cut, const std::string& unit) {
    if (cut.kind == contract::CutKind::trim)
        return "trim " + bare_length(cut.setting + cut.kerf, unit) + " off the " +
               (cut.along ? "upper" : "left") + " edge";
    return kind_in_words(cut.kind) + " to " + bare_length(cut.setting, unit) +
           (cut.same_setting ? " (as set)" : "");
}

std::string saws_in_words(const SheetPage& sheet, const std::string& unit) {
    std::string words = "yours takes " + length_with_unit(sheet.kerf, unit) + " a cut";
    if (sheet.dealer_kerf)
        words += ", the supplier's " + length_with_unit(*sheet.dealer_kerf, unit);
    return words;
}

std::string unit_note(const std::string& unit) {
    return unit == "in" ? "All sizes in inches, to the nearest 1/32." : "All sizes in mm.";
}

std::string edges_in_words(const BookPart& part, const std::string& hand) {
    std::string words;
    for (const auto& [edge, treatment] : part.edges)
        words += (words.empty() ? "" : ", ") + edge_of_hand(part, edge, hand) + ' ' + treatment;
    if (part.edges.size() == 4 && std::all_of(part.edges.begin(), part.edges.end(), [&](auto& e) {
            return e.second == part.edges.front().second;
        }))
        words = "all four " + part.edges.front().second;
    for (const auto& [edge, joint] : part.joints)
        words += (words.empty() ? "" : "; ") + edge_of_hand(part, edge, hand) + ": " + joint;
    if (part.taper.empty()) return words;
    return "tapered: " + taper_of_hand(part, hand) + (words.empty() ? "" : "; ") + words;
}

std::string edges_in_words(const BookPart& part) {
    return edges_in_words(part, "");
}

std::string faces_in_words(const BookPart& part) {
    return part.faces == 0   ? "no face shows"
           : part.faces == 1 ? "one face shows"
           : part.faces == 2 ? "both faces show"
                             : "";
}

std::string percent(double share) {
    return format_number(share * 100, 1) + " %";
}

} // namespace aumbry::print
