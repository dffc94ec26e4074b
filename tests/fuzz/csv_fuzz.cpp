// Any bytes as a table: no row is torn, nothing but good rows and faults comes out, and good rows
// survive being written.
#include "aumbry/csv.hpp"

#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

namespace {

using Rows = std::vector<std::vector<std::string>>;

void require(bool holds) {
    if (!holds) std::abort();
}

/// The header and the good rows.
Rows read(std::string text, std::size_t& faults) {
    aumbry::csv::decode(text, "t.csv");
    aumbry::csv::Reader reader(text, "t.csv");
    Rows rows;
    rows.emplace_back(reader.header().begin(), reader.header().end());
    int last_row = 0;
    int last_line = 0;
    while (reader.next()) {
        require(reader.fields().size() == reader.header().size());
        require(reader.row() > last_row && reader.line() > last_line);
        last_row = reader.row();
        last_line = reader.line();
        for (const std::string_view field : reader.fields()) {
            require(field.size() <= aumbry::csv::longest_field);
            require(field.empty() || (field.data() >= text.data() &&
                                      field.data() + field.size() <= text.data() + text.size()));
        }
        rows.emplace_back(reader.fields().begin(), reader.fields().end());
    }
    for (const aumbry::csv::RowFault& fault : reader.faults())
        require(!fault.fault.sentence().empty() && fault.row > 0);
    faults = reader.faults().size();
    return rows;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    try {
        std::size_t faults = 0;
        const Rows rows = read(std::string(reinterpret_cast<const char*>(data), size), faults);
        std::string written;
        for (const auto& row : rows) written += aumbry::csv::write_record(row);
        // A header of one column may hold other separators, which would be found instead of the
        // comma.
        if (aumbry::csv::find_separator(written) != ',') return 0;
        const Rows again = read(written, faults);
        require(again == rows && faults == 0);
    } catch (const aumbry::FaultError&) {
        // Said, not crashed.
    }
    return 0;
}
