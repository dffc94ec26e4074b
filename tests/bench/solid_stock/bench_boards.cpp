// Reads published one-dimensional cutting instances, solves them and says how near the best known
// it came.
//
//     bench_boards FILE --effort draft|normal|thorough [--out FILE]
//
// One JSON object a line: either `lengths` and `demand`, or `sticks`; `board`; optional `kerf`; the
// best known figure as `minimum` or `best_known`.
#include "solid_stock/engine/boards.hpp"

#include "aumbry/fault.hpp"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <ctime>
#include <fstream>
#include <map>
#include <string>
#include <vector>

namespace {

using aumbry::solid_stock::BoardOrder;
using aumbry::solid_stock::BoardPlan;
using nlohmann::json;

struct Instance {
    std::string id;
    std::string family; ///< the id up to its number
    BoardOrder order;
    std::vector<std::size_t> first_index; ///< of each part among the instance's pieces
    std::int64_t best_known = -1;
};

/// Decimals become whole numbers: everything times ten until nothing is left behind the point.
std::int64_t decimals_factor(const std::vector<double>& numbers) {
    std::int64_t factor = 1;
    for (int digits = 0; digits < 6; ++digits, factor *= 10) {
        bool whole = true;
        for (const double number : numbers) {
            const double scaled = number * static_cast<double>(factor);
            const double rounded = static_cast<double>(static_cast<std::int64_t>(scaled + 0.5));
            whole = whole && scaled - rounded < 1e-6 && rounded - scaled < 1e-6;
        }
        if (whole) return factor;
    }
    return factor;
}

Instance read_instance(const json& document) {
    Instance instance;
    instance.id = document.at("id").get<std::string>();
    instance.family = instance.id.substr(0, instance.id.find('_'));
    const bool sticks = document.contains("sticks");
    auto numbers = document.at(sticks ? "sticks" : "lengths").get<std::vector<double>>();
    const std::size_t kinds = numbers.size();
    numbers.push_back(document.at("board").get<double>());
    numbers.push_back(document.value("kerf", 0.0));
    const std::int64_t factor = decimals_factor(numbers);
    const auto grid = [factor](double number) {
        return static_cast<std::int64_t>(number * static_cast<double>(factor) + 0.5);
    };
    instance.order.kerf = grid(numbers[kinds + 1]);
    instance.order.stock.push_back({"board", grid(numbers[kinds]), 1, -1, 0, 0, false});
    std::size_t index = 0;
    for (std::size_t k = 0; k < kinds; ++k) {
        const std::int64_t count = sticks ? 1 : document.at("demand").at(k).get<std::int64_t>();
        instance.order.parts.push_back({"", grid(numbers[k]), count});
        instance.first_index.push_back(index);
        index += static_cast<std::size_t>(count);
    }
    if (document.contains("minimum")) instance.best_known = document["minimum"].get<std::int64_t>();
    if (document.contains("best_known"))
        instance.best_known = document["best_known"].get<std::int64_t>();
    return instance;
}

/// The plan with one entry a board; `part` is the index of the piece, copies of a length counted
/// on.
json boards_of(const Instance& instance, const BoardPlan& plan) {
    std::vector<std::size_t> next = instance.first_index;
    json boards = json::array();
    for (const auto& board : plan.boards)
        for (std::int64_t copy = 0; copy < board.copies; ++copy) {
            json pieces = json::array();
            for (const auto& piece : board.pieces)
                pieces.push_back({{"part", next[piece.part]++},
                                  {"x", piece.position},
                                  {"length", instance.order.parts[piece.part].length}});
            boards.push_back(std::move(pieces));
        }
    return boards;
}

struct Row {
    std::int64_t instances = 0, used = 0, bound = 0, best_known = 0, reached = 0, proven = 0;
    double seconds = 0, slowest = 0;
};

void print_row(const std::string& name, const Row& row) {
    fmt::print("{:<14} {:>9} {:>8} {:>8} {:>10} {:>8} {:>7} {:>9.3f} {:>9.3f}\n", name,
               row.instances, row.used, row.bound, row.best_known, row.reached, row.proven,
               row.seconds, row.slowest);
}

int run(const std::string& path, const std::string& effort, const std::string& out_path) {
    std::ifstream in(path);
    if (!in)
        aumbry::fail("file-unreadable", {path}, "cannot be read",
                     "name a file of instances, one a line");
    std::ofstream out;
    if (!out_path.empty()) out.open(out_path);

    const std::int64_t steps = aumbry::solid_stock::effort_steps(effort);
    std::map<std::string, Row> rows;
    Row total;
    std::string line;
    for (int number = 1; std::getline(in, line); ++number) {
        if (line.empty()) continue;
        Instance instance;
        try {
            instance = read_instance(json::parse(line));
        } catch (const json::exception& error) {
            aumbry::fail("instance-unreadable", {path, "", number}, error.what(),
                         "give `id`, `board` and the pieces");
        }
        const std::clock_t before = std::clock();
        const BoardPlan plan = aumbry::solid_stock::plan_boards(instance.order, steps);
        const double took = static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
        if (const std::string wrong = check_plan(instance.order, plan); !wrong.empty())
            aumbry::fail("plan-wrong", {path, "", number}, wrong);

        for (Row* row : {&rows[instance.family], &total}) {
            row->instances += 1;
            row->used += plan.used;
            row->bound += plan.used_bound;
            row->best_known += instance.best_known;
            row->reached += plan.used <= instance.best_known;
            row->proven += plan.proven;
            row->seconds += took;
            row->slowest = std::max(row->slowest, took);
        }
        if (out.is_open())
            out << json{{"id", instance.id},
                        {"n", instance.order.parts.size()},
                        {"used", plan.used},
                        {"lower_bound", plan.used_bound},
                        {"proven", plan.proven},
                        {"seconds", took},
                        {"boards", boards_of(instance, plan)}}
                       .dump()
                << '\n';
    }
    fmt::print("{:<14} {:>9} {:>8} {:>8} {:>10} {:>8} {:>7} {:>9} {:>9}\n", "class", "instances",
               "used", "bound", "best known", "reached", "proven", "seconds", "slowest");
    for (const auto& [name, row] : rows) print_row(name, row);
    print_row("total", total);
    return 0;
}

} // namespace

int main(int argc, char** argv) {
    std::string path, effort = "normal", out;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if ((word == "--effort" || word == "--out") && i + 1 < argc)
            (word == "--effort" ? effort : out) = argv[++i];
        else if (path.empty() && !word.starts_with("--"))
            path = word;
        else {
            path.clear();
            break;
        }
    }
    if (path.empty()) {
        fmt::print(stderr,
                   "usage: bench_boards FILE --effort draft|normal|thorough [--out FILE]\n");
        return 2;
    }
    try {
        return run(path, effort, out);
    } catch (const aumbry::FaultError& error) {
        fmt::print(stderr, "{}\n", error.what());
        return 1;
    }
}
