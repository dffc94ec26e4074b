#include "cli/commands.hpp"

#include "aumbry/job_record.hpp"
#include "aumbry/resolve.hpp"
#include "aumbry/save_file.hpp"

#include <optional>

namespace aumbry::cli {

namespace {

struct RecordOptions {
    ProjectOptions project;
    std::string supplier;
    std::string state;
    std::string on;
    std::string arrives;
    std::string amount;
    std::string step;
    std::string hours;
    std::string who = "maker";
    bool done = false;
};

std::optional<Date> date_of(const char* option, const std::string& text) {
    if (text.empty()) return std::nullopt;
    return read_option(option, [&] { return parse_date(text); });
}

OrderNews order_news(const RecordOptions& asked, const Currency& currency) {
    OrderNews news;
    news.supplier = asked.supplier;
    news.state = asked.state == "cut"        ? Progress::cut
                 : asked.state == "received" ? Progress::received
                                             : Progress::ordered;
    news.on = date_of("--on", asked.on);
    news.arrives = date_of("--arrives", asked.arrives);
    if (!asked.amount.empty())
        news.amount = read_option("--amount", [&] { return Money::parse(asked.amount, currency); });
    return news;
}

/// The document with what happened, and that in words.
std::pair<Json, std::string> recorded(const RecordOptions& asked, const Json& document,
                                      const Estimate& now) {
    if (!asked.supplier.empty()) {
        const OrderNews news = order_news(asked, now.currency);
        return {record_order(document, now, news),
                asked.supplier + ": " + std::string(word_of(news.state))};
    }
    return {
        record_work(document, now,
                    {asked.step, asked.hours, asked.who, date_of("--on", asked.on), asked.done}),
        asked.step + ": " + asked.hours + (asked.done ? ", done" : "")};
}

int record(const RecordOptions& asked) {
    // What is priced, what is recorded into and what is replaced are the same bytes.
    const std::string& file = asked.project.project;
    const std::string before = read_file(file);
    const Opened opened(before, asked.project);
    const Estimate now = opened.session.price(opened.project, estimate_options(asked.project));
    // The file's own document: neither stock files nor an alternative's changes are written into
    // it.
    const auto [document, said] = recorded(asked, read_project(before, file).document, now);
    // Nothing is written that could not be read again.
    const std::string after = pretty(document);
    (void)resolve(Session::with_text(after, file, asked.project.alternative), opened.session.host(),
                  opened.session.catalog().tables(), asked.project.effort);
    replace_file(file, before, after);
    print("Recorded in " + file + ": " + said + ".\n");
    return fine;
}

} // namespace

void add_record(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<RecordOptions>();
    CLI::App& command =
        *app.add_subcommand("record", "What is ordered, received, cut or worked, into the project");
    add_project(command, options->project);
    CLI::Option* supplier =
        command.add_option("--supplier", options->supplier, "Whose order it is about");
    command.add_option("--state", options->state, "How far it is")
        ->check(CLI::IsMember({"ordered", "received", "cut"}))
        ->needs(supplier);
    supplier->needs("--state");
    command.add_option("--amount", options->amount, "What is asked for it, without tax")
        ->needs(supplier);
    command.add_option("--arrives", options->arrives, "The day promised")->needs(supplier);
    CLI::Option* step = command.add_option("--step", options->step,
                                           "The step or task worked on, as plan --json names it");
    step->excludes(supplier);
    CLI::Option* hours = command.add_option("--hours", options->hours, "Time, as '3.5 h'");
    hours->needs(step);
    step->needs(hours);
    command.add_option("--who", options->who, "Who worked, as under people")->needs(step);
    command.add_flag("--done", options->done, "Nothing of the step is left")->needs(step);
    command.add_option("--on", options->on, "The day, as 2027-03-10");
    commands.on(command, [options] {
        if (options->supplier.empty() && options->step.empty())
            throw CLI::RequiredError("--supplier with --state, or --step with --hours");
        return record(*options);
    });
}

} // namespace aumbry::cli
