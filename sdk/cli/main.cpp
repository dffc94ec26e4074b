// The command `aumbry`: reads its arguments, calls the library, prints what the views say.
#include "cli/commands.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <iostream>
#include <sstream>

namespace {

using namespace aumbry;

/// One sentence when the first word is no command; empty when it is one.
std::string unknown_command(const CLI::App& app, const std::vector<std::string>& arguments) {
    if (arguments.empty() || arguments.front().starts_with('-')) return {};
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
    if (std::find(names.begin(), names.end(), arguments.front()) != names.end()) return {};
    const std::string near = nearest_name(arguments.front(), names);
    return "there is no command '" + arguments.front() + "'; " +
           (near.empty() ? "aumbry --help lists them" : "did you mean '" + near + "'?");
}

/// Help, or what is wrong with the arguments.
int answer(const CLI::App& app, const CLI::ParseError& error) {
    std::ostringstream help;
    std::ostringstream wrong;
    const int status = app.exit(error, help, wrong);
    cli::print(help.str());
    std::cerr << wrong.str();
    return status == 0 ? cli::fine : cli::wrong_usage;
}

int run(int argc, char** argv) {
    CLI::App app{"Estimates fitted furniture: what to buy and from whom, how it is cut, what it "
                 "costs, when it is done."};
    app.name("aumbry");
    app.require_subcommand(1);
    cli::Commands commands;
    for (const auto add :
         {cli::add_new, cli::add_pieces, cli::add_add, cli::add_parts, cli::add_price,
          cli::add_compare, cli::add_explain, cli::add_plan, cli::add_cut, cli::add_labels,
          cli::add_jobpack, cli::add_order, cli::add_quote, cli::add_record, cli::add_close,
          cli::add_tradeoff, cli::add_fields, cli::add_plugin, cli::add_catalog})
        add(app, commands);
    const std::vector<std::string> arguments(argv + std::min(argc, 1), argv + argc);
    std::string wrong = cli::renamed(arguments);
    if (wrong.empty()) wrong = unknown_command(app, arguments);
    if (!wrong.empty()) {
        std::cerr << wrong << '\n';
        return cli::wrong_usage;
    }
    try {
        app.parse(argc, argv);
        return commands.status();
    } catch (const CLI::ParseError& error) {
        return answer(app, error);
    }
}

} // namespace

int main(int argc, char** argv) {
    try {
        const int status = run(argc, argv);
        cli::finish_output();
        return status;
    } catch (const FaultError& error) {
        std::cerr << error.what() << '\n';
        return error.faults().front().code == "no-modules" ? cli::no_estimate : cli::input_fault;
    } catch (const std::exception& error) {
        std::cerr << cli::failure_sentence(error) << '\n';
        return cli::no_estimate;
    }
}
