#include "cli/commands.hpp"
#include "print/print.hpp"
#include "views/text_views.hpp"

#include "aumbry/parts_list.hpp"
#include "aumbry/resolve.hpp"
#include "aumbry/save_file.hpp"

#include <iostream>
#include <iterator>

namespace aumbry::cli {

namespace {

struct PartsOptions {
    std::string project;
    FolderOptions folders;
    std::string in;
    std::string out;
    std::string mapping;
    PartsToTake wanted;
    bool dry_run = false;
    bool json = false;
};

PartsSource source_of(const std::string& in) {
    if (in != "-") return parts_source(in);
    return {"standard input",
            {std::istreambuf_iterator<char>(std::cin), std::istreambuf_iterator<char>()},
            {}};
}

int take_in(const PartsOptions& asked, const Session& session) {
    PartsToTake wanted = asked.wanted;
    if (!asked.mapping.empty())
        wanted.mapping =
            read_parts_mapping(read_file(asked.mapping), asked.mapping, session.host().modules());
    const std::string before = read_file(asked.project);
    const PartsTaken taken = take_parts(before, asked.project, source_of(asked.in), wanted,
                                        session.host(), session.catalog().tables());
    const bool written = taken.faults.empty() && !asked.dry_run;
    if (written && taken.text != before) replace_file(asked.project, before, taken.text);
    print(views::parts_report(taken, asked.project, written, asked.json));
    return taken.faults.empty() ? fine : input_fault;
}

int give_out(const PartsOptions& asked, const Session& session) {
    const Project project = Session::with_file(asked.project);
    const Resolved resolved = resolve(project, session.host(), session.catalog().tables(), "draft");
    const PartsTable parts = parts_of(resolved, session.host().modules());
    if (asked.out.empty()) {
        print(views::parts_table(parts, colour()));
        return fine;
    }
    if (asked.out.ends_with(".xlsx"))
        save_file(asked.out,
                  print::to_xlsx(parts, resolved.title, format_date(resolved.priced_on)));
    else if (asked.out.ends_with(".csv"))
        save_file(asked.out, parts_csv(parts));
    else
        fail("bad-argument", {"--out " + asked.out, "", 0, 0},
             "its ending does not say what to write", "name it .csv or .xlsx");
    return fine;
}

} // namespace

void add_parts(CLI::App& app, Commands& commands) {
    auto options = std::make_shared<PartsOptions>();
    CLI::App& command =
        *app.add_subcommand("parts", "A parts list into a project, or its parts as a list");
    command.add_option("PROJECT", options->project, "The project, *.aumbry.json")->required();
    CLI::Option* in = command.add_option(
        "--in", options->in,
        "Take this list in: CSV, XLSX, or - for text with tabs on the standard input");
    command.add_option("--out", options->out, "Write the parts into this file, .csv or .xlsx")
        ->excludes(in);
    command
        .add_option("--mapping", options->mapping,
                    "What its columns are, *.parts.json; default: headings are names of fields")
        ->needs(in);
    command
        .add_option("--list", options->wanted.list,
                    "What the list is called, to find its lines again; default: as its file")
        ->needs(in);
    command.add_option("--piece", options->wanted.piece, "The piece of rows that name none")
        ->needs(in);
    command
        .add_option("--unit", options->wanted.unit, "The unit of sizes that have none, such as mm")
        ->needs(in);
    command
        .add_flag("--drop-gone", options->wanted.drop_gone,
                  "Take lines out that came from this list and are no longer in it")
        ->needs(in);
    command.add_flag("--dry-run", options->dry_run, "Say what it would do and write nothing")
        ->needs(in);
    command.add_flag("--json", options->json, "As JSON")->needs(in);
    add_folders(command, options->folders);
    commands.on(command, [options] {
        const Session session(find_folders(options->project, options->folders.named()));
        return options->in.empty() ? give_out(*options, session) : take_in(*options, session);
    });
}

} // namespace aumbry::cli
