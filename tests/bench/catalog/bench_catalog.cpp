// Price lists: how fast they are read, checked and indexed, what memory a million rows take, how
// fast a spec is matched. Each figure stands beside a baseline of the same run: one pass over the
// same bytes that only counts separators.
#include "aumbry/catalog.hpp"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <random>
#include <string>

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace aumbry {
namespace {

namespace fs = std::filesystem;

contract::Field attribute(std::string name, contract::FieldType type, std::string unit = {}) {
    contract::Field field;
    field.name = std::move(name);
    field.type = type;
    field.unit = std::move(unit);
    field.required = true;
    return field;
}

std::vector<contract::CatalogClass> classes() {
    using enum contract::FieldType;
    return {{.name = "sheet",
             .title = "Sheet",
             .attributes = {attribute("species", text), attribute("thickness", quantity, "mm"),
                            attribute("grade", text), attribute("length", quantity, "mm"),
                            attribute("width", quantity, "mm")}}};
}

/// A folder with one supplier whose list has `rows` rows in an order that is not that of their
/// skus.
class ListFolder {
  public:
    explicit ListFolder(std::int64_t rows) {
        std::string name = (fs::temp_directory_path() / "aumbry-bench-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) std::abort();
        path_ = name;
        fs::create_directories(path_ / "suppliers/north");
        std::ofstream(path_ / "suppliers/north/supplier.json")
            << R"({"name": "Nordholz", "invented": true, "currency": "EUR", "tax_percent": "19", "delivery": {"flat": "45.00"}})";
        std::ofstream out(list(), std::ios::binary);
        out << "sku,class,description,price,price_unit,pack,min_quantity,stock,lead_days,valid_"
               "from,valid_to,gtin,species,thickness,grade,length,width\r\n";
        constexpr std::array species = {"birch",  "poplar", "beech", "oak",
                                        "spruce", "maple",  "ash",   "okoume"};
        constexpr std::array grades = {"BB/BB", "BB/CP", "S/BB", "B/BB", "II/III"};
        std::mt19937_64 random(20270201);
        const auto below = [&](std::uint64_t n) { return random() % n; };
        for (std::int64_t i = 0; i < rows; ++i) {
            const auto number =
                static_cast<std::uint64_t>(i) * 7919U % static_cast<std::uint64_t>(rows);
            out << "NH-" << 10'000'000 + number << ",sheet,\"Plywood, " << species[below(8)]
                << "\"," << 20 + below(180) << '.' << 10 + below(90) << ",each,1,1," << below(400)
                << ',' << below(15) << ",2027-01-01,2027-12-31,," << species[below(8)] << ','
                << 3 + below(38) << " mm," << grades[below(5)] << ',' << 1000 + below(2100)
                << " mm," << 600 + below(1300) << " mm\r\n";
        }
    }
    ~ListFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    ListFolder(const ListFolder&) = delete;
    ListFolder& operator=(const ListFolder&) = delete;

    [[nodiscard]] fs::path list() const { return path_ / "suppliers/north/list.csv"; }
    [[nodiscard]] const fs::path& path() const { return path_; }
    [[nodiscard]] std::int64_t bytes() const {
        return static_cast<std::int64_t>(fs::file_size(list()));
    }
    [[nodiscard]] std::string text() const {
        std::ifstream in(list(), std::ios::binary);
        return {std::istreambuf_iterator<char>(in), {}};
    }

  private:
    fs::path path_;
};

const ListFolder& folder_of(std::int64_t rows) {
    static std::map<std::int64_t, ListFolder> folders;
    return folders.try_emplace(rows, rows).first->second;
}

void peak_memory_of_a_million_rows(benchmark::State& state) {
    const ListFolder& folder = folder_of(1'000'000);
    for (auto _ : state) {
        std::array<int, 2> ends{};
        if (pipe(ends.data()) != 0) state.SkipWithError("no pipe");
        const pid_t child = fork();
        if (child == 0) {
            const Catalog catalog = load_catalog({folder.path()}, classes());
            rusage usage{};
            getrusage(RUSAGE_SELF, &usage);
            const std::int64_t peak =
                catalog.rows().size() == 1'000'000 ? usage.ru_maxrss * 1024 : -1;
            const bool told =
                write(ends[1], &peak, sizeof peak) == static_cast<ssize_t>(sizeof peak);
            _exit(told ? 0 : 1);
        }
        std::int64_t peak = 0;
        if (read(ends[0], &peak, sizeof peak) != static_cast<ssize_t>(sizeof peak) || peak <= 0)
            state.SkipWithError("rows were left out");
        waitpid(child, nullptr, 0);
        close(ends[0]);
        close(ends[1]);
        state.counters["peak_MB"] = static_cast<double>(peak) / 1e6;
        state.counters["file_MB"] = static_cast<double>(folder.bytes()) / 1e6;
        state.counters["peak_per_file"] =
            static_cast<double>(peak) / static_cast<double>(folder.bytes());
    }
}
BENCHMARK(peak_memory_of_a_million_rows)->Iterations(1)->Unit(benchmark::kMillisecond);

void baseline_count_separators(benchmark::State& state) {
    const std::string text = folder_of(100'000).text();
    for (auto _ : state) {
        std::size_t count = 0;
        for (const char c : text) {
            if (c == ',' || c == '\n' || c == '"') ++count;
            benchmark::DoNotOptimize(count);
        }
    }
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(text.size()));
}
BENCHMARK(baseline_count_separators)->Unit(benchmark::kMillisecond);

void read_records(benchmark::State& state) {
    const std::string kept = folder_of(100'000).text();
    std::size_t fields = 0;
    for (auto _ : state) {
        state.PauseTiming();
        std::string text = kept;
        state.ResumeTiming();
        csv::decode(text, "list.csv");
        csv::Reader reader(text, "list.csv");
        while (reader.next()) fields += reader.fields().size();
    }
    if (fields == 0) state.SkipWithError("nothing was read");
    state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(kept.size()));
}
BENCHMARK(read_records)->Unit(benchmark::kMillisecond);

void check_and_index(benchmark::State& state) {
    const ListFolder& folder = folder_of(state.range(0));
    for (auto _ : state) {
        const Catalog catalog = load_catalog({folder.path()}, classes());
        if (catalog.rows().size() != static_cast<std::size_t>(state.range(0)))
            state.SkipWithError("rows were left out");
    }
    state.SetBytesProcessed(state.iterations() * folder.bytes());
}
BENCHMARK(check_and_index)->Arg(100'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

const Catalog& million_rows() {
    static const Catalog catalog = load_catalog({folder_of(1'000'000).path()}, classes());
    return catalog;
}

void match_one_thickness(benchmark::State& state) {
    const Catalog& catalog = million_rows();
    std::size_t found = 0;
    for (auto _ : state)
        found =
            catalog
                .match("sheet", {{"species", {"birch"}}, {"thickness", {18}}, {"grade", {"BB/BB"}}})
                .size();
    state.counters["found"] = static_cast<double>(found);
}
BENCHMARK(match_one_thickness)->Unit(benchmark::kMicrosecond);

void match_any_of_several(benchmark::State& state) {
    const Catalog& catalog = million_rows();
    std::size_t found = 0;
    for (auto _ : state) {
        found = catalog
                    .match("sheet", {{"species", {"birch", "poplar"}},
                                     {"thickness", {18, 21}},
                                     {"grade", {"BB/BB", "S/BB"}}})
                    .size();
    }
    state.counters["found"] = static_cast<double>(found);
}
BENCHMARK(match_any_of_several)->Unit(benchmark::kMicrosecond);

void match_two_wide_attributes(benchmark::State& state) {
    const Catalog& catalog = million_rows();
    std::size_t found = 0;
    for (auto _ : state)
        found = catalog.match("sheet", {{"species", {"birch"}}, {"grade", {"BB/BB"}}}).size();
    state.counters["found"] = static_cast<double>(found);
}
BENCHMARK(match_two_wide_attributes)->Unit(benchmark::kMicrosecond);

} // namespace
} // namespace aumbry

BENCHMARK_MAIN();
