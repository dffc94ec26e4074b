// Procurement at job size: 60 demands, 12 suppliers, 6 ways each, random markets with every rule in
// play; and 500 tasks scheduled.
//
// `procure_markets/N` buys N markets once (seeds 1 to N) and reports the share proven, the share
// proven within one second, the seconds of one core of the median, of 95 in 100 and of the slowest,
// and the widest gap of those not proven, in percent. The markets of AUMBRY_BENCH_FIRST and after
// are taken when it is set; AUMBRY_BENCH_EACH=1 prints a line a market.
#include "random_market.hpp"

#include "aumbry/schedule.hpp"

#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>

namespace {

using namespace aumbry;

constexpr test::MarketSize job_size{12, 60, 6, true, true};

/// Of this process on its one core, whatever else the machine does.
double seconds_since(std::clock_t start) {
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

std::uint64_t first_seed() {
    const char* stated = std::getenv("AUMBRY_BENCH_FIRST");
    return stated ? std::strtoull(stated, nullptr, 10) : 1;
}

double gap_of(const Procurement& bought) {
    const double cost = static_cast<double>(bought.cost.minor());
    return 100 * (cost - static_cast<double>(bought.lower_bound.minor())) / std::max(cost, 1.0);
}

void procure_markets(benchmark::State& state) {
    const auto markets = static_cast<std::uint64_t>(state.range(0));
    const bool each = std::getenv("AUMBRY_BENCH_EACH") != nullptr;
    std::vector<double> seconds;
    int proven = 0;
    int within_a_second = 0;
    double widest_gap = 0;
    for (auto _ : state) {
        seconds.clear();
        proven = within_a_second = 0;
        for (std::uint64_t seed = first_seed(); seed < first_seed() + markets; ++seed) {
            const ProcureProblem market = test::random_market(seed, job_size);
            const auto start = std::clock();
            const Procurement bought = procure(market);
            seconds.push_back(seconds_since(start));
            proven += bought.proven ? 1 : 0;
            within_a_second += bought.proven && seconds.back() < 1 ? 1 : 0;
            widest_gap = std::max(widest_gap, gap_of(bought));
            if (each)
                std::printf("%llu %.3f s %s steps %lld cost %s gap %.3f %%\n",
                            static_cast<unsigned long long>(seed), seconds.back(),
                            bought.proven ? "proven" : "open", static_cast<long long>(bought.steps),
                            bought.cost.decimal().str().c_str(), gap_of(bought));
        }
    }
    std::sort(seconds.begin(), seconds.end());
    const auto at = [&](double share) {
        return seconds[static_cast<std::size_t>(share * static_cast<double>(seconds.size() - 1))];
    };
    const double count = static_cast<double>(markets);
    state.counters["proven"] = proven / count;
    state.counters["within_1_s"] = within_a_second / count;
    state.counters["median_s"] = at(0.5);
    state.counters["p95_s"] = at(0.95);
    state.counters["slowest_s"] = at(1);
    state.counters["widest_gap_%"] = widest_gap;
}

/// Tasks of four pairs of hands, each after up to three of the twenty before it, every fifth in
/// need of a delivery, every seventh left to dry.
ScheduleProblem long_schedule(int tasks) {
    std::mt19937_64 random(1);
    ScheduleProblem problem;
    problem.start = make_date(2027, 3, 1);
    for (int w = 0; w < 4; ++w) {
        Worker worker;
        worker.name = "worker" + std::to_string(w);
        problem.workers.push_back(worker);
    }
    for (int t = 0; t < tasks; ++t) {
        Task task;
        task.id = "t" + std::to_string(t);
        task.title = task.id;
        task.workers = {problem.workers[random() % 4].name};
        task.minutes = static_cast<double>(10 + random() % 200);
        if (t % 7 == 0) task.wait_minutes = 240;
        for (int a = 0; a < 3 && t > 0; ++a) {
            const auto back = static_cast<int>(1 + random() % 20);
            const std::string before = "t" + std::to_string(t - back);
            if (back <= t &&
                std::find(task.after.begin(), task.after.end(), before) == task.after.end())
                task.after.push_back(before);
        }
        if (t % 5 == 0) {
            const std::string arrival = "a" + std::to_string(t);
            task.needs = {arrival};
            problem.arrivals[arrival] = problem.start + std::chrono::days(random() % 30);
        }
        problem.tasks.push_back(std::move(task));
    }
    return problem;
}

void schedule_tasks(benchmark::State& state) {
    const ScheduleProblem problem = long_schedule(static_cast<int>(state.range(0)));
    for (auto _ : state) benchmark::DoNotOptimize(schedule(problem));
}

void finish_asked_again(benchmark::State& state) {
    const ScheduleProblem problem = long_schedule(static_cast<int>(state.range(0)));
    const FinishDate finish(problem);
    for (auto _ : state) benchmark::DoNotOptimize(finish(problem.arrivals));
}

} // namespace

BENCHMARK(procure_markets)->Arg(100)->Iterations(1)->Unit(benchmark::kSecond);
BENCHMARK(schedule_tasks)->Arg(500)->Unit(benchmark::kMillisecond);
BENCHMARK(finish_asked_again)->Arg(500)->Unit(benchmark::kMillisecond);

BENCHMARK_MAIN();
