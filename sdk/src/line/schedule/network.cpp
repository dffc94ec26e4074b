#include "line/schedule/network.hpp"

#include "line/recorded/bought.hpp"
#include "line/recorded/worked.hpp"

#include "aumbry/rounding.hpp"

#include <algorithm>
#include <functional>
#include <set>

namespace aumbry {

void add_once(std::vector<std::string>& list, const std::string& entry) {
    if (std::find(list.begin(), list.end(), entry) == list.end()) list.push_back(entry);
}

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
    made.measures = step.measures;
    made.rack = step.rack;
    made.operation = step.operation;
    return made;
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

/// What steps touch, each thing by a number: the parts, and every piece as a whole.
class Touching {
  public:
    Touching(const std::vector<NetworkStep>& steps, const Resolved& project)
        : pieces_(pieces_of(steps, project.pieces)) {
        std::set<std::string> cut;
        for (const NetworkStep& step : steps)
            if (step.phase == contract::Phase::cut)
                cut.insert(step.lines.begin(), step.lines.end());
        for (const std::string& piece : pieces_) of_piece_[piece] = {things_++};
        for (const ResolvedLine& line : project.lines) {
            lines_.emplace(line.line.id, &line.line);
            of_piece_.try_emplace(line.line.piece, std::vector<std::size_t>{things_});
            if (of_piece_.at(line.line.piece).front() == things_) ++things_;
            if (!cut.contains(line.line.id)) continue;
            parts_.emplace(line.line.id, things_);
            of_piece_.at(line.line.piece).push_back(things_++);
        }
    }

    [[nodiscard]] std::size_t things() const { return things_; }

    /// Sorted, each once.
    [[nodiscard]] std::vector<std::size_t> touched_by(const NetworkStep& step) const {
        std::vector<std::size_t> touched;
        const std::function<void(const std::string&)> add_piece = [&](const std::string& piece) {
            // A line of no piece is one of the whole job.
            if (piece.empty() && !pieces_.front().empty()) {
                std::for_each(pieces_.begin(), pieces_.end(), add_piece);
                return;
            }
            const auto found = of_piece_.find(piece);
            if (found != of_piece_.end())
                touched.insert(touched.end(), found->second.begin(), found->second.end());
        };
        if (step.lines.empty()) {
            const auto& pieces = step.pieces.empty() ? pieces_ : step.pieces;
            std::for_each(pieces.begin(), pieces.end(), add_piece);
        }
        for (const std::string& id : step.lines) {
            const auto line = lines_.find(id);
            if (line == lines_.end()) continue;
            std::vector<const contract::Line*> parts;
            if (parts_.contains(id)) parts.push_back(line->second);
            for (const contract::Line& named : line->second->references)
                if (parts_.contains(named.id)) parts.push_back(&named);
            if (parts.empty()) {
                add_piece(line->second->piece);
                for (const contract::Line& named : line->second->references) add_piece(named.piece);
            }
            for (const contract::Line* part : parts) {
                if (step.phase >= contract::Phase::carry_in)
                    add_piece(part->piece);
                else
                    touched.push_back(parts_.at(part->id));
            }
        }
        std::sort(touched.begin(), touched.end());
        touched.erase(std::unique(touched.begin(), touched.end()), touched.end());
        return touched;
    }

