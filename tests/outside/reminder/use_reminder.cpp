// Loads the module written in C through the same host as any other, and checks it.
#include <aumbry/plugin_check.hpp>
#include <aumbry/plugin_host.hpp>

#include <cstdio>

int main(int count, char** arguments) {
    using namespace aumbry;
    if (count != 2) return 2;
    PluginHost host({arguments[1]});
    for (const RefusedModule& refused : host.refused())
        std::printf("%s: %s\n", refused.file.c_str(), refused.reason.c_str());
    if (host.modules().size() != 1 || host.module_of_kind("reminder.measure") == nullptr) return 1;

    contract::Line line;
    line.id = "before_cutting";
    line.kind = "reminder.measure";
    contract::TakeOffRequest request;
    request.kind = line.kind;
    request.lines = {line};
    const auto taken = host.take_off("reminder", request);
    if (taken->steps.size() != 1 || taken->steps[0].minutes != 30 || taken->findings.size() != 1) {
        std::printf("the reply is not what the module says\n");
        return 1;
    }
    const auto results = check_plugin(host.file_of("reminder"));
    if (!all_passed(results)) {
        std::printf("%s", check_text(host.file_of("reminder"), results).c_str());
        return 1;
    }
    return 0;
}
