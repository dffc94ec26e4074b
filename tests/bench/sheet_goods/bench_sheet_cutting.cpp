// How long a window waits for a cutting plan, and how a draft grows with the parts.
#include "sheet_goods/engine/cutting.hpp"

#include <benchmark/benchmark.h>

#include <random>
#include <vector>

namespace {

using namespace aumbry::sheet_goods;

/// Parts of fitted furniture, in millimetres, on sheets of 2500 x 1250 with a kerf of 4.
CuttingJob furniture(std::int64_t parts, std::int64_t kinds, Effort effort) {
    std::mt19937_64 numbers(static_cast<std::uint64_t>(parts * 1000 + kinds));
    const auto between = [&](std::uint64_t low, std::uint64_t high) {
        return static_cast<Steps>(low + numbers() % (high - low + 1));
    };
    CuttingJob order;
    order.effort = effort;
    order.kerf = 4;
    Format sheet;
    sheet.length = 2500;
    sheet.width = 1250;
    sheet.cost = 6000;
    sheet.clean_up = {10, 10, 10, 10};
    sheet.grain = Grain::along_length;
    order.formats.push_back(sheet);
    for (std::int64_t kind = 0; kind < kinds; ++kind) {
        Part part;
        part.length = between(200, 2000);
        part.width = between(60, 600);
        part.count = parts / kinds + (kind < parts % kinds ? 1 : 0);
        part.turn = between(0, 1) == 0 ? Turn::with_grain : Turn::free;
        order.parts.push_back(part);
    }
    return order;
}

void draft_of_parts_all_different(benchmark::State& state) {
    const CuttingJob order = furniture(state.range(0), state.range(0), Effort::draft);
    std::int64_t used = 0;
    std::int64_t bound = 1;
    for (auto _ : state) {
        const Plan plan = cut(order);
        used = plan.sheet_count;
        bound = plan.lower_bound_sheets;
    }
    state.counters["sheets"] = static_cast<double>(used);
    state.counters["sheets/bound"] = static_cast<double>(used) / static_cast<double>(bound);
    state.SetComplexityN(state.range(0));
}
BENCHMARK(draft_of_parts_all_different)
    ->Arg(100)
    ->Arg(300)
    ->Arg(1000)
    ->Arg(2000)
    ->Arg(5000)
    ->Arg(10000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity(benchmark::oNLogN);

/// 60 parts of 24 kinds in three materials, a draft: what a window shows after every key.
void sixty_parts_in_three_materials(benchmark::State& state) {
    std::vector<CuttingJob> orders(3, furniture(20, 8, Effort::draft));
    for (std::size_t i = 0; i < orders.size(); ++i)
        for (Part& part : orders[i].parts) part.length -= static_cast<Steps>(11 * i);
    for (auto _ : state) {
        std::int64_t sheets = 0;
        for (const CuttingJob& order : orders) sheets += cut(order).sheet_count;
        benchmark::DoNotOptimize(sheets);
    }
}
BENCHMARK(sixty_parts_in_three_materials)->Unit(benchmark::kMillisecond);

/// 100 parts of 30 kinds in two materials: two orders of 50 parts of 15 kinds.
void hundred_parts_in_two_materials(benchmark::State& state) {
    const auto effort = static_cast<Effort>(state.range(0));
    const CuttingJob first = furniture(50, 15, effort);
    CuttingJob second = furniture(50, 15, effort);
    for (Part& part : second.parts) part.length = part.length * 9 / 10 + 7;
    for (auto _ : state) benchmark::DoNotOptimize(cut(first).sheet_count + cut(second).sheet_count);
}
BENCHMARK(hundred_parts_in_two_materials)
    ->ArgName("effort")
    ->Arg(0)
    ->Arg(1)
    ->Unit(benchmark::kMillisecond);

} // namespace

BENCHMARK_MAIN();
