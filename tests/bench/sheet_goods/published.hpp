// Reading published instances, one JSON object a line, and writing results that anybody can verify.
#pragma once

#include "sheet_goods/engine/cutting.hpp"

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace aumbry::sheet_goods::bench {

struct Arguments {
    std::string file;
    std::string out;
    Effort effort = Effort::normal;
    bool fixed = false;  ///< parts keep the direction they are given in
    bool subset = false; ///< a fixed choice for everyday use
};

/// Prints the usage and exits with 2 when the arguments are wrong.
[[nodiscard]] Arguments read_arguments(int argc, char** argv, const std::string& usage);

/// One object a line. Exits with 1 and a sentence when the file cannot be read.
[[nodiscard]] std::vector<nlohmann::json> read_lines(const std::string& file);

/// Placements of every sheet, copies written out.
[[nodiscard]] nlohmann::json sheets_of(const Plan& plan);

/// Seconds this process has worked: the engine keeps one core busy, and other programs do not
/// count.
[[nodiscard]] double seconds_of_work();

} // namespace aumbry::sheet_goods::bench
