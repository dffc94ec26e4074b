#include "cli/commands.hpp"
#include "print/print.hpp"

#include "aumbry/quantity.hpp"
#include "aumbry/save_file.hpp"

namespace aumbry::cli {

namespace {

struct LabelsOptions {
    ProjectOptions project;
    PurchaseOptions purchase;
    std::string pdf;
    std::string sheet;
    std::string paper;
    int across = 0;
    int down = 0;
    std::string width;
    std::string height;
    std::string left;
    std::string top;
    std::string gap_x;
    std::string gap_y;
};

std::string names_of_sheets() {
    std::string names;
    for (const print::LabelSheet& sheet : print::label_sheets())
        names += (names.empty() ? "" : ", ") + sheet.name;
    return names;
}

/// The sheet that is asked for: one by name, or the usual one, with the measures that are given.
print::LabelSheet sheet_of(const LabelsOptions& asked, const std::string& length_unit) {
    print::LabelSheet sheet = asked.sheet.empty() ? print::usual_label_sheet(length_unit)
                                                  : print::label_sheet(asked.sheet);
    const auto measure = [](const std::string& text, double& mm) {
        if (!text.empty()) mm = as<Length>(parse_quantity(text)).mm();
    };
    const bool single = sheet.name == "single";
    measure(asked.width, sheet.width);
    measure(asked.height, sheet.height);
    measure(asked.left, sheet.left);
    measure(asked.top, sheet.top);
    measure(asked.gap_x, sheet.gap_x);
    measure(asked.gap_y, sheet.gap_y);
    if (asked.across > 0) sheet.across = asked.across;
    if (asked.down > 0) sheet.down = asked.down;
    if (asked.paper == "A4") sheet.paper = print::a4;
    if (asked.paper == "Letter") sheet.paper = print::letter;
    // One label a page: the page is as large as the label.
    if (single && asked.paper.empty()) sheet.paper = {sheet.width, sheet.height};
    return sheet;
}

} // namespace

void add_labels(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<LabelsOptions>();
    CLI::App& command = *app.add_subcommand("labels", "A label for every part");
    add_project(command, options->project);
    add_purchase(command, options->purchase);
    command.add_option("--pdf", options->pdf, "Where to write them")->required();
    command.add_option("--sheet", options->sheet, "What they are printed on: " + names_of_sheets());
    command.add_option("--paper", options->paper, "Own sheet: A4 or Letter")
        ->check(CLI::IsMember({"A4", "Letter"}));
    command.add_option("--across", options->across, "Own sheet: labels side by side");
    command.add_option("--down", options->down, "Own sheet: labels one below the other");
    command.add_option("--width", options->width, "Own sheet: width of a label, as '64 mm'");
    command.add_option("--height", options->height, "Own sheet: height of a label");
    command.add_option("--left", options->left, "Own sheet: from the paper's edge to the first");
    command.add_option("--top", options->top, "Own sheet: likewise from above");
    command.add_option("--gap-x", options->gap_x, "Own sheet: between labels side by side");
    command.add_option("--gap-y", options->gap_y, "Own sheet: between labels above each other");
    commands.on(command, [options] {
        const print::CutBook book = print::cut_book(priced(options->project, options->purchase));
        save_file(options->pdf,
                  print::to_pdf(print::label_pages(book, sheet_of(*options, book.length_unit)),
                                "Labels: " + book.job, book.made_on));
        return fine;
    });
}

} // namespace aumbry::cli
