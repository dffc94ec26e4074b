// A session: modules and catalogs loaded once, and projects read the one way, whoever asks. The
// command and the window both open one, so that they cannot price the same file differently.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/line.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace aumbry {

/// Where modules and catalogs stand.
struct SessionFolders {
    std::vector<std::filesystem::path> plugins;
    std::vector<std::filesystem::path> catalogs;
};

/// The folder above the one that the program stands in: `lib` and `share` are its neighbours, built
/// or installed.
[[nodiscard]] std::filesystem::path program_prefix();

/// What comes with the program: its modules, and reference tables without any supplier.
[[nodiscard]] SessionFolders program_folders();

/// The user's own folders (XDG Base Directory Specification): `$XDG_CONFIG_HOME/aumbry` or
/// `~/.config/aumbry`, `$XDG_DATA_HOME/aumbry` or `~/.local/share/aumbry`. Empty without a home.
struct UserFolders {
    std::filesystem::path config;
    std::filesystem::path data;
};
[[nodiscard]] UserFolders user_folders();

/// The named folders; what is not named is found: the program's own modules, the nearest folder
/// above the project that holds suppliers/, else the user's own (those kept in maker.json,
/// then `catalogs` in the folder for data), else those installed.
/// Catalogs without reference/ get the program's tables. The paths found above a project are
/// relative when the project's is.
/// @throws FaultError "missing-folder" when a named catalog folder is not there, or none is found.
[[nodiscard]] SessionFolders find_folders(const std::filesystem::path& project,
                                          SessionFolders named = {});

/// Where pieces of the library stand, the first before the next: the named folders or the nearest
/// above the project that holds pieces/ or suppliers/, the user's own catalogs, what is installed.
/// @throws FaultError "missing-folder" when a named folder is not there.
[[nodiscard]] std::vector<std::filesystem::path> piece_folders(const std::filesystem::path& project,
                                                               const SessionFolders& named = {});

/// Modules and catalogs, loaded. Projects are values read beside them: as often as wanted, from a
/// file or from text that is not saved yet. Calls may come from several threads.
class Session {
  public:
    /// Loads all of both. @throws FaultError "missing-folder" for a plugin folder.
    explicit Session(const SessionFolders& folders);

    [[nodiscard]] PluginHost& host() const { return *host_; }
    /// Catalog::faults() says what was left out of it.
    [[nodiscard]] const Catalog& catalog() const { return catalog_; }

    /// The project of a file as the line prices it: with the stock and times files that it names,
    /// and the changes of an alternative unless `alternative` is empty.
    /// @throws FaultError of read_file, read_project, with_stock, with_times, with_alternative.
    [[nodiscard]] static Project with_file(const std::string& file,
                                           const std::string& alternative = {});
    /// The same of a text that stands, or will stand, in `file`; the file itself is not read.
    /// @throws FaultError of read_project, with_stock, with_times, with_alternative.
    [[nodiscard]] static Project with_text(std::string text, const std::string& file,
                                           const std::string& alternative = {});

    /// Runs the line. @throws FaultError, CallCancelled: see estimate().
    [[nodiscard]] Estimate price(const Project& project, const EstimateOptions& options = {}) const;

  private:
    std::unique_ptr<PluginHost> host_;
    Catalog catalog_;
};

} // namespace aumbry
