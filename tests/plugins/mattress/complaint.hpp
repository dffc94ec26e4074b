// What a call complains about, for tests of bad input.
#pragma once

#include "aumbry/fault.hpp"

#include <string>

namespace aumbry::mattress {

/// All sentences thrown by `call`, one a line; empty when it does not complain.
template <class Call>
std::string complaint(Call call) {
    try {
        call();
    } catch (const FaultError& error) {
        return error.what();
    }
    return {};
}

} // namespace aumbry::mattress
