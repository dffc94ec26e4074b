#include "cli/commands.hpp"
#include "print/print.hpp"

#include "aumbry/save_file.hpp"

namespace aumbry::cli {

namespace {

struct JobPackOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    std::string pdf;
};

} // namespace

void add_jobpack(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<JobPackOptions>();
    CLI::App& command = *app.add_subcommand(
        "jobpack", "What the workshop works from: plans, steps, coatings, labels, warnings");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command.add_option("--pdf", options->pdf, "Where to write it")->required();
    commands.on(command, [options] {
        const Estimate result = priced(options->project, options->purchase);
        const print::CutBook book = print::cut_book(result);
        save_file(options->pdf, print::to_pdf(print::job_pack_pages(result, book),
                                              "Job pack: " + book.job, book.made_on));
        return fine;
    });
}

} // namespace aumbry::cli
