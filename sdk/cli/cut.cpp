#include "cli/commands.hpp"
#include "print/print.hpp"
#include "views/text_views.hpp"

#include "aumbry/save_file.hpp"

namespace aumbry::cli {

namespace {

struct CutOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    std::string svg;
    std::string pdf;
    bool json = false;
};

int cut(const CutOptions& asked) {
    const Estimate result = priced(asked.project, asked.purchase);
    const print::CutBook book = print::cut_book(result);
    if (!asked.svg.empty()) {
        const std::filesystem::path folder = made_folder(asked.svg);
        for (const print::Figure& figure : print::cut_figures(book, true))
            save_file(folder / (figure.name + ".svg"), print::to_svg(figure.pages.front()));
    }
    if (!asked.pdf.empty())
        save_file(asked.pdf,
                  print::to_pdf(print::cut_pages(book), "Cutting: " + book.job, book.made_on));
    if (asked.json) {
        const Json document = to_json(result);
        print(pretty(Json{{"title", result.title},
                          {"cutting_plans", document["cutting_plans"]},
                          {"board_plans", document["board_plans"]},
                          {"bounds", document["bounds"]}}));
    } else if (asked.svg.empty() && asked.pdf.empty())
        print(views::cut_plans(book, colour()));
    return fine;
}

} // namespace

void add_cut(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<CutOptions>();
    CLI::App& command =
        *app.add_subcommand("cut", "Every sheet and board: parts, cuts in order, what is left");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command.add_option("--svg", options->svg, "Write a drawing (SVG) of each into this folder");
    command.add_option("--pdf", options->pdf, "Write all of them as PDF");
    command.add_flag("--json", options->json, "As JSON");
    commands.on(command, [options] { return cut(*options); });
}

} // namespace aumbry::cli
