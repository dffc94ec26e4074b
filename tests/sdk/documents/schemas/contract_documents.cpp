// contract_documents PLUGINS: asks every module about lines made from its own fields and prints
// each document that crosses the door as one line {"document": ..., "value": ...}, for a validator
// outside.
#include "modules/check/sample_lines.hpp"

#include "aumbry/plugin_host.hpp"

#include <iostream>

namespace {

void print(const char* document, const std::string& text) {
    std::cout << "{\"document\":\"" << document << "\",\"value\":" << text << "}\n";
}

/// One call; what was asked and answered is printed as it crossed the door.
template <class Request>
std::string ask(aumbry::PluginHost& host, const std::string& module, const std::string& method,
                const Request& request) {
    const std::string text = aumbry::contract::to_json(request).dump();
    const std::string answer = host.call_text(module, method, text);
    print((method + "_request").c_str(), text);
    if (!answer.empty()) print((method + "_reply").c_str(), answer);
    return answer;
}

} // namespace

int main(int count, char** arguments) {
    using namespace aumbry;
    if (count != 2) return 2;
    PluginHost host({arguments[1]});
    for (const contract::Description& module : host.modules()) {
        print("description", host.call_text(module.id, "describe", "{}"));
        for (const contract::LineKind& kind : module.line_kinds) {
            for (SampleLine& sample : sample_lines(module, kind)) {
                contract::DeriveRequest derive{
                    {sample.line}, sample_settings(module), Json::object()};
                for (const std::string& table : module.tables) derive.tables[table] = Json::array();
                const std::string derived = ask(host, module.id, "derive", derive);
                if (!derived.empty()) {
                    for (const auto& line :
                         contract::read_derive_reply(parse_json(derived), "").lines)
                        sample.line.derived = line.values;
                }
                contract::TakeOffRequest take_off;
                take_off.kind = kind.kind;
                take_off.group = "sample_group";
                take_off.lines = {sample.line};
                take_off.offers = sample_offers(module, kind, sample.line);
                take_off.cutting = {{"first_shop", true, "0.8", {}, 2, 3.2, 50, 1}};
                take_off.settings = derive.settings;
                take_off.tables = derive.tables;
                const std::string taken = ask(host, module.id, "take_off", take_off);
                contract::FollowRequest follow;
                follow.lines = {sample.line};
                if (!taken.empty()) {
                    const auto reply = contract::read_take_off_reply(parse_json(taken), "");
                    for (const contract::Demand& demand : reply.demands) {
                        if (demand.ways.empty()) continue;
                        contract::Chosen chosen;
                        chosen.module = module.id;
                        chosen.demand = demand.id;
                        chosen.way = demand.ways[0].id;
                        chosen.uses = demand.ways[0].uses;
                        chosen.shares = demand.shares;
                        chosen.plans = demand.ways[0].plans;
                        follow.chosen.push_back(chosen);
                    }
                    follow.quantities[module.id] = reply.quantities;
                }
                follow.settings = derive.settings;
                follow.tables = derive.tables;
                (void)ask(host, module.id, "follow", follow);
            }
        }
    }
    return 0;
}