  private:
    std::vector<std::string> pieces_;
    std::map<std::string, const contract::Line*> lines_;
    std::map<std::string, std::size_t> parts_;
    std::map<std::string, std::vector<std::size_t>> of_piece_; ///< the whole first
    std::size_t things_ = 0;
};

/// A step waits for those of the nearest earlier phase at each part that it touches; what is
/// earlier still is waited for by those.
void wait_by_phase(std::vector<NetworkStep>& steps, const Resolved& project) {
    const std::map<std::string, contract::Phase> phases = phases_of(steps);
    const Touching touching(steps, project);
    std::vector<std::vector<std::size_t>> touched;
    std::vector<std::map<contract::Phase, std::vector<std::string>>> at(touching.things());
    for (const NetworkStep& step : steps) {
        touched.push_back(touching.touched_by(step));
        for (const std::size_t thing : touched.back())
            at[thing][phases.at(step.id)].push_back(step.id);
    }
    for (std::size_t i = 0; i < steps.size(); ++i) {
        std::set<std::string> waited(steps[i].after.begin(), steps[i].after.end());
        for (const std::size_t thing : touched[i]) {
            const auto& by_phase = at[thing];
            const auto own = by_phase.find(phases.at(steps[i].id));
            if (own == by_phase.begin()) continue;
            for (const std::string& other : std::prev(own)->second) {
                if (waited.insert(other).second) steps[i].after.push_back(other);
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
        std::vector<std::string> measuring;
        for (const NetworkStep& step : steps)
            if (std::find(step.measures.begin(), step.measures.end(), demand.id) !=
                step.measures.end())
                measuring.push_back(step.id);
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
            if (!any) continue;
            add_once(step.needs, demand.id);
            for (const std::string& id : measuring) add_once(step.after, id);
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

/// A step for several people has as many of them as there are.
void give_hands(std::vector<NetworkStep>& steps, const Resolved& project,
                std::vector<contract::Finding>& findings) {
    for (NetworkStep& step : steps) {
        for (const Person& person : project.people) {
            if (static_cast<std::int64_t>(step.who.size()) >= step.people) break;
            add_once(step.who, person.id);
        }
        const auto there = static_cast<std::int64_t>(step.who.size());
        if (there >= step.people || step.minutes <= 0) continue;
        findings.push_back({contract::Severity::problem, "too-few-hands",
                            step.lines.empty() ? "" : step.lines.front(),
                            '\'' + step.title + "' is work for " + std::to_string(step.people) +
                                " people, and the project has " +
                                (there == 1 ? "only the maker" : std::to_string(there)) +
                                ": add a helper under \"people\", with the days on which he comes.",
                            step.id});
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
    for (const ProjectTask& task : project.tasks) network.push_back(from_task(task));
    std::set<std::string> ids;
    for (const NetworkStep& step : network) ids.insert(step.id);
    std::set<std::string> demand_ids;
    for (const contract::Demand& demand : demands) demand_ids.insert(demand.id);

    for (NetworkStep& step : network) {
        // A module may name a step or demand that came to nothing: there is nothing to wait for
        // then.
        std::erase_if(step.after, [&](const std::string& id) { return !ids.contains(id); });
        std::erase_if(step.needs, [&](const std::string& id) { return !demand_ids.contains(id); });
    }
    const auto step_called = [&](const std::string& id) -> NetworkStep& {
        return *std::find_if(network.begin(), network.end(),
                             [&](const NetworkStep& step) { return step.id == id; });
    };
    const auto unknown = [&](const ProjectTask& task, const char* says, const std::string& entry,
                             const char* known, bool lines) {
        std::vector<std::string> names(ids.begin(), ids.end());
        if (lines)
            for (const auto& [line, piece] : piece_of_line) names.push_back(line);
        const std::string near = nearest_name(entry, names);
        findings.push_back({contract::Severity::problem, "unknown-step", "",
                            "The task '" + task.id + "' " + says + " '" + entry + "', which is " +
                                known + "; " +
                                (near.empty() ? "take it out" : "did you mean '" + near + "'?"),
                            task.id});
    };
    for (const ProjectTask& task : project.tasks) {
        for (const std::string& entry : task.after) {
            if (ids.contains(entry)) {
                add_once(step_called(task.id).after, entry);
            } else if (piece_of_line.contains(entry)) {
                if (const auto found = serving.find(entry); found != serving.end()) {
                    for (const std::string& demand : found->second)
                        add_once(step_called(task.id).needs, demand);
                }
            } else {
                unknown(task, "waits for", entry, "no task, step or line", true);
            }
        }
        for (const std::string& entry : task.before) {
            if (ids.contains(entry))
                add_once(step_called(entry).after, task.id);
            else
                unknown(task, "comes before", entry, "no task or step", false);
        }
    }
    std::stable_sort(network.begin(), network.end(),
                     [](const NetworkStep& a, const NetworkStep& b) { return a.phase < b.phase; });
    give_hands(network, project, findings);
    wait_by_phase(network, project);
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
    if (const auto rack = project.workshop.find("rack"); rack != project.workshop.end())
        problem.rack = rack->get<double>();
    if (project.site.open || !project.site.dates.empty()) {
        Worker site;
        site.name = "the client's house";
        site.calendar = project.site.open.value_or(WorkCalendar({24, 24, 24, 24, 24, 24, 24}, {}));
        site.day_begins = 0;
        for (const Date date : project.site.dates) site.days.push_back({date, 24});
        problem.site = std::move(site);
    }
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
        task.workers = step.who;
        task.minutes = step.minutes;
        task.wait_minutes = step.wait_minutes;
        task.rack = step.rack;
        task.on_site = step.phase >= contract::Phase::carry_in;
        task.after = step.after;
        task.needs = step.needs;
        task.not_before = step.not_before;
        problem.tasks.push_back(std::move(task));
    }
    return problem;
}

} // namespace aumbry
