// Runs a general-purpose solver (GLPK's glpsol, Debian package glpk-utils) on a small whole-number
// programme.
#pragma once

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include <unistd.h>

namespace aumbry::testing {

/// Minimise cost . x; row by row coefficients . x >= least (or <= with `at_most`); x whole, zero or
/// more.
struct WholeProgramme {
    struct Row {
        std::vector<double> coefficients;
        double right_side = 0;
        bool at_most = false;
    };
    std::vector<double> cost;
    std::vector<Row> rows;
};

inline bool glpsol_is_there() {
    return std::system("command -v glpsol >/dev/null 2>&1") == 0;
}

/// What glpsol finds.
struct Solution {
    double cost = 0;
    std::vector<double> values; ///< by column, in the order in which the programme names them
};

/// The solution of least cost of a programme in CPLEX LP format, or nothing when there is none or
/// glpsol does not run.
inline std::optional<Solution> solve(const std::string& programme,
                                     const std::string& options = "") {
    const auto stem =
        std::filesystem::temp_directory_path() / ("aumbry-glpk-" + std::to_string(::getpid()));
    const std::string model = stem.string() + ".lp", answer = stem.string() + ".out";
    std::ofstream(model) << programme;
    const std::string command =
        "glpsol " + options + " --lp '" + model + "' -w '" + answer + "' >/dev/null 2>&1";
    const int status = std::system(command.c_str());
    std::optional<Solution> found;
    if (std::ifstream in(answer); status == 0 && in) {
        std::string line;
        while (std::getline(in, line)) {
            // "s mip ROWS COLUMNS STATUS VALUE": status o is proven optimal; "j COLUMN VALUE"
            std::istringstream words(line);
            std::string kind, class_of, state;
            long rows = 0, columns = 0;
            double value = 0;
            words >> kind;
            if (kind == "s") {
                if (words >> class_of >> rows >> columns >> state >> value && state == "o")
                    found = Solution{value, {}};
            } else if (kind == "j" && found && words >> columns >> value) {
                found->values.push_back(value);
            }
        }
    }
    std::filesystem::remove(model);
    std::filesystem::remove(answer);
    return found;
}

/// The least cost of a small programme with all its coefficients.
inline std::optional<double> min_cost(const WholeProgramme& programme) {
    std::ostringstream out;
    const auto sum = [&out](const std::vector<double>& coefficients) {
        bool any = false;
        for (std::size_t c = 0; c < coefficients.size(); ++c)
            if (coefficients[c] != 0.0) {
                out << (coefficients[c] < 0 ? " - " : " + ") << std::fabs(coefficients[c]) << " x"
                    << c << '\n';
                any = true;
            }
        if (!any) out << " 0 x0\n";
    };
    out.precision(15);
    out << "Minimize\n cost:";
    sum(programme.cost);
    out << "Subject To\n";
    for (std::size_t r = 0; r < programme.rows.size(); ++r) {
        out << " r" << r << ':';
        sum(programme.rows[r].coefficients);
        out << (programme.rows[r].at_most ? " <= " : " >= ") << programme.rows[r].right_side
            << '\n';
    }
    out << "General\n";
    for (std::size_t c = 0; c < programme.cost.size(); ++c) out << " x" << c << '\n';
    out << "End\n";
    const std::optional<Solution> found = solve(out.str());
    return found ? std::optional(found->cost) : std::nullopt;
}

} // namespace aumbry::testing
