#include "print/flow.hpp"
#include "print/print.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <map>
#include <set>

namespace aumbry::print {
namespace {

std::string hours_in_words(double minutes) {
    if (minutes <= 0) return "";
    if (minutes < 90) return format_number(minutes, 0) + " min";
    return format_trimmed(minutes / 60, 1) + " h";
}

std::string tick_box(const EstimateTask& task) {
    return task.done ? "[ x ]" : "[   ]";
}

/// How many findings the first page holds: a page of them is not read.
constexpr std::size_t on_the_first_page = 5;

const char* signal_word(contract::Severity severity) {
    switch (severity) {
    case contract::Severity::problem:
        return "Problem: ";
    case contract::Severity::warning:
        return "Warning: ";
    case contract::Severity::caution:
        return "Caution: ";
    case contract::Severity::note:
        break;
    }
    return "Note: ";
}

bool is_grave(const EstimateFinding& finding) {
    return finding.severity >= contract::Severity::problem;
}

using Findings = std::vector<const EstimateFinding*>;

/// What is printed where: the gravest first, the others at the step where they matter, those that
/// belong to none beside the steps, notes at the end.
struct Sorted {
    Findings first;
    std::map<std::string, Findings> at_step;
    Findings at_none;
    Findings notes;
    Findings client;
};

Sorted sorted(const Estimate& estimate) {
    Sorted all;
    // A problem is settled before work begins; of two warnings that without a step comes first,
    // since it stands nowhere else.
    for (const contract::Severity severity :
         {contract::Severity::problem, contract::Severity::warning})
        for (const bool stepless : {true, false})
            for (const EstimateFinding& finding : estimate.findings)
                if (finding.severity == severity && finding.step.empty() == stepless &&
                    all.first.size() < on_the_first_page)
                    all.first.push_back(&finding);
    std::set<std::string> steps;
    for (const EstimateTask& task : estimate.schedule.tasks) steps.insert(task.id);
    for (const EstimateFinding& finding : estimate.findings) {
        if (finding.client) all.client.push_back(&finding);
        const bool told =
            std::find(all.first.begin(), all.first.end(), &finding) != all.first.end();
        if (steps.contains(finding.step))
            all.at_step[finding.step].push_back(&finding);
        else if (finding.severity == contract::Severity::note)
            all.notes.push_back(&finding);
        else if (!told)
            all.at_none.push_back(&finding);
    }
    return all;
}

void list(Flow& flow, const std::string& heading, const Findings& findings, bool ticks) {
    if (findings.empty()) return;
    flow.heading(heading);
    for (const EstimateFinding* finding : findings) {
        flow.paragraph((ticks ? "[   ]  " : "") + std::string(signal_word(finding->severity)) +
                           finding->text,
                       2.6, is_grave(*finding));
        flow.skip(0.8);
    }
}

void steps(Flow& flow, const Estimate& estimate, const Sorted& findings) {
    std::vector<std::vector<Cell>> rows;
    for (const EstimateTask* task : tasks_by_date(estimate)) {
        rows.push_back({tick_box(*task),
                        {task->title, task->critical},
                        task->worker,
                        hours_in_words(task->minutes),
                        hours_in_words(task->wait_minutes),
                        format_date(task->start) + ' ' + hour_of(*task),
                        format_date(task->latest_finish)});
        const auto here = findings.at_step.find(task->id);
        if (here == findings.at_step.end()) continue;
        for (const EstimateFinding* finding : here->second)
            rows.push_back({"[   ]",
                            {signal_word(finding->severity) + finding->text, is_grave(*finding)},
                            "",
                            "",
                            "",
                            "",
                            ""});
    }
    if (rows.empty()) return;
    flow.heading("Steps in order");
    flow.paragraph("What has no time to spare is in bold. A wait is time in which nobody works on "
                   "it: varnish and glue dry through the night. Under a step stands what to mind "
                   "at it: tick it when it is done.",
                   2.4);
    flow.table({{"", 10},
                {"step", flow.width() - 10 - 24 - 14 - 14 - 30 - 22},
                {"who", 24},
                {"work", 14, true},
                {"wait", 14, true},
                {"begins", 30, true},
                {"done by", 22, true}},
               rows);
}

/// Steps of finishing alone, flat parts among them, with the day on which the next coat or the next
/// handling is due. What takes no time is no coat: something only has to be there by then.
void coats(Flow& flow, const Estimate& estimate) {
    std::vector<std::vector<Cell>> rows;
    for (const EstimateTask* dated : tasks_by_date(estimate)) {
        const EstimateTask& task = *dated;
        const bool coats =
            task.phase == contract::Phase::prefinish || task.phase == contract::Phase::finish;
        if (!coats || task.minutes <= 0) continue;
        std::string pieces;
        for (const std::string& piece : task.pieces) {
            const auto part = std::find_if(estimate.by_piece.begin(), estimate.by_piece.end(),
                                           [&](const Part& each) { return each.id == piece; });
            pieces += (pieces.empty() ? "" : ", ") +
                      (part == estimate.by_piece.end() ? piece : part->title);
        }
        rows.push_back({tick_box(task),
                        {task.title, true},
                        pieces,
                        hours_in_words(task.minutes),
                        hours_in_words(task.wait_minutes),
                        format_date(task.start),
                        format_date(task.finish)});
    }
    if (rows.empty()) return;
    flow.heading("Coatings");
    flow.paragraph("Follow the tin and its safety data sheet: they know the product, this page "
                   "knows only the plan. Air the room, keep flames and sparks away, and lay rags "
                   "with oil out flat in the open or drown them in water: heaped up they can set "
                   "themselves on fire.");
    flow.table({{"", 10},
                {"coat", (flow.width() - 92) * 0.6},
                {"piece", (flow.width() - 92) * 0.4},
                {"work", 16, true},
                {"dries", 16, true},
                {"begin", 25, true},
                {"dry on", 25, true}},
               rows);
}

/// What whoever lives with the piece must know, on a page of its own to be handed over.
std::vector<Page> client_pages(const Estimate& estimate, const Findings& findings) {
    if (findings.empty()) return {};
    const std::string title = "For the client: " + estimate.title;
    Flow flow(title, paper_for(estimate.length_unit));
    flow.title(title);
    flow.paragraph("Please keep this page with the piece and show it to whoever uses it.");
    Findings grave;
    Findings others;
    for (const EstimateFinding* finding : findings)
        (finding->severity == contract::Severity::note ? others : grave).push_back(finding);
    list(flow, "For your safety", grave, false);
    if (!others.empty()) flow.heading("Care");
    for (const EstimateFinding* finding : others) flow.paragraph("-  " + finding->text);
    flow.skip(6);
    flow.paragraph("Explained and handed over on ____________________  by ____________________  "
                   "to ____________________");
    return flow.finish();
}

} // namespace

std::vector<Page> job_pack_pages(const Estimate& estimate, const CutBook& book) {
    const std::string title = "Job pack: " + estimate.title;
    Flow flow(title, paper_for(estimate.length_unit));
    flow.title(title);
    flow.paragraph("Plans and prices of " + format_date(estimate.priced_on) + "; work begins " +
                   format_date(estimate.start) + ", ready " + format_date(estimate.schedule.ready) +
                   ". About " + mass_text(estimate.mass, estimate.length_unit, 0) + " in all.");
    flow.heading("Safety");
    for (const char* sentence :
         {"Machines and dust: guards on, ears, eyes and lungs protected, as the machine's maker "
          "says.",
          "Heavy panels and lifts: two people where a part is marked heavy; never reach under a "
          "panel that nothing but a spring or a stay holds up. The kit maker's instructions come "
          "before this paper.",
          "Walls: find cables and pipes before drilling, and use fixings for the wall that is "
          "there. Local codes and licensed trades decide what you may do yourself."})
        flow.paragraph(std::string("-  ") + sentence);
    const Sorted findings = sorted(estimate);
    const auto grave = std::count_if(estimate.findings.begin(), estimate.findings.end(), is_grave);
    const auto more = grave - static_cast<std::ptrdiff_t>(findings.first.size());
    list(flow, "Watch out", findings.first, false);
    if (more > 0)
        flow.paragraph(std::to_string(more) + " more of this weight stand below, most of them at "
                                              "their step.");
    flow.new_page();
    steps(flow, estimate, findings);
    list(flow, "For the whole job", findings.at_none, true);
    coats(flow, estimate);
    list(flow, "Good to know", findings.notes, false);
    std::vector<Page> pages = flow.finish();
    for (Page& page : client_pages(estimate, findings.client)) pages.push_back(std::move(page));
    for (Figure& figure : cut_figures(book, false)) {
        for (Page& page : figure.pages) pages.push_back(std::move(page));
    }
    number_pages(pages, title);
    // Labels are cut apart: a line at the foot would stand on one.
    for (Page& page : label_pages(book)) pages.push_back(std::move(page));
    return pages;
}

} // namespace aumbry::print
