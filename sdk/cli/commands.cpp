#include "cli/commands.hpp"

#include "aumbry/date.hpp"
#include "aumbry/fault.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <iostream>
#include <unistd.h>

namespace aumbry::cli {

namespace {

/// Why the standard output was lost first; 0: it was not.
int output_error = 0;

/// What a verb or an option was called, and what it is called now.
struct Renamed {
    std::string_view before;
    std::string_view now;
};
constexpr Renamed renamed_verbs[] = {{"weigh", "tradeoff"}, {"papers", "jobpack"}};
constexpr Renamed renamed_options[] = {{"--finish-by", "--ready-by"}};

/// Without modules every column would be unknown: the one sentence that follows says what matters
/// then.
void print_faults_of(const Session& session) {
    if (session.host().modules().empty()) return;
    for (const auto& fault : session.catalog().faults())
        std::cerr << fault.fault.sentence() << '\n';
}

/// What modules say while they work, on the standard error.
ModuleListener spoken_aloud() {
    return {[](const std::string& module, const std::string& text) {
                std::cerr << module << ": " << text << '\n';
            },
            [](const std::string& module, const std::string& method, double fraction) {
                std::cerr << module << ": " << method << ' '
                          << static_cast<int>(std::clamp(fraction, 0.0, 1.0) * 100) << " %\n";
            }};
}

} // namespace

void print(std::string_view text) {
    errno = 0;
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() && output_error == 0)
        output_error = errno;
}

void finish_output() {
    errno = 0;
    if (std::fflush(stdout) != 0 && output_error == 0) output_error = errno;
    if (output_error == 0 && std::ferror(stdout) == 0) return;
    fail("write-failed", {"standard output", "", 0, 0},
         std::string("what was asked for could not be written whole: ") +
             std::strerror(output_error == 0 ? EIO : output_error),
         "make room, or write it somewhere else");
}

bool colour() {
    return isatty(STDOUT_FILENO) != 0 && std::getenv("NO_COLOR") == nullptr;
}

std::string renamed(const std::vector<std::string>& arguments) {
    if (arguments.empty()) return {};
    for (const Renamed& verb : renamed_verbs) {
        if (arguments.front() == verb.before)
            return "the command '" + std::string(verb.before) + "' is called '" +
                   std::string(verb.now) + "' now";
    }
    for (const std::string& argument : arguments) {
        for (const Renamed& option : renamed_options) {
            if (argument.substr(0, argument.find('=')) == option.before)
                return "the option " + std::string(option.before) + " is called " +
                       std::string(option.now) + " now";
        }
    }
    return {};
}

std::string failure_sentence(const std::exception& error) {
    std::string what = error.what();
    // The JSON library begins with the name of its exception, which tells a user nothing.
    if (what.starts_with("[json.exception")) {
        const std::size_t end = what.find("] ");
        if (end != std::string::npos) what.erase(0, end + 2);
    }
    return "aumbry: a fault of the program itself: " + what +
           "; please report it with the command and the project file";
}

SessionFolders FolderOptions::named() const {
    return {{plugins.begin(), plugins.end()}, {catalogs.begin(), catalogs.end()}};
}

std::vector<std::filesystem::path> FolderOptions::plugin_folders() const {
    return plugins.empty() ? program_folders().plugins : named().plugins;
}

void add_plugins(CLI::App& command, FolderOptions& options) {
    command.add_option("--plugins", options.plugins,
                       "Plugin folders; default: those of this program");
}

void add_folders(CLI::App& command, FolderOptions& options) {
    command.add_option(
        "--catalogs", options.catalogs,
        "Catalog folders; default: the nearest above the project that holds suppliers/");
    add_plugins(command, options);
}

void add_effort(CLI::App& command, ProjectOptions& options) {
    command
        .add_option("--effort", options.effort,
                    "How long plans are sought: draft, normal or thorough")
        ->check(CLI::IsMember({"draft", "normal", "thorough"}));
}

void add_project(CLI::App& command, ProjectOptions& options) {
    command.add_option("PROJECT", options.project, "The project, *.aumbry.json")->required();
    add_folders(command, options.folders);
    command.add_option("--alternative", options.alternative,
                       "Price this alternative instead of the base");
    add_effort(command, options);
    command.add_flag("--verbose", options.verbose,
                     "Say on the standard error what modules log, and how far they are");
}

void add_limits(CLI::App& command, PurchaseOptions& options) {
    command.add_option("--ready-by", options.ready_by,
                       "Buy so that the job is ready on this day, as 2027-03-26");
    command
        .add_option("--most-suppliers", options.max_suppliers, "Buy from at most so many suppliers")
        ->check(CLI::PositiveNumber);
}

void add_purchase(CLI::App& command, PurchaseOptions& options) {
    command
        .add_option("--buy", options.objective,
                    "What to buy for: cheapest, earliest (ready soonest), or fewest suppliers")
        ->check(CLI::IsMember({"cheapest", "earliest", "fewest"}));
    add_limits(command, options);
}

EstimateOptions estimate_options(const ProjectOptions& options, const PurchaseOptions& purchase) {
    EstimateOptions out;
    out.effort = options.effort;
    if (purchase.objective == "earliest") out.objective = Objective::earliest;
    if (purchase.objective == "fewest") out.objective = Objective::fewest_suppliers;
    if (!purchase.ready_by.empty())
        out.finish_by = read_option("--ready-by", [&] { return parse_date(purchase.ready_by); });
    if (purchase.max_suppliers > 0) out.max_suppliers = purchase.max_suppliers;
    return out;
}

Opened::Opened(const ProjectOptions& options) : Opened(read_file(options.project), options) {}

Opened::Opened(std::string text, const ProjectOptions& options)
    : project(Session::with_text(std::move(text), options.project, options.alternative)),
      session(find_folders(options.project, options.folders.named())) {
    if (options.verbose) session.host().set_listener(spoken_aloud());
    print_faults_of(session);
}

Estimate priced(const ProjectOptions& options, const PurchaseOptions& purchase) {
    const EstimateOptions wanted = estimate_options(options, purchase);
    const Opened opened(options);
    return opened.session.price(opened.project, wanted);
}

std::filesystem::path made_folder(const std::string& name) {
    std::error_code error;
    std::filesystem::create_directories(name, error);
    if (!std::filesystem::is_directory(name))
        fail("unwritable-folder", {name, "", 0, 0}, "the folder cannot be made",
             "name one in a folder that you may write to");
    return name;
}

} // namespace aumbry::cli
