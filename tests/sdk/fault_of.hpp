// The fault that a call throws, for tests that check its code and sentence.
#pragma once

#include "aumbry/fault.hpp"

#include <utility>

template <typename Call>
aumbry::Fault fault_of(Call&& call) {
    try {
        std::forward<Call>(call)();
    } catch (const aumbry::FaultError& error) {
        return error.faults().front();
    }
    return {"no fault", {}, {}, {}};
}
