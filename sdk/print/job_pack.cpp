#include "print/flow.hpp"
#include "print/print.hpp"

#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>

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

void findings(Flow& flow, const Estimate& estimate) {
    if (estimate.findings.empty()) return;
    flow.heading("Watch out");
    for (const EstimateFinding& finding : estimate.findings) {
        const char* word = finding.severity == contract::Severity::problem   ? "Problem: "
                           : finding.severity == contract::Severity::warning ? "Warning: "
                           : finding.severity == contract::Severity::caution ? "Caution: "
                                                                             : "Note: ";
        flow.paragraph(word + finding.text, 2.6, finding.severity >= contract::Severity::problem);
        flow.skip(0.8);
    }
}

void steps(Flow& flow, const Estimate& estimate) {
    std::vector<std::vector<Cell>> rows;
    for (const EstimateTask* task : tasks_by_date(estimate))
        rows.push_back({tick_box(*task),
                        {task->title, task->critical},
                        task->worker,
                        hours_in_words(task->minutes),
                        hours_in_words(task->wait_minutes),
                        format_date(task->start) + ' ' + hour_of(*task),
                        format_date(task->latest_finish)});
    if (rows.empty()) return;
    flow.heading("Steps in order");
    flow.paragraph("What has no time to spare is in bold. A wait is time in which nobody works on "
                   "it: varnish and glue dry through the night.",
                   2.4);
    flow.table({{"", 10},
                {"step", flow.width() - 10 - 34 - 16 - 16 - 32 - 26},
                {"who", 34},
                {"work", 16, true},
                {"wait", 16, true},
                {"begins", 32, true},
                {"done by", 26, true}},
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
    findings(flow, estimate);
    steps(flow, estimate);
    coats(flow, estimate);
    std::vector<Page> pages = flow.finish();
    for (Figure& figure : cut_figures(book, false)) {
        for (Page& page : figure.pages) pages.push_back(std::move(page));
    }
    number_pages(pages, title);
    // Labels are cut apart: a line at the foot would stand on one.
    for (Page& page : label_pages(book)) pages.push_back(std::move(page));
    return pages;
}

} // namespace aumbry::print
