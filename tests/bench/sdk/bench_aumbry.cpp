// The estimating line as a whole: the harbour loft at each effort, with nothing kept and with
// everything kept, the command with its start, and a project of 2,000 lines read and resolved.
// Times are ratios to the draft of the same run in the column `to_draft`; `text` is the share of
// the whole that goes into writing and reading JSON across the door.
#include "aumbry/catalog.hpp"
#include "aumbry/line.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/project.hpp"
#include "aumbry/resolve.hpp"
#include "aumbry/study.hpp"

#include <benchmark/benchmark.h>

#include <chrono>
#include <cstdlib>
#include <string>

namespace {

using namespace aumbry;

const std::string loft = std::string(AUMBRY_BENCH_CATALOGS) + "/projects/harbour-loft.aumbry.json";

PluginHost& host() {
    static PluginHost shared({AUMBRY_BENCH_PLUGINS});
    return shared;
}

const Catalog& catalog() {
    static const Catalog read = load_catalog({AUMBRY_BENCH_CATALOGS}, host().catalog_classes());
    return read;
}

double draft_seconds = 0;

void estimate_loft(benchmark::State& state, const char* effort, bool kept) {
    const Project project = read_project(read_file(loft), loft);
    EstimateOptions options;
    options.effort = effort;
    (void)catalog();
    const double text_before = host().counts().seconds_in_text;
    const auto start = std::chrono::steady_clock::now();
    for (auto _ : state) {
        if (!kept) host().clear_kept();
        benchmark::DoNotOptimize(estimate(project, host(), catalog(), options));
    }
    const double whole =
        std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    const double each = whole / static_cast<double>(state.iterations());
    if (draft_seconds == 0) draft_seconds = each;
    state.counters["to_draft"] = each / draft_seconds;
    state.counters["text"] = (host().counts().seconds_in_text - text_before) / whole;
}

void compare_loft(benchmark::State& state) {
    const Project project = read_project(read_file(loft), loft);
    EstimateOptions options;
    options.effort = "draft";
    for (auto _ : state) {
        host().clear_kept();
        benchmark::DoNotOptimize(compare(project, host(), catalog(), options));
    }
}

/// The command from its start to its last byte.
void command_loft(benchmark::State& state, const char* effort) {
    const std::string command = std::string(AUMBRY_BENCH_COMMAND) + " price " + loft +
                                " --effort " + effort + " >/dev/null 2>&1";
    for (auto _ : state) {
        if (std::system(command.c_str()) != 0) state.SkipWithError("the command failed");
    }
}

/// Many lines, each with a formula over a parameter and over the line before it.
std::string long_project(int lines) {
    std::string text =
        R"({ "aumbry": 1, "title": "Long", "currency": "EUR", "priced_on": "2027-02-01", "start": "2027-03-01",
"pieces": { "row": { "title": "Row" } }, "parameters": { "ease": "8 mm" },
"materials": { "carcase": { "class": "sheet", "species": "birch", "grade": "BB/BB", "thickness": "18 mm" } }, "lines": {
)";
    for (int i = 0; i < lines; ++i) {
        const std::string before = i % 50 == 0 ? "600 mm" : "p" + std::to_string(i - 1) + ".length";
        text +=
            "\"p" + std::to_string(i) +
            R"(": { "kind": "panel", "piece": "row", "material": "carcase", "count": 2, "length": ")" +
            before + R"( + ease / 4", "width": "280 mm" })" + (i + 1 < lines ? ",\n" : "\n");
    }
    return text + "} }\n";
}

void resolve_long_project(benchmark::State& state) {
    const std::string text = long_project(static_cast<int>(state.range(0)));
    for (auto _ : state) {
        host().clear_kept();
        benchmark::DoNotOptimize(
            resolve(read_project(text, "long.aumbry.json"), host(), catalog().tables(), "draft"));
    }
}

} // namespace

BENCHMARK_CAPTURE(estimate_loft, draft, "draft", false)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate_loft, draft_kept, "draft", true)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(estimate_loft, normal, "normal", false)->Unit(benchmark::kMillisecond);
BENCHMARK(compare_loft)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(command_loft, draft, "draft")->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK_CAPTURE(command_loft, normal, "normal")->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(resolve_long_project)->Arg(2000)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
