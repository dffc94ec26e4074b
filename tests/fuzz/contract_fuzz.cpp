// Any JSON is read as a contract document or refused by faults; what is read is written and read
// again as the same.
#include "aumbry/contract.hpp"

#include <cstdint>
#include <cstdlib>

using namespace aumbry;

namespace {

template <class Document>
void read_twice(const Json& in, Document (*read)(const Json&, const std::string&)) {
    try {
        const Json written = contract::to_json(read(in, "fuzz"));
        if (contract::to_json(read(written, "again")) != written) std::abort();
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) {
            // What we write ourselves is never refused.
            if (fault.code.empty() || fault.place.file != "fuzz") std::abort();
        }
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    Json in;
    try {
        in = parse_json({reinterpret_cast<const char*>(data), size});
    } catch (const FaultError&) {
        return 0;
    }
    read_twice(in, contract::read_description);
    read_twice(in, contract::read_derive_request);
    read_twice(in, contract::read_derive_reply);
    read_twice(in, contract::read_take_off_request);
    read_twice(in, contract::read_take_off_reply);
    read_twice(in, contract::read_follow_request);
    read_twice(in, contract::read_plan_request);
    read_twice(in, contract::read_plan_reply);
    read_twice(in, contract::read_follow_reply);
    return 0;
}
