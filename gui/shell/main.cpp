// The program `aumbry-gui`: the window over a project.
#include "session/journal.hpp"
#include "shell/shell.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/new_project.hpp"

#include <CLI/CLI.hpp>

#include <iostream>

int main(int argc, char** argv) {
    using namespace aumbry;
    CLI::App app{"Edits a project of fitted furniture and shows what it costs as it changes."};
    app.name("aumbry-gui");
    gui::ShellOptions options;
    options.settings_file = gui::settings_file();
    options.application.settings = gui::read_settings(options.settings_file);
    options.application.state_folder = gui::state_folder();
    options.application.maker_file = maker_file();
    std::string project;
    app.add_option("PROJECT", project, "The project, *.aumbry.json");
    app.add_option("--catalogs", options.application.catalogs,
                   "Catalog folders; default: the nearest above the project that holds suppliers/");
    app.add_option("--plugins", options.application.plugins,
                   "Plugin folders; default: those of this program");
    app.add_option(
           "--effort", options.application.effort,
           "How long plans are sought once a draft stands: draft (no longer), normal, thorough")
        ->check(CLI::IsMember({"draft", "normal", "thorough"}));
    app.add_option("--text-scale", options.application.settings.text_scale,
                   "Size of text, 0.75 to 3")
        ->check(CLI::Range(0.75, 3.0));
    app.add_option("--width", options.application.settings.width, "Width of the window in pixels");
    app.add_option("--height", options.application.settings.height,
                   "Height of the window in pixels");
    app.add_flag("--dark,!--light", options.application.settings.dark, "Dark or light");
    CLI11_PARSE(app, argc, argv);
    options.project = project;
    try {
        gui::run_window(std::move(options));
        return 0;
    } catch (const FaultError& error) {
        std::cerr << "aumbry-gui: " << error.what() << '\n';
        return 1;
    } catch (const std::exception& error) {
        std::cerr << "aumbry-gui: " << error.what() << '\n';
        return 1;
    }
}
