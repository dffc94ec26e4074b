// How quick the window is: drawing a long bill of materials, and from a key press to the new total.
// Goals: 2,000 lines drawn in 4 ms; a new draft total of the harbour loft in 100 ms; one changed
// line across the base and its alternatives in 100 ms, a changed parameter in 300 ms. Idle share
// and first frame need a real window: tests/gui/real_window.py --measure.
#include "window.hpp"

#include "aumbry/project.hpp"

#include <benchmark/benchmark.h>

namespace aumbry::gui::test {

namespace {

/// The harbour loft with its first panel many times over, in twenty pieces.
std::string long_project(int lines) {
    Json json = parse_json(
        read_file(std::filesystem::path(AUMBRY_CATALOGS) / "projects/harbour-loft.aumbry.json"));
    const Json panel = json["lines"]["bed_head"];
    for (int i = 0; i < 20; ++i)
        json["pieces"]["piece_" + std::to_string(i)] = {{"title", "Piece " + std::to_string(i)}};
    for (int i = static_cast<int>(json["lines"].size()); i < lines; ++i) {
        Json copy = panel;
        copy["title"] = "Panel " + std::to_string(i);
        copy["piece"] = "piece_" + std::to_string(i % 20);
        json["lines"]["panel_" + std::to_string(i)] = copy;
    }
    json.erase("alternatives");
    return pretty(json);
}

/// Draws until the document as it is has an answer, be it a draft.
void until_answered(Window& window) {
    do {
        window.frames(1);
    } while (!window.state().answered);
}

/// The estimate of the harbour loft with a line for every line of the document, so that every cell
/// has its value: what is measured is drawing, not estimating.
std::shared_ptr<const Estimate> long_estimate(const Json& document) {
    PluginHost host({AUMBRY_PLUGINS});
    const Catalog catalog = load_catalog({AUMBRY_CATALOGS}, host.catalog_classes());
    const std::string name = "harbour-loft.aumbry.json";
    const Project project =
        read_project(read_file(std::filesystem::path(AUMBRY_CATALOGS) / "projects" / name), name);
    EstimateOptions draft;
    draft.effort = "draft";
    auto made = std::make_shared<Estimate>(estimate(project, host, catalog, draft));
    const EstimateLine panel = *line_of(made.get(), "bed_head");
    for (const auto& [id, line] : document["lines"].items()) {
        if (line_of(made.get(), id) != nullptr) continue;
        made->lines.push_back(panel);
        made->lines.back().id = id;
    }
    return made;
}

void frame_of_long_bill(benchmark::State& state) {
    const Folder folder;
    const auto file = folder.path() / "long.aumbry.json";
    // A size at fault keeps the worker from estimating two thousand panels meanwhile.
    Json json = parse_json(long_project(static_cast<int>(state.range(0))));
    json["parameters"]["unfinished"] = "1 +";
    write_text(file, pretty(json));
    Window window;
    window.open(file);
    window.state().answer.estimate = long_estimate(json);
    window.click("cell bed_side title");
    for (auto _ : state) window.frames(1);
    state.counters["lines"] = static_cast<double>(json["lines"].size());
    state.counters["goal_ms"] = 4;
}

/// Enter in a cell, until the total of the draft is on the screen. The window sleeps between frames
/// as it does on a screen of 60 pictures a second: the frames drawn meanwhile are part of the time.
void key_to_draft_total(benchmark::State& state) {
    const Folder folder;
    Window window;
    window.open(folder.copy_of("harbour-loft"));
    int length = 1800;
    for (auto _ : state) {
        state.PauseTiming();
        window.wait();
        window.click("cell bed_side length");
        window.type(std::to_string(++length) + " mm");
        state.ResumeTiming();
        window.press(ImGuiKey_Enter);
        until_answered(window);
    }
    state.counters["goal_ms"] = 100;
}

/// What the host keeps of the columns that do not change is used; each run changes anew.
void compared_after(benchmark::State& state, const std::string& pointer, const char* effort,
                    double goal) {
    PluginHost host({AUMBRY_PLUGINS});
    const Catalog catalog = load_catalog({AUMBRY_CATALOGS}, host.catalog_classes());
    const std::string name = "harbour-loft.aumbry.json";
    Json json = parse_json(read_file(std::filesystem::path(AUMBRY_CATALOGS) / "projects" / name));
    EstimateOptions options;
    options.effort = effort;
    int size = 1400;
    std::size_t columns = 0;
    const auto run = [&] {
        json[Json::json_pointer(pointer)] = std::to_string(++size) + " mm";
        const Project project = read_project(pretty(json), name);
        columns = compare(project, host, catalog, options).columns.size();
    };
    run();
    for (auto _ : state) run();
    state.counters["columns"] = static_cast<double>(columns);
    state.counters["goal_ms"] = goal;
}

} // namespace

BENCHMARK(frame_of_long_bill)->Arg(2000)->Unit(benchmark::kMillisecond)->Iterations(300);
BENCHMARK(key_to_draft_total)->Unit(benchmark::kMillisecond)->UseRealTime()->Iterations(10);
BENCHMARK_CAPTURE(compared_after, changed_line_draft, "/lines/shelf_side/length", "draft", 100)
    ->Unit(benchmark::kMillisecond)
    ->Iterations(10);
BENCHMARK_CAPTURE(compared_after, changed_line, "/lines/shelf_side/length", "normal", 100)
    ->Unit(benchmark::kMillisecond)
    ->Iterations(5);
BENCHMARK_CAPTURE(compared_after, changed_parameter_draft, "/parameters/bench_length", "draft", 300)
    ->Unit(benchmark::kMillisecond)
    ->Iterations(10);
BENCHMARK_CAPTURE(compared_after, changed_parameter, "/parameters/bench_length", "normal", 300)
    ->Unit(benchmark::kMillisecond)
    ->Iterations(5);

} // namespace aumbry::gui::test

BENCHMARK_MAIN();
