// A module that keeps the contract but for one trick, named by the environment variable TRICK.
#include "aumbry/plugin.h"

#include <nlohmann/json.hpp>

#include <chrono>
#include <clocale>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <stdexcept>
#include <string>
#include <thread>
#include <unistd.h>

namespace {

using nlohmann::json;

bool trick(const char* name) {
    const char* chosen = std::getenv("TRICK");
    return chosen != nullptr && std::strcmp(chosen, name) == 0;
}

int calls = 0;
bool was_cancelled = false;
[[maybe_unused]] const bool loaded = [] {
    if (trick("leaves when loaded")) std::_Exit(0);
    return true;
}();

struct Instance {
    const aumbry_host* host;
    std::string last;
};

json description() {
    json turns = {
        {"name", "turns"}, {"type", "count"}, {"title", "Turns"}, {"help", "how often it turns"},
        {"minimum", 1},    {"maximum", 9},    {"fallback", 3}};
    json rope = {{"name", "rope"},
                 {"type", "quantity"},
                 {"unit", "mm"},
                 {"title", "Rope"},
                 {"help", "how long the rope is"},
                 {"required", true},
                 {"minimum", 0},
                 {"above_minimum", true},
                 {"maximum", 5000}};
    json kind = {
        {"kind", "trickster.knot"},
        {"title", "Knot"},
        {"fields", {turns, rope}},
        {"derived", json::array({{{"name", "mass"}, {"unit", "kg"}}})},
        {"offers",
         json::array(
             {{{"class", "rope"},
               {"match", json::array({{{"attribute", "colour"}, {"value", "fields.turns"}}})}}})}};
    json rope_class = {{"name", "rope"},
                       {"title", "Rope"},
                       {"attributes", json::array({{{"name", "colour"},
                                                    {"type", "count"},
                                                    {"title", "Colour"},
                                                    {"help", "by number"}}})}};
    json out = {
        {"id", "trickster"}, {"title", "Trickster"}, {"version", "1.0"}, {"contract", "0.1"}};
    if (trick("foreign kind")) kind["kind"] = "panel";
    if (trick("no help")) kind["fields"][0].erase("help");
    if (trick("default out of range")) kind["fields"][0]["fallback"] = 10;
    if (trick("unknown unit")) kind["fields"][1]["unit"] = "cubits";
    if (trick("common key")) kind["fields"][1]["name"] = "count";
    if (trick("groups by nothing")) kind["group_by"] = {"fields.colour"};
    if (trick("description is no list")) kind = 3;
    if (trick("misspelt field key")) {
        kind["fields"][1].erase("required");
        kind["fields"][1]["requierd"] = true;
    }
    if (trick("claims another contract")) out["contract"] = "0.9";
    if (trick("one name for all groups")) kind["group_by"] = {"fields.turns"};
    if (trick("new description every time")) out["title"] = std::to_string(calls);
    out["line_kinds"] = {kind};
    out["catalog_classes"] = {rope_class};
    return out;
}

json reply_to(const std::string& method, const json& in) {
    const json& line = in.at("lines").at(0);
    const std::string id = line.at("id").get<std::string>();
    const double turns = line.at("fields").value("turns", 3.0);
    if (method == "derive") {
        json values = {{"mass", turns}};
        if (trick("answers differ")) values["mass"] = calls;
        if (trick("undeclared value")) values["colour"] = 1;
        if (trick("knows the time zone") && std::getenv("TZ") != nullptr) values["mass"] = 0;
        if (trick("minds unknown keys") && in.contains("key_of_a_later_contract"))
            values["mass"] = 0;
        if (trick("remembers cancelling") && was_cancelled) values["mass"] = 0;
        return {{"lines", json::array({{{"line", id}, {"values", values}}})}};
    }
    if (trick("falls at the edge") && turns == 9) std::raise(SIGSEGV);
    if (trick("gives up at the edge") && turns == 1) throw std::runtime_error("cannot turn once");
    json demand = {{"id", "rope"},
                   {"shares", json::array({{{"line", id}, {"weight", 1}}})},
                   {"amount", {{"quantity", 1}, {"offers", json::array()}}}};
    for (const json& offer : in.value("offers", json::array())) {
        demand["amount"]["offers"].push_back({{"offer", offer.at("id")}, {"content", 1}});
    }
    if (trick("needs an offer") && !in.contains("offers")) throw std::runtime_error("no offers");
    if (trick("other line")) demand["shares"][0]["line"] = "nobody";
    if (trick("misspelt reply key")) demand["returnabel"] = false;
    if (trick("second line falls") && in.at("lines").size() > 1)
        throw std::runtime_error("one at a time");
    json reply = {{"demands", {demand}}};
    if (trick("waits in vain"))
        reply["steps"] = {{{"id", "tie"}, {"title", "Tie"}, {"after", {"dream"}}}};
    return reply;
}

aumbry_status say(Instance& self, std::string words, aumbry_text* reply,
                  aumbry_status status = AUMBRY_OK) {
    if (trick("one buffer")) {
        static char buffer[65536];
        std::memset(buffer, ' ', sizeof buffer);
        std::memcpy(buffer, words.data(), std::min(words.size(), sizeof buffer));
        *reply = {buffer, words.size()};
        return status;
    }
    char* data = static_cast<char*>(std::malloc(words.size() + 1));
    std::memcpy(data, words.data(), words.size());
    *reply = {data, words.size()};
    self.last = std::move(words);
    return status;
}

void* create(const aumbry_host* host) {
    if (trick("no instance")) return nullptr;
    return new Instance{host, {}};
}

aumbry_status call(void* instance, const char* method, const char* request, size_t size,
                   aumbry_text* reply) {
    auto& self = *static_cast<Instance*>(instance);
    ++calls;
    *reply = {nullptr, 0};
    if (trick("prints")) std::printf("tying a knot\n");
    if (trick("hangs")) std::this_thread::sleep_for(std::chrono::hours(1));
    if (trick("leaves")) std::_Exit(3);
    if (trick("leaves quietly")) std::_Exit(0);
    if (trick("leaves quietly in take_off") && std::string(method) == "take_off") std::_Exit(0);
    if (trick("closes the output")) std::fclose(stdout);
    if (trick("moves away")) (void)!chdir("/");
    if (trick("changes the locale")) std::setlocale(LC_ALL, "C.UTF-8");
    if (trick("changes the environment")) setenv("KNOT", "loose", 1);
    if (trick("leaves a thread"))
        std::thread([] { std::this_thread::sleep_for(std::chrono::hours(1)); }).detach();
    if (trick("cancels unasked") && std::string(method) == "derive") return AUMBRY_CANCELLED;
    if (trick("throws")) throw std::runtime_error("lost the end");
    const std::string name = method;
    if (name == "describe") return say(self, description().dump(), reply);
    if (name != "derive" && name != "take_off")
        return trick("answers to any name") ? say(self, "{}", reply) : AUMBRY_UNKNOWN;
    try {
        if (self.host->cancelled(self.host->context) != 0) was_cancelled = true;
        const json in = json::parse(request, request + size);
        return say(self, reply_to(name, in).dump(), reply);
    } catch (const std::exception& error) {
        if (trick("takes anything")) return say(self, "{\"lines\": []}", reply);
        return say(self, error.what(), reply, AUMBRY_FAULT);
    }
}

void release(void*, aumbry_text text) {
    if (!trick("one buffer") && !trick("keeps every text")) std::free(const_cast<char*>(text.data));
}
void destroy(void* instance) {
    if (!trick("keeps every instance")) delete static_cast<Instance*>(instance);
}

const aumbry_module_functions functions{
    AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR, create, call, release, destroy};

} // namespace

extern "C" AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);
extern "C" const aumbry_module_functions* aumbry_module(void) {
    return &functions;
}
