// The start page: what it is filled with, and the job that comes of it.
#include "app/application.hpp"

#include "aumbry/project.hpp"

#include <ctime>

namespace aumbry::gui {

namespace {

/// The day that the clock shows here.
std::string day_of_clock() {
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    localtime_r(&now, &local);
    return format_date(make_date(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday));
}

StartEntry entry_of(const std::filesystem::path& file) {
    try {
        return {file, written(find_at(parse_json(read_file(file)), "/title"))};
    } catch (const FaultError&) {
        return {file, ""};
    }
}

/// Projects that stand beside the catalogs in use, or that came with the program.
std::vector<StartEntry> demonstrations(std::vector<std::filesystem::path> catalogs) {
    catalogs.push_back(program_prefix() / "share" / "aumbry" / "catalogs");
    for (const std::filesystem::path& folder : catalogs) {
        std::vector<StartEntry> found;
        std::error_code error;
        for (std::filesystem::directory_iterator at(folder / "projects", error), last;
             !error && at != last; at.increment(error)) {
            if (at->path().filename().string().ends_with(".aumbry.json"))
                found.push_back(entry_of(at->path()));
        }
        std::sort(found.begin(), found.end(),
                  [](const StartEntry& a, const StartEntry& b) { return a.file < b.file; });
        if (!found.empty()) return found;
    }
    return {};
}

} // namespace

void Application::show_start() {
    StartState start;
    start.shown = true;
    start.today = options_.today.empty() ? day_of_clock() : options_.today;
    Maker kept;
    try {
        kept = read_maker(options_.maker_file);
    } catch (const FaultError& error) {
        start.maker_fault = error.what();
    }
    start.known = !kept.answers.currency.empty();
    start.keep = !start.known;
    start.answers = kept.answers;
    if (!kept.catalogs.empty()) start.catalogs = kept.catalogs.front();
    if (!start.known) {
        start.answers.currency = "EUR";
        start.answers.length_unit = "mm";
        start.answers.tax = "0";
    }
    start.answers.wall = "unknown";
    start.answers.priced_on = start.today;
    for (const std::string& file : options_.settings.recent) start.recent.push_back(entry_of(file));
    start.demonstrations = demonstrations(state_.catalog_folders);
    state_.start = std::move(start);
}

void Application::begin_job(const BeginJob& begun) {
    unless_unsaved("Begin a new job?", [this, begun] {
        NewProject answers = begun.answers;
        use_usual(answers);
        if (begun.keep && !options_.maker_file.empty())
            keep_maker(options_.maker_file, {answers, begun.catalogs});
        const std::vector<std::filesystem::path> before = loaded_catalogs_;
        job_.begin();
        load_folders();
        // A folder that was just named holds price lists that no job here has used yet.
        const Catalog lists =
            loaded_catalogs_ == before
                ? state_.knowledge->catalog
                : load_catalog(loaded_catalogs_, state_.knowledge->catalog_classes());
        answers.exclude = sellers_in_other_currency(lists, answers.currency);
        job_.begin(parse_json(new_project(answers)));
        state_.start.shown = false;
        forget_views();
        show(View::bill);
        state_.library.shown = true;
    });
}

} // namespace aumbry::gui
