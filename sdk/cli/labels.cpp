#include "cli/commands.hpp"
#include "print/print.hpp"

#include "aumbry/save_file.hpp"

namespace aumbry::cli {

namespace {

struct LabelsOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    std::string pdf;
};

} // namespace

void add_labels(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<LabelsOptions>();
    CLI::App& command = *app.add_subcommand("labels", "A label for every part");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command.add_option("--pdf", options->pdf, "Where to write them")->required();
    commands.on(command, [options] {
        const print::CutBook book = print::cut_book(priced(options->project, options->purchase));
        save_file(options->pdf,
                  print::to_pdf(print::label_pages(book), "Labels: " + book.job, book.made_on));
        return fine;
    });
}

} // namespace aumbry::cli
