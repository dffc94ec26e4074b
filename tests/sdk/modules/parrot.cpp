// A module that answers what the first line of a request tells it to: its field `say` is the reply,
// its field `do` a way to misbehave. Written by hand over the C door, so that nothing stands
// between it and the host.
#include "aumbry/plugin.h"

#include <nlohmann/json.hpp>

#include <cstring>
#include <new>
#include <stdexcept>
#include <string>

namespace {

constexpr const char* description =
    R"({"id": "parrot", "title": "Parrot", "version": "1.0", "contract": "0.1",
  "line_kinds": [{"kind": "parrot.word", "title": "Word", "derived": [{"name": "mass", "unit": "kg"}]}],
  "catalog_classes": [{"name": "seed", "title": "Seed"}], "news from a later contract": [1, 2]})";

struct Instance {
    const aumbry_host* host;
    int texts_out = 0;
};

void* create(const aumbry_host* host) {
    return new Instance{host};
}

aumbry_status say(Instance& self, const std::string& words, aumbry_text* reply,
                  aumbry_status status = AUMBRY_OK) {
    char* data = new char[words.size()];
    std::memcpy(data, words.data(), words.size());
    *reply = {data, words.size()};
    ++self.texts_out;
    return status;
}

aumbry_status call(void* instance, const char* method, const char* request, size_t size,
                   aumbry_text* reply) {
    auto& self = *static_cast<Instance*>(instance);
    if (std::string(method) == "describe") return say(self, description, reply);
    if (std::string(method) == "texts_out") return say(self, std::to_string(self.texts_out), reply);
    const auto in = nlohmann::json::parse(request, request + size);
    const auto& fields = in["lines"][0]["fields"];
    const std::string what = fields.value("do", "");
    if (what == "throw") throw std::runtime_error("polly");
    if (what == "throw unknown") throw 7;
    if (what == "no reply") return AUMBRY_OK;
    if (what == "fault") return say(self, "the beak hurts", reply, AUMBRY_FAULT);
    if (what == "fault without reason") return AUMBRY_FAULT;
    if (what == "unknown") return AUMBRY_UNKNOWN;
    if (what == "strange status") return 99;
    if (what == "cancel unasked") return AUMBRY_CANCELLED;
    if (what == "shout") {
        self.host->log(self.host->context, "\x1b[31mpieces of eight\x07");
        self.host->progress(self.host->context, 7);
        return say(self, "rude \xff\x1b", reply, AUMBRY_FAULT);
    }
    if (what == "wait") {
        self.host->log(self.host->context, "waiting");
        self.host->progress(self.host->context, 0.5);
        if (self.host->cancelled(self.host->context) != 0) return AUMBRY_CANCELLED;
        return say(self, "{\"lines\": []}", reply);
    }
    return say(self, fields["say"].get<std::string>(), reply);
}

void release(void* instance, aumbry_text text) {
    --static_cast<Instance*>(instance)->texts_out;
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
