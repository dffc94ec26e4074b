// Telling a maker: findings about a line, faults turned into findings.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/fault.hpp"
#include "hardware_kits/engine/assembly.hpp"

#include <string>
#include <vector>

namespace aumbry::hardware_kits {

/// "12.5 kg".
[[nodiscard]] std::string mass_text(double kg);

/// The engine's clause as a sentence about the line.
[[nodiscard]] contract::Finding about(const contract::Line& line, contract::Finding finding);

/// Runs a reading; what is wrong becomes problems of the line. False when something was.
template <class Read>
bool guarded(const contract::Line& line, std::vector<contract::Finding>& findings,
             const Read& read) {
    try {
        read();
        return true;
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults())
            findings.push_back(
                about(line, {contract::Severity::problem, fault.code, "",
                             fault.wrong + (fault.right.empty() ? "" : "; " + fault.right)}));
        return false;
    }
}

/// An offer bought by count, as one that fills an amount of `content` a piece; none when it is
/// priced by something else.
[[nodiscard]] bool by_count(const contract::Offer& offer);

/// What one person carries, as the workshop says.
[[nodiscard]] Alone alone_in(const contract::Settings& settings);

/// The records of a field; empty when there are none.
[[nodiscard]] const Json& records(const contract::Line& line, const char* field);

/// The longest and the largest part that a field of the line names, into a step that lifts them.
/// The records of a field name it as `line`.
void add_sizes(const contract::Line& line, const char* field, AssemblyStep& step);

/// A warning when a part that carries hinges, pivots or springs of `line` is joined at a seam.
void warn_of_seam(const contract::Line& line, const contract::Line& carrier,
                  std::vector<contract::Finding>& findings);

} // namespace aumbry::hardware_kits
