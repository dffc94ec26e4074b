#include "line/estimate/not_counted.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry {
namespace {

using contract::Phase;

bool puts_together(const NetworkStep& step) {
    return step.phase >= Phase::assemble && step.phase <= Phase::fasten &&
           (step.minutes > 0 || step.worked_minutes > 0 || step.done);
}

/// Titles of the pieces of several parts that no step puts together.
std::vector<std::string> never_put_together(const Resolved& project, const WorkPlan& work) {
    std::map<std::string, std::int64_t> parts;
    std::set<std::string> cut;
    for (const NetworkStep& step : work.steps)
        if (step.phase == Phase::cut) cut.insert(step.lines.begin(), step.lines.end());
    for (const ResolvedLine& line : project.lines)
        if (cut.contains(line.line.id)) parts[line.line.piece] += line.line.count;
    std::vector<std::string> titles;
    for (const Piece& piece : project.pieces) {
        if (parts[piece.id] < 2) continue;
        const bool together =
            std::any_of(work.steps.begin(), work.steps.end(), [&](const NetworkStep& step) {
                return puts_together(step) &&
                       (step.pieces.empty() || std::find(step.pieces.begin(), step.pieces.end(),
                                                         piece.id) != step.pieces.end());
            });
        if (!together) titles.push_back(piece.title.empty() ? piece.id : piece.title);
    }
    return titles;
}

} // namespace

std::vector<std::string> not_counted(const Resolved& project, const Procurement& bought,
                                     const Followed& followed, const WorkPlan& work) {
    std::vector<std::string> works = followed.not_counted;
    for (const std::string& title : never_put_together(project, work))
        add_once(works, "putting together '" + title + "'");
    const bool fetched = std::any_of(bought.orders.begin(), bought.orders.end(),
                                     [](const SupplierOrder& order) { return order.collected; });
    const bool timed = std::any_of(work.steps.begin(), work.steps.end(), [](const NetworkStep& s) {
        return s.operation == "fetch" && (s.minutes > 0 || s.worked_minutes > 0);
    });
    if (fetched && !timed) add_once(works, "fetching what is collected");
    return works;
}

} // namespace aumbry
