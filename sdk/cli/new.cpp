#include "cli/commands.hpp"
#include "views/text_views.hpp"

#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/new_project.hpp"
#include "aumbry/piece_check.hpp"
#include "aumbry/save_file.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <iostream>
#include <unistd.h>

namespace aumbry::cli {

namespace {

struct NewOptions {
    std::string file;
    NewProject answers;
    std::vector<std::string> catalogs;
    FolderOptions folders;
    std::string piece;
    bool yes = false;
};

/// The day that a clock shows here: the one place where the command asks for it.
Date today() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    localtime_r(&now, &local);
    return make_date(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

/// A file of the user's as a shell says it.
std::string from_home(const std::filesystem::path& file) {
    const char* home = std::getenv("HOME");
    const std::string name = file.string();
    const std::string prefix = std::string(home == nullptr ? "" : home) + '/';
    return prefix.size() > 1 && name.starts_with(prefix) ? "~/" + name.substr(prefix.size()) : name;
}

/// One question on a terminal; Enter takes what stands in brackets.
std::string asked(const std::string& question, const std::string& standard) {
    std::cerr << question << (standard.empty() ? ": " : " [" + standard + "]: ") << std::flush;
    std::string line;
    if (!std::getline(std::cin, line))
        fail("missing-value", {"standard input", "", 0, 0}, "the answers end before the questions",
             "answer on a terminal, or give --yes and options");
    return line.empty() ? standard : line;
}

/// Asks until the answer can be read.
template <class Check>
void ask(std::string& answer, const std::string& question, const std::string& standard,
         const Check& check) {
    for (;;) {
        const std::string said = asked(question, standard);
        try {
            check(said);
            answer = said;
            return;
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults())
                std::cerr << "  " << fault.wrong << (fault.right.empty() ? "" : "; " + fault.right)
                          << '\n';
        }
    }
}

/// What a new project says before anything is asked.
void fill_in(NewProject& answers, const NewProject& kept, const std::string& file) {
    take_kept(answers, kept);
    if (answers.title.empty()) {
        answers.title = std::filesystem::path(file).filename().string();
        answers.title.resize(std::min(answers.title.find(".aumbry.json"), answers.title.size()));
    }
    if (answers.priced_on.empty()) answers.priced_on = format_date(today());
}

/// The answers tried as a project: faults of others are passed over.
auto tried(const NewProject& so_far, std::string NewProject::*which, const std::string& place) {
    return [so_far, which, place](const std::string& said) {
        NewProject attempt = so_far;
        use_usual(attempt);
        attempt.*which = said;
        try {
            (void)new_project(attempt);
        } catch (const FaultError& error) {
            std::vector<Fault> own;
            for (const Fault& fault : error.faults()) {
                if (fault.place.pointer.starts_with(place)) own.push_back(fault);
            }
            if (!own.empty()) throw FaultError(std::move(own));
        }
    };
}

/// The questions whose answers are kept; those answered before, or by options, are not asked.
void ask_maker(NewOptions& options) {
    NewProject& answers = options.answers;
    const auto question = [&](std::string NewProject::*which, const char* place,
                              const std::string& text, const std::string& standard) {
        if ((answers.*which).empty())
            ask(answers.*which, text, standard, tried(answers, which, place));
    };
    question(&NewProject::currency, "currency", "Currency, as EUR or USD", "EUR");
    question(&NewProject::length_unit, "unit", "Sizes in mm or in",
             answers.currency == "USD" ? "in" : "mm");
    const bool inches = answers.length_unit == "in";
    question(&NewProject::rate, "rate", "An hour of your work costs (empty: not reckoned)", "");
    question(&NewProject::helper, "helper",
             "An hour of a second pair of hands, for what one cannot carry (empty: nobody helps)",
             answers.rate);
    question(&NewProject::tax, "tax", "Tax that the client is charged, per cent", "0");
    question(&NewProject::kerf, "kerf", "Width of your saw cut", inches ? "1/8 in" : "3.2 mm");
    const auto vehicle = tried(answers, &NewProject::vehicle, "vehicle");
    if (answers.vehicle.empty())
        ask(answers.vehicle,
            std::string("What lies in your vehicle, length x width, as ") +
                (inches ? "6 ft x 3 ft 6 in" : "1900 mm x 1050 mm") + " (empty: anything)",
            "", [&](const std::string& said) {
                if (!said.empty()) vehicle(said);
            });
    if (options.catalogs.empty()) {
        std::string folder;
        ask(folder, "Folder with your suppliers' price lists (empty: those that are found)", "",
            [](const std::string& said) {
                if (!said.empty() && !std::filesystem::is_directory(said))
                    fail("missing-folder", {}, "there is no such folder", "name one that is there");
            });
        if (!folder.empty()) options.catalogs.push_back(std::filesystem::absolute(folder));
    }
}

void ask_job(NewOptions& options, const PieceLibrary& library) {
    NewProject& answers = options.answers;
    if (answers.wall.empty())
        ask(answers.wall,
            "The wall is of (solid masonry, hollow masonry, concrete, timber studs, metal studs, "
            "plasterboard)",
            "unknown", tried(answers, &NewProject::wall, "wall"));
    if (options.piece.empty())
        ask(options.piece, "First piece, as `aumbry pieces` lists them (empty: none)", "",
            [&](const std::string& said) {
                if (!said.empty()) (void)library.find(said);
            });
}

int make_new(NewOptions options) {
    if (std::filesystem::exists(options.file))
        fail("file-exists", {options.file, "", 0, 0}, "there is such a file already",
             "name another, or add to it: aumbry add " + options.file + " PIECE");
    const bool terminal = isatty(STDIN_FILENO) != 0;
    if (!options.yes && !terminal)
        fail("missing-value", {"standard input", "", 0, 0}, "nobody is there to answer questions",
             "give --yes, and options for what is not as usual");
    const std::filesystem::path kept_in = maker_file();
    const Maker kept = read_maker(kept_in);
    const bool known = !kept.answers.currency.empty();
    fill_in(options.answers, kept.answers, options.file);
    if (options.catalogs.empty()) options.catalogs = kept.catalogs;

    if (!options.yes && !known) ask_maker(options);
    const SessionFolders named{{options.folders.plugins.begin(), options.folders.plugins.end()},
                               {options.catalogs.begin(), options.catalogs.end()}};
    const PieceLibrary library = load_pieces(piece_folders(options.file, named));
    if (!options.yes) ask_job(options, library);
    use_usual(options.answers);

    const Session session(find_folders(options.file, named));
    options.answers.exclude =
        sellers_in_other_currency(session.catalog(), options.answers.currency);
    std::string text;
    try {
        text = new_project(options.answers);
    } catch (const FaultError& error) {
        std::vector<Fault> faults = error.faults();
        for (Fault& fault : faults) {
            std::string option = fault.place.pointer;
            std::replace(option.begin(), option.end(), '_', '-');
            fault.place = {"--" + option, "", 0, 0};
        }
        throw FaultError(std::move(faults));
    }
    if (!options.piece.empty()) {
        const PieceFile& piece = library.find(options.piece);
        const PieceToAdd wanted{free_piece_id(parse_json(text), piece), "", {}, {}};
        text =
            add_piece(text, options.file, piece, wanted, session.host(), session.catalog().tables())
                .with.text;
    }
    save_file(options.file, text);
    if (!kept_in.empty() && !known) {
        keep_maker(kept_in, {options.answers, options.catalogs});
        print("Your answers are kept in " + from_home(kept_in) + " for the next job.\n");
    }
    print(views::new_project_made(options.file, options.answers, options.piece.empty()));
    return fine;
}

} // namespace

void add_new(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<NewOptions>();
    NewProject& answers = options->answers;
    CLI::App& command = *app.add_subcommand("new", "A project from a few questions, or options");
    command.add_option("FILE", options->file, "The project to be made, NAME.aumbry.json")
        ->required();
    command.add_flag("--yes", options->yes, "Ask nothing: options, what was kept, what is usual");
    command.add_option("--title", answers.title, "What the job is called; default: as the file");
    command.add_option("--currency", answers.currency, "ISO 4217 code, as EUR");
    command.add_option("--unit", answers.length_unit, "Sizes in mm or in");
    command.add_option("--rate", answers.rate, "Cost of an hour's work, as 46.00");
    command.add_option("--helper", answers.helper,
                       "Cost of an hour of a second pair of hands; default: as yours");
    command.add_option("--tax", answers.tax, "Per cent of tax that the client is charged");
    command.add_option("--kerf", answers.kerf, "Width of the saw cut, as \"2.4 mm\"");
    command.add_option("--vehicle", answers.vehicle,
                       "What lies in your vehicle, as \"1900 mm x 1050 mm\"");
    command.add_option("--times", answers.times,
                       "File of your own times of operations, as plan --times writes it");
    command.add_option("--wall", answers.wall, "What the wall is made of, as \"solid masonry\"");
    command.add_option("--priced-on", answers.priced_on,
                       "The day whose prices hold; default: today");
    command.add_option("--start", answers.start,
                       "When work begins; default: in two weeks, as 2027-03-01");
    command.add_option("--piece", options->piece, "A piece of the library to begin with");
    command.add_option("--catalogs", options->catalogs,
                       "Folders with suppliers/, kept for the next job");
    add_plugins(command, options->folders);
    commands.on(command, [options] { return make_new(*options); });
}

} // namespace aumbry::cli
