// What the verbs of the command share: each has a file and an add_ function here, owns its options,
// and leaves its exit status in Commands.
#pragma once

#include "aumbry/session.hpp"

#include <CLI/CLI.hpp>

#include <exception>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::cli {

// Exit statuses.
inline constexpr int fine = 0;
inline constexpr int input_fault = 1; ///< or the output could not be written
inline constexpr int wrong_usage = 2;
inline constexpr int no_estimate = 3; ///< a module failed, or the program itself

/// What was asked for, run while the arguments are read.
class Commands {
  public:
    /// Runs `verb` when the command is named; it returns the exit status.
    void on(CLI::App& command, std::function<int()> verb) {
        command.callback([this, verb = std::move(verb)] { status_ = verb(); });
    }
    [[nodiscard]] int status() const { return status_; }

  private:
    int status_ = fine;
};

/// Writes to the standard output. What cannot be written is remembered for finish_output().
void print(std::string_view text);
/// Flushes the standard output. @throws FaultError "write-failed" when any of it was lost.
void finish_output();
/// Emphasis is wanted: a terminal reads along and NO_COLOR is not set.
[[nodiscard]] bool colour();

/// The new name of a verb or option that was renamed, as a sentence; empty when none is used.
[[nodiscard]] std::string renamed(const std::vector<std::string>& arguments);
/// What the user reads when something fails that no input should make fail.
[[nodiscard]] std::string failure_sentence(const std::exception& error);

/// Folders named on the command line, the others to be found.
struct FolderOptions {
    std::vector<std::string> catalogs;
    std::vector<std::string> plugins;

    [[nodiscard]] SessionFolders named() const;
    /// Those named, or this program's.
    [[nodiscard]] std::vector<std::filesystem::path> plugin_folders() const;
};

/// Which project is priced, and with what.
struct ProjectOptions {
    std::string project;
    FolderOptions folders;
    std::string alternative;
    std::string effort = "normal";
    bool verbose = false; ///< what modules log goes to the standard error
};

/// What the purchase is to be.
struct PurchaseOptions {
    std::string objective = "cheapest";
    std::string ready_by;
    int max_suppliers = 0;
};

void add_plugins(CLI::App& command, FolderOptions& options);
void add_folders(CLI::App& command, FolderOptions& options);
void add_effort(CLI::App& command, ProjectOptions& options);
/// PROJECT, folders, --alternative, --effort and --verbose.
void add_project(CLI::App& command, ProjectOptions& options);
/// --ready-by and --most-suppliers.
void add_limits(CLI::App& command, PurchaseOptions& options);
/// --buy and the limits.
void add_purchase(CLI::App& command, PurchaseOptions& options);

/// @throws FaultError that names the option.
[[nodiscard]] EstimateOptions estimate_options(const ProjectOptions& options,
                                               const PurchaseOptions& purchase = {});

/// What an option says, read; faults name the option.
template <class Read>
auto read_option(const std::string& name, const Read& read) {
    try {
        return read();
    } catch (const FaultError& error) {
        std::vector<Fault> faults = error.faults();
        for (Fault& fault : faults) fault.place = {name, "", 0, 0};
        throw FaultError(std::move(faults));
    }
}

/// A project and what it is priced with.
struct Opened {
    Project project; ///< read first: without it there is no use in looking for price lists
    Session session;

    /// Reads all; says on the standard error what was left out of the price lists.
    explicit Opened(const ProjectOptions& options);
    /// The same of a text that was read from the project's file.
    Opened(std::string text, const ProjectOptions& options);
};

/// The estimate of the project that the options name.
[[nodiscard]] Estimate priced(const ProjectOptions& options, const PurchaseOptions& purchase);

/// A folder to write into, made when it is not there. @throws FaultError "unwritable-folder".
[[nodiscard]] std::filesystem::path made_folder(const std::string& name);

// The verbs, in the order in which --help lists them.
void add_new(CLI::App& app, Commands& commands);
void add_pieces(CLI::App& app, Commands& commands);
void add_add(CLI::App& app, Commands& commands);
void add_parts(CLI::App& app, Commands& commands);
void add_price(CLI::App& app, Commands& commands);
void add_compare(CLI::App& app, Commands& commands);
void add_explain(CLI::App& app, Commands& commands);
void add_plan(CLI::App& app, Commands& commands);
void add_cut(CLI::App& app, Commands& commands);
void add_labels(CLI::App& app, Commands& commands);
void add_jobpack(CLI::App& app, Commands& commands);
void add_order(CLI::App& app, Commands& commands);
void add_quote(CLI::App& app, Commands& commands);
void add_record(CLI::App& app, Commands& commands);
void add_close(CLI::App& app, Commands& commands);
void add_tradeoff(CLI::App& app, Commands& commands);
void add_fields(CLI::App& app, Commands& commands);
void add_plugin(CLI::App& app, Commands& commands);
void add_catalog(CLI::App& app, Commands& commands);

} // namespace aumbry::cli
