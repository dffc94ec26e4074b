// Where in a document a fault stands that knows no place.
#pragma once

#include "aumbry/fault.hpp"

#include <utility>
#include <vector>

namespace aumbry {

/// Faults of a call that know no place stand at a pointer of the project: "/tasks".
template <class Call>
auto at_pointer(const char* pointer, const Call& call) {
    try {
        return call();
    } catch (const FaultError& error) {
        std::vector<Fault> placed = error.faults();
        for (Fault& fault : placed) {
            if (fault.place.file.empty() && fault.place.pointer.empty())
                fault.place.pointer = pointer;
        }
        throw FaultError(std::move(placed));
    }
}

} // namespace aumbry
