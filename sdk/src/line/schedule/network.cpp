#include "line/schedule/network.hpp"

#include "line/recorded/bought.hpp"
#include "line/recorded/worked.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <functional>
#include <set>

namespace aumbry {
namespace {

/// The demands that serve a line.
std::map<std::string, std::vector<std::string>>
demands_by_line(const std::vector<contract::Demand>& demands) {
    std::map<std::string, std::vector<std::string>> by_line;
    for (const contract::Demand& demand : demands) {
        for (const contract::Share& share : demand.shares) by_line[share.line].push_back(demand.id);
    }
    return by_line;
}

void add_once(std::vector<std::string>& list, const std::string& entry) {
    if (std::find(list.begin(), list.end(), entry) == list.end()) list.push_back(entry);
}

NetworkStep from_module(const ModuleStep& module_step,
                        const std::map<std::string, std::string>& piece_of_line) {
    const contract::Step& step = module_step.step;
    NetworkStep made;
    made.id = step.id;
    made.title = step.title;
    made.module = module_step.module;
    made.lines = step.lines;
    std::set<std::string> pieces;
    for (const std::string& line : step.lines) {
        const auto piece = piece_of_line.find(line);
        if (piece != piece_of_line.end() && !piece->second.empty()) pieces.insert(piece->second);
    }
    made.pieces.assign(pieces.begin(), pieces.end());
    made.phase = step.phase;
    made.minutes = step.minutes;
    made.wait_minutes = step.wait_minutes;
    made.people = step.people;
    made.who = {"maker"};
    made.after = step.after;
    made.needs = step.needs;
    return made;
}

/// A coat belongs to the pieces of all parts that carry it: none of them is fitted before.
void belong_to_coated_parts(std::vector<NetworkStep>& steps,
                            const std::vector<ResolvedLine>& lines) {
    for (NetworkStep& step : steps) {
        if (step.phase != contract::Phase::finish || step.pieces.empty()) continue;
        std::set<std::string> pieces(step.pieces.begin(), step.pieces.end());
        for (const ResolvedLine& line : lines) {
            if (std::find(step.lines.begin(), step.lines.end(), line.line.id) == step.lines.end())
                continue;
            for (const contract::Line& part : line.line.references) {
                if (!part.piece.empty()) pieces.insert(part.piece);
            }
        }
        step.pieces.assign(pieces.begin(), pieces.end());
    }
}

NetworkStep from_task(const ProjectTask& task) {
    NetworkStep made;
    made.id = task.id;
    made.title = task.title;
    if (!task.piece.empty()) made.pieces = {task.piece};
    made.phase = task.phase;
    made.minutes = task.minutes;
    made.wait_minutes = task.wait_minutes;
    made.people = std::max(task.people, static_cast<std::int64_t>(task.who.size()));
    made.who = task.who.empty() ? std::vector<std::string>{"maker"} : task.who;
    made.rate = task.rate;
    made.not_before = task.not_before;
    return made;
}

/// The phase in which each step stands: its own, or the later one of what it says that it comes
/// after.
std::map<std::string, contract::Phase> phases_of(const std::vector<NetworkStep>& steps) {
    std::map<std::string, const NetworkStep*> by_id;
    for (const NetworkStep& step : steps) by_id.emplace(step.id, &step);
    std::map<std::string, contract::Phase> phases;
    const std::function<contract::Phase(const NetworkStep&)> phase_of =
        [&](const NetworkStep& step) {
            const auto [at, first] = phases.emplace(step.id, step.phase);
            if (!first) return at->second; // known, or in a loop, which the schedule lists
            contract::Phase phase = step.phase;
            for (const std::string& id : step.after) {
                if (const auto found = by_id.find(id); found != by_id.end())
                    phase = std::max(phase, phase_of(*found->second));
            }
            return phases[step.id] = phase;
        };
    for (const NetworkStep& step : steps) (void)phase_of(step);
    return phases;
}

/// The steps of each piece by phase, as given; a step of the whole job is one of every piece.
using StepsByPhase = std::map<contract::Phase, std::vector<std::string>>;
std::map<std::string, StepsByPhase>
steps_of_pieces(const std::vector<NetworkStep>& steps,
                const std::map<std::string, contract::Phase>& phases,
                const std::vector<std::string>& all) {
    std::map<std::string, StepsByPhase> of_pieces;
    for (const NetworkStep& step : steps) {
        for (const std::string& piece : step.pieces.empty() ? all : step.pieces)
            of_pieces[piece][phases.at(step.id)].push_back(step.id);
    }
    return of_pieces;
}

/// All pieces, those of steps that the project does not list among them.
std::vector<std::string> pieces_of(const std::vector<NetworkStep>& steps,
                                   const std::vector<Piece>& listed) {
    std::vector<std::string> all;
    std::set<std::string> named;
    const auto add = [&](const std::string& id) {
        if (named.insert(id).second) all.push_back(id);
    };
    for (const Piece& piece : listed) add(piece.id);
    for (const NetworkStep& step : steps)
        std::for_each(step.pieces.begin(), step.pieces.end(), add);
    if (all.empty()) all.emplace_back();
    return all;
}

/// A step that states nothing waits for those of the nearest earlier phase in each of its pieces;
/// what is earlier still is waited for by those.
void wait_by_phase(std::vector<NetworkStep>& steps, const std::set<std::string>& stated,
                   const std::vector<Piece>& pieces) {
    const std::vector<std::string> all = pieces_of(steps, pieces);
    const std::map<std::string, contract::Phase> phases = phases_of(steps);
    const std::map<std::string, StepsByPhase> of_pieces = steps_of_pieces(steps, phases, all);
    for (NetworkStep& step : steps) {
        if (stated.contains(step.id)) continue;
        std::set<std::string> waited(step.after.begin(), step.after.end());
        for (const std::string& piece : step.pieces.empty() ? all : step.pieces) {
            const StepsByPhase& by_phase = of_pieces.at(piece);
            const auto own = by_phase.find(phases.at(step.id));
            if (own == by_phase.begin()) continue;
            for (const std::string& other : std::prev(own)->second) {
                if (waited.insert(other).second) step.after.push_back(other);
            }
        }
    }
}

/// The lines whose sizes follow from some lines, directly or through others.
std::set<std::string> followers_of(const std::vector<ResolvedLine>& lines,
                                   std::set<std::string> sources) {
    std::set<std::string> followers;
    for (bool changed = true; changed;) {
        changed = false;
        for (const ResolvedLine& line : lines) {
            if (followers.contains(line.line.id)) continue;
            const bool follows =
                std::any_of(line.depends_on.begin(), line.depends_on.end(),
                            [&](const std::string& on) { return sources.contains(on); });
            if (!follows) continue;
            followers.insert(line.line.id);
            sources.insert(line.line.id);
            changed = true;
        }
    }
    return followers;
}

/// What is measured before parts are made by it is in hand first.
void wait_for_measured(std::vector<NetworkStep>& steps, const Resolved& project,
                       const std::vector<contract::Demand>& demands,
                       std::vector<contract::Finding>& findings) {
    for (const contract::Demand& demand : demands) {
        if (!demand.decides_sizes) continue;
        std::set<std::string> measured;
        for (const ResolvedLine& line : project.lines) {
            const bool served =
                std::any_of(demand.shares.begin(), demand.shares.end(),
                            [&](const contract::Share& s) { return s.line == line.line.id; });
            if (served && !line.size_known) measured.insert(line.line.id);
        }
        if (measured.empty()) continue;
        const std::set<std::string> followers = followers_of(project.lines, measured);
        std::set<std::string> held;
        for (NetworkStep& step : steps) {
            if (step.phase != contract::Phase::cut && step.phase != contract::Phase::machine)
                continue;
            bool any = false;
            for (const std::string& line : step.lines) {
                if (!followers.contains(line)) continue;
                held.insert(line);
                any = true;
            }
            if (any) add_once(step.needs, demand.id);
        }
        if (held.empty()) continue;
        findings.push_back(
            {contract::Severity::note, "measured-first", "",
             demand.title + " decides the sizes of " + std::to_string(held.size()) +
                 (held.size() == 1 ? " line" : " lines") + ": nothing of " +
                 (held.size() == 1 ? "it" : "them") +
                 " is cut before it is in hand and measured. \"size_known\": true lifts that."});
    }
}

/// Steps of one title in several pieces say which piece they are of.
void tell_apart(std::vector<NetworkStep>& steps, const std::vector<Piece>& pieces) {
    std::map<std::string, int> count;
    for (const NetworkStep& step : steps) ++count[step.title];
    for (NetworkStep& step : steps) {
        if (count[step.title] < 2 || step.pieces.size() != 1) continue;
        const auto piece = std::find_if(pieces.begin(), pieces.end(), [&](const Piece& each) {
            return each.id == step.pieces.front();
        });
        if (piece != pieces.end())
            step.title += ": " + (piece->title.empty() ? piece->id : piece->title);
    }
}

} // namespace

std::vector<NetworkStep> network_of(const Resolved& project, const std::vector<ModuleStep>& steps,
                                    const std::vector<contract::Demand>& demands,
                                    std::vector<contract::Finding>& findings) {
    std::map<std::string, std::string> piece_of_line;
    for (const ResolvedLine& line : project.lines) piece_of_line[line.line.id] = line.line.piece;
    const auto serving = demands_by_line(demands);

    std::vector<NetworkStep> network;
    for (const ModuleStep& step : steps) network.push_back(from_module(step, piece_of_line));
    belong_to_coated_parts(network, project.lines);
    for (const ProjectTask& task : project.tasks) network.push_back(from_task(task));
    std::set<std::string> ids;
    for (const NetworkStep& step : network) ids.insert(step.id);
    std::set<std::string> demand_ids;
    for (const contract::Demand& demand : demands) demand_ids.insert(demand.id);

    std::set<std::string> stated;
    for (NetworkStep& step : network) {
        // A module may name a step or demand that came to nothing: there is nothing to wait for
        // then.
        std::erase_if(step.after, [&](const std::string& id) { return !ids.contains(id); });
        std::erase_if(step.needs, [&](const std::string& id) { return !demand_ids.contains(id); });
    }
    for (const ProjectTask& task : project.tasks) {
        NetworkStep& step =
            *std::find_if(network.begin(), network.end(), [&](const NetworkStep& s) {
                return s.module.empty() && s.id == task.id;
            });
        for (const std::string& entry : task.after) {
            if (ids.contains(entry)) {
                add_once(step.after, entry);
                stated.insert(step.id);
            } else if (piece_of_line.contains(entry)) {
                if (const auto found = serving.find(entry); found != serving.end()) {
                    for (const std::string& demand : found->second) add_once(step.needs, demand);
                }
            } else {
                std::vector<std::string> names(ids.begin(), ids.end());
                for (const auto& [line, piece] : piece_of_line) names.push_back(line);
                const std::string near = nearest_name(entry, names);
                findings.push_back(
                    {contract::Severity::problem, "unknown-step", "",
                     "The task '" + task.id + "' waits for '" + entry +
                         "', which is no task, step or line; " +
                         (near.empty() ? "take it out" : "did you mean '" + near + "'?")});
            }
        }
    }
    std::stable_sort(network.begin(), network.end(),
                     [](const NetworkStep& a, const NetworkStep& b) { return a.phase < b.phase; });
    wait_by_phase(network, stated, project.pieces);
    wait_for_measured(network, project, demands, findings);
    tell_apart(network, project.pieces);
    return network;
}

namespace {

/// Time on what is no step any more: a cost, and the first thing that was done.
NetworkStep step_of_the_past(const std::string& id, const WorkedOn& worked) {
    NetworkStep past;
    past.id = id;
    past.title = id;
    past.who = {worked.who};
    past.done = true;
    past.worked_minutes = worked.minutes;
    return past;
}

/// What is done holds nothing up; what it waited for and is not done still comes first.
void wait_past_done(std::vector<NetworkStep>& steps,
                    const std::map<std::string, std::vector<std::string>>& done) {
    for (NetworkStep& step : steps) {
        std::vector<std::string> after;
        std::set<std::string> seen;
        const std::function<void(const std::vector<std::string>&)> take =
            [&](const std::vector<std::string>& ids) {
                for (const std::string& id : ids) {
                    if (!seen.insert(id).second) continue;
                    if (const auto found = done.find(id); found != done.end())
                        take(found->second);
                    else
                        after.push_back(id);
                }
            };
        take(step.after);
        step.after = std::move(after);
    }
}

} // namespace

void take_off_worked(const Resolved& project, std::vector<NetworkStep>& steps) {
    std::map<std::string, WorkedOn> worked = worked_by_step(project.worked);
    std::map<std::string, std::vector<std::string>> done; // what each waited for
    for (NetworkStep& step : steps) {
        const auto found = worked.find(step.id);
        if (found == worked.end()) continue;
        const WorkedOn& on = found->second;
        step.worked_minutes = on.minutes;
        step.minutes = minutes_left(step.minutes, step.people, on);
        if (on.done) {
            step.done = true;
            done[step.id] = std::move(step.after);
            step.wait_minutes = 0;
            step.after.clear();
            step.needs.clear();
            step.not_before.reset();
        }
        worked.erase(found);
    }
    // The latest recorded first, as if each had been put before all others.
    std::vector<NetworkStep> past;
    for (const Worked& each : project.worked) {
        const auto found = worked.find(each.step);
        if (found == worked.end()) continue;
        past.insert(past.begin(), step_of_the_past(each.step, found->second));
        worked.erase(found);
    }
    steps.insert(steps.begin(), past.begin(), past.end());
    wait_past_done(steps, done);
}

namespace {

/// Hours on a day on which somebody is said to be there: those of that day, or of the next working
/// day where it has none; eight where there is no working day for years (common practice).
double hours_there(const WorkCalendar& calendar, Date date) {
    try {
        return calendar.hours_on(calendar.next_working(date));
    } catch (const FaultError&) {
        return 8;
    }
}

} // namespace

ScheduleProblem schedule_problem(const Resolved& project, const std::vector<NetworkStep>& steps,
                                 const Arrivals& expected) {
    ScheduleProblem problem;
    problem.start = planned_from(project);
    problem.expected = expected;
    for (const Person& person : project.people) {
        Worker worker;
        worker.name = person.id;
        worker.calendar = person.calendar;
        for (const Date date : person.dates)
            worker.days.push_back({date, hours_there(person.calendar, date)});
        problem.workers.push_back(std::move(worker));
    }
    for (const NetworkStep& step : steps) {
        Task task;
        task.id = step.id;
        task.title = step.title;
        task.pieces = step.pieces;
        // The helper's days decide when several work together; the maker fits in.
        const auto helper = std::find_if(step.who.begin(), step.who.end(),
                                         [](const std::string& id) { return id != "maker"; });
        task.worker = helper == step.who.end() ? "maker" : *helper;
        task.minutes = step.minutes;
        task.wait_minutes = step.wait_minutes;
        task.people = step.who.size() > 1 ? 1 : static_cast<int>(step.people);
        task.after = step.after;
        task.needs = step.needs;
        task.not_before = step.not_before;
        problem.tasks.push_back(std::move(task));
    }
    return problem;
}

} // namespace aumbry
