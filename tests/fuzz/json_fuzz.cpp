// Any bytes are read as JSON or refused with a sentence and a place inside the text; what is read
// is what the library reads without our rules, and every value of it is found where it stands.
#include "aumbry/json.hpp"

#include <cstdint>
#include <cstdlib>

using namespace aumbry;

namespace {

void insist(bool holds) {
    if (!holds) std::abort();
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    (void)locate(text, "/a/0/b");
    try {
        const Json document = parse_json(text, "fuzz");
        insist(document == Json::parse(text));
        const Json flat = document.flatten();
        for (const auto& [pointer, value] : flat.items()) {
            insist(find_at(document, pointer) != nullptr);
            insist(locate(text, pointer).has_value());
        }
        insist(parse_json(pretty(document)) == document);
        insist(merge_patch(document, Json::object()) ==
               (document.is_object() ? document : Json::object()));
    } catch (const FaultError& error) {
        const Fault& fault = error.faults().front();
        insist(error.faults().size() == 1 && !fault.code.empty());
        insist(fault.place.line >= 1 && fault.place.column >= 1);
        if (fault.code == "bad-json" && fault.place.pointer.empty()) insist(!Json::accept(text));
    }
    return 0;
}
