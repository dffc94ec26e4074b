#include "sheet_goods/module/cut_part.hpp"

#include "aumbry/grid.hpp"

#include <algorithm>

namespace aumbry::sheet_goods {

namespace {

Turn turn_of(const Panel& panel) {
    if (panel.grain == "any") return Turn::free;
    return panel.grain == "width" ? Turn::across_grain : Turn::with_grain;
}

/// The lines of one match group in the order in which their parts lie.
std::vector<const Panel*> group_of(const std::vector<Panel>& panels, const std::string& match) {
    std::vector<const Panel*> group;
    for (const Panel& panel : panels) {
        if (panel.match == match) group.push_back(&panel);
    }
    std::stable_sort(group.begin(), group.end(), [](const Panel* a, const Panel* b) {
        return a->match_place < b->match_place;
    });
    return group;
}

void say(std::vector<contract::Finding>& findings, const Panel& panel, std::string text) {
    findings.push_back(
        {contract::Severity::caution, "match-group-unequal", panel.line->id, std::move(text)});
}

/// What parts of a group must have in common; a part that has not is cut by itself.
bool belongs(const Panel& panel, const Panel& first, std::vector<contract::Finding>& findings) {
    if (!panel.seams.empty()) {
        say(findings, panel,
            panel.name + " has a seam and cannot be part of match group '" + panel.match +
                "'; it is cut by itself.");
        return false;
    }
    if (panel.grain != first.grain || panel.match_run != first.match_run) {
        say(findings, panel,
            panel.name + " does not lie like " + first.name + " of match group '" + panel.match +
                "'; give both the same grain and the same way to follow, or take one out. It is "
                "cut by itself.");
        return false;
    }
    return true;
}

CutPart compound_of(const std::vector<const Panel*>& parts, double kerf) {
    CutPart compound;
    const Panel& first = *parts.front();
    compound.along_length = first.match_run == "length";
    compound.turn = turn_of(first);
    // Added up on the grid, so that the parts make up the compound to the step.
    GridLength at = 0;
    double& across = compound.along_length ? compound.size.width : compound.size.length;
    for (const Panel* part : parts) {
        Member member{part, sections_of(*part).front()};
        const PanelSize& cut = member.section.cut;
        at += to_grid(compound.along_length ? cut.length : cut.width) + to_grid(kerf);
        across = std::max(across, compound.along_length ? cut.width : cut.length);
        compound.members.push_back(std::move(member));
    }
    (compound.along_length ? compound.size.length : compound.size.width) =
        to_mm(at - to_grid(kerf));
    compound.name = parts.size() > 1 ? "match group '" + first.match + "'" : first.name;
    return compound;
}

void add_group(const std::vector<const Panel*>& group, double kerf, std::vector<CutPart>& parts) {
    const bool equal = std::all_of(group.begin(), group.end(), [&](const Panel* panel) {
        return panel->line->count == group.front()->line->count;
    });
    if (group.size() > 1 && equal) {
        parts.push_back(compound_of(group, kerf));
        parts.back().count = group.front()->line->count;
        return;
    }
    std::vector<const Panel*> all;
    for (const Panel* panel : group)
        all.insert(all.end(), static_cast<std::size_t>(panel->line->count), panel);
    parts.push_back(compound_of(all, kerf));
}

void add_single(const Panel& panel, std::vector<CutPart>& parts) {
    for (const Section& section : sections_of(panel)) {
        CutPart part;
        part.members = {{&panel, section}};
        part.size = section.cut;
        part.turn = turn_of(panel);
        part.count = panel.line->count;
        part.name =
            panel.name + (section.number > 0 ? ", section " + std::to_string(section.number) : "");
        parts.push_back(std::move(part));
    }
}

/// A group with more parts than this is no group of parts side by side but a slip of the pen.
constexpr std::int64_t most_in_a_group = 100;

} // namespace

double CutPart::area() const {
    double total = 0;
    for (const Member& member : members)
        total += member.section.cut.length * member.section.cut.width;
    return total / 1e6;
}

std::vector<CutPart> cut_parts(const std::vector<Panel>& panels, double kerf,
                               std::vector<contract::Finding>& findings) {
    std::vector<CutPart> parts;
    std::vector<std::string> done;
    for (const Panel& panel : panels) {
        if (panel.match.empty()) {
            add_single(panel, parts);
            continue;
        }
        if (std::find(done.begin(), done.end(), panel.match) != done.end()) continue;
        done.push_back(panel.match);
        std::vector<const Panel*> group;
        std::int64_t total = 0;
        const std::vector<const Panel*> listed = group_of(panels, panel.match);
        for (const Panel* member : listed) {
            total += std::min(member->line->count, most_in_a_group + 1);
            if (total > most_in_a_group) {
                say(findings, *member,
                    "Match group '" + panel.match + "' has more than " +
                        std::to_string(most_in_a_group) + " parts; " + member->name +
                        " is cut by itself.");
                add_single(*member, parts);
                total -= std::min(member->line->count, most_in_a_group + 1);
            } else if (belongs(*member, *listed.front(), findings)) {
                group.push_back(member);
            } else {
                add_single(*member, parts);
            }
        }
        if (!group.empty()) add_group(group, kerf, parts);
    }
    return parts;
}

Grades wanted_grades(const Panel& panel, const std::string& usual) {
    const std::string& show = panel.show_grade.empty() ? usual : panel.show_grade;
    if (panel.faces == 0) return {};
    return panel.faces == 1 ? Grades{show, ""} : Grades{show, show};
}

} // namespace aumbry::sheet_goods
