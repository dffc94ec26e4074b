// A module whose take-off waits until the host cancels it, as an engine does that has much to
// search. After two minutes it gives up: then nobody cancelled.
#include "aumbry/plugin.h"

#include <chrono>
#include <cstring>
#include <string>
#include <thread>

namespace {

constexpr const char* description =
    R"({"id": "patient", "title": "Patient", "version": "1.0", "contract": "0.1",
  "line_kinds": [{"kind": "patient.wait", "title": "Wait"}]})";

struct Instance {
    const aumbry_host* host;
};

void* create(const aumbry_host* host) {
    return new Instance{host};
}

aumbry_status say(const std::string& words, aumbry_text* reply, aumbry_status status) {
    char* data = new char[words.size()];
    std::memcpy(data, words.data(), words.size());
    *reply = {data, words.size()};
    return status;
}

aumbry_status wait(const aumbry_host& host, aumbry_text* reply) {
    host.log(host.context, "waiting for the paint to dry");
    for (int i = 0; i < 12000; ++i) {
        host.progress(host.context, 0.25);
        if (host.cancelled(host.context) != 0) return AUMBRY_CANCELLED;
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return say("nobody cancelled", reply, AUMBRY_FAULT);
}

aumbry_status call(void* instance, const char* method, const char*, size_t, aumbry_text* reply) {
    const std::string name = method;
    if (name == "describe") return say(description, reply, AUMBRY_OK);
    if (name == "derive") return say(R"({"lines": []})", reply, AUMBRY_OK);
    if (name == "take_off") return wait(*static_cast<Instance*>(instance)->host, reply);
    return AUMBRY_UNKNOWN;
}

void release(void*, aumbry_text text) {
    delete[] text.data;
}

void destroy(void* instance) {
    delete static_cast<Instance*>(instance);
}

const aumbry_module_functions functions{
    AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR, create, call, release, destroy};

} // namespace

extern "C" AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);
extern "C" const aumbry_module_functions* aumbry_module(void) {
    return &functions;
}
