#include "modules/check/checks.hpp"

#include "modules/check/child_process.hpp"
#include "modules/check/contract_keys.hpp"
#include "modules/check/conversation.hpp"
#include "modules/description_check.hpp"

#include <algorithm>
#include <clocale>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <iterator>
#include <limits>
#include <malloc.h>
#include <memory>
#include <unistd.h>
#include <vector>

namespace aumbry {
namespace {

std::string passes_if(ModuleFileState bad, const CheckInput& input) {
    const ModuleFile file = open_module_file(input.file);
    return file.state == bad ? file.reason : "";
}

std::string makes_instances(const CheckInput& input) {
    const ModuleUnderTest first(input.file);
    std::vector<std::unique_ptr<ModuleUnderTest>> others;
    for (int i = 0; i < 10; ++i)
        others.push_back(std::make_unique<ModuleUnderTest>(first.functions()));
    return {};
}

std::string describes_the_same(const CheckInput& input) {
    const ModuleUnderTest first(input.file);
    const ModuleUnderTest second(first.functions());
    const Reply reply = first.call("describe", "{}");
    if (first.call("describe", "{}") != reply)
        return "the second answer of an instance differs from its first";
    if (second.call("describe", "{}") != reply) return "two instances answer differently";
    return {};
}

std::string names_are_sound(const CheckInput& input) {
    const contract::Description description = describe(ModuleUnderTest(input.file));
    const std::string fault = fault_of_names(description);
    return fault.empty()
               ? fault_of_kind_names(description, read_kind_table(input.file.parent_path()))
               : fault;
}

std::string repeats_itself(const CheckInput& input) {
    const ModuleUnderTest first(input.file);
    const ModuleUnderTest second(first.functions());
    for (const Asked& asked : everything_asked(first, input.tables, Samples::all)) {
        say_doing(asked.name());
        if (first.call(asked.method, asked.request) != asked.reply)
            return asked.name() + " answers the same request differently the second time";
        if (second.call(asked.method, asked.request) != asked.reply)
            return asked.name() + " of another instance answers the same request differently";
    }
    return {};
}

std::string answers_alike_everywhere(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    const std::vector<Asked> asked = everything_asked(door, input.tables, Samples::usual);
    setenv("TZ", "Asia/Tokyo", 1);
    setenv("LC_ALL", "de_DE.UTF-8", 1);
    if (std::setlocale(LC_ALL, "") == nullptr) std::setlocale(LC_ALL, "C.UTF-8");
    std::filesystem::current_path("/");
    const ModuleUnderTest moved(door.functions());
    for (const Asked& each : asked) {
        say_doing(each.name());
        if (moved.call(each.method, each.request) != each.reply)
            return each.name() + " answers differently in another time zone, locale or folder";
    }
    return {};
}

/// Adds an unknown key to every object of a document but those whose keys are names of the project.
void add_unknown_keys(Json& value) {
    if (value.is_array()) {
        for (Json& item : value) add_unknown_keys(item);
    } else if (value.is_object()) {
        for (const char* part : {"lines", "references", "offers", "cutting", "chosen", "uses",
                                 "shares", "material", "settings"}) {
            if (const auto found = value.find(part); found != value.end()) add_unknown_keys(*found);
        }
        value["key_of_a_later_contract"] = Json::array({1, "two"});
    }
}

std::string ignores_unknown_keys(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    for (const Asked& asked : everything_asked(door, input.tables, Samples::usual)) {
        say_doing(asked.name());
        Json request = parse_json(asked.request);
        add_unknown_keys(request);
        if (door.call(asked.method, request.dump()) != asked.reply)
            return asked.name() +
                   " answers differently when its request has keys of a later contract";
    }
    return {};
}

std::string refuses_what_is_no_json(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    for (const Asked& asked : everything_asked(door, input.tables, Samples::usual)) {
        say_doing(asked.name());
        if (asked.reply.status == AUMBRY_UNKNOWN) continue;
        for (const std::string& junk :
             {std::string(), std::string("{"), std::string("squawk"), std::string("\xff\xfe{}\x01"),
              std::string(100000, '['), asked.request.substr(0, asked.request.size() / 2),
              asked.request.substr(0, asked.request.size() - 1)}) {
            const Reply reply = door.call(asked.method, junk);
            if (reply.status != AUMBRY_FAULT)
                return asked.name() + " answers " + status_name(reply.status) + " to the request " +
                       in_words(junk.substr(0, 20)) + ", which is no JSON";
            if (reply.text.empty())
                return asked.name() + " does not say why it refuses a request that is no JSON";
        }
        if (door.call(asked.method, asked.request) != asked.reply)
            return asked.name() + " answers differently after a request that was no JSON";
    }
    return {};
}

std::string survives_wrong_types(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    for (const Asked& asked : everything_asked(door, input.tables, Samples::usual)) {
        say_doing(asked.name());
        const Json request = parse_json(asked.request);
        const Json flat = request.flatten();
        for (const auto& [pointer, value] : flat.items()) {
            for (const Json& wrong : {Json(), Json(-7), Json("none of these"),
                                      Json::array({Json::object()}), Json::object()}) {
                Json changed = request;
                changed[Json::json_pointer(pointer)] = wrong;
                const Reply reply = door.call(asked.method, changed.dump());
                if (reply.status != AUMBRY_OK && reply.status != AUMBRY_FAULT &&
                    reply.status != AUMBRY_UNKNOWN) {
                    return asked.name() + " answers " + status_name(reply.status) + " when " +
                           pointer + " is " + in_words(wrong);
                }
                if (reply.status == AUMBRY_OK)
                    (void)parse_json(reply.text, "reply to " + asked.method);
            }
        }
    }
    return {};
}

std::string knows_its_methods(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    for (const char* method : {"no_method_has_this_name", "", "DESCRIBE"}) {
        const Reply reply = door.call(method, "{}");
        if (reply.status != AUMBRY_UNKNOWN)
            return "the method '" + std::string(method) + "' is answered with " +
                   status_name(reply.status);
    }
    return {};
}

std::string answers_when_cancelled(const CheckInput& input) {
    ModuleUnderTest door(input.file);
    const std::vector<Asked> asked = everything_asked(door, input.tables, Samples::usual);
    for (const Asked& each : asked) {
        say_doing(each.name());
        door.set_cancelled(true);
        const Reply reply = door.call(each.method, each.request);
        if (reply.status != AUMBRY_CANCELLED && reply != each.reply)
            return each.name() + " answers something else when the host cancels";
        door.set_cancelled(false);
        if (door.call(each.method, each.request) != each.reply)
            return each.name() + " answers differently after a cancelled call";
    }
    return {};
}

std::string keeps_texts(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    aumbry_text held{};
    if (door.hold("describe", "{}", held) != AUMBRY_OK || held.data == nullptr)
        return "describe fails";
    const std::string copy(held.data, held.size);
    (void)everything_asked(door, input.tables, Samples::usual);
    const bool same = std::memcmp(held.data, copy.data(), copy.size()) == 0;
    door.release(held);
    return same ? "" : "a text changed before it was given back";
}

std::size_t bytes_in_use() {
    const auto info = mallinfo2();
    return info.uordblks + info.hblkhd;
}

std::string gives_memory_back(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    const std::vector<Asked> asked = everything_asked(door, input.tables, Samples::usual);
    const auto round = [&] {
        for (const Asked& each : asked) (void)door.call(each.method, each.request);
        (void)door.call("describe", "{}");
        const ModuleUnderTest other(door.functions());
    };
    constexpr std::size_t rounds = 20;
    for (std::size_t i = 0; i < rounds; ++i) round();
    // The allocator keeps some of what it gets back, more after one stretch of calls and less after
    // another; what is lost for good is lost in every stretch.
    constexpr int stretches = 6;
    std::size_t least = std::numeric_limits<std::size_t>::max();
    for (int stretch = 0; stretch < stretches; ++stretch) {
        const std::size_t before = bytes_in_use();
        for (std::size_t i = 0; i < rounds; ++i) round();
        const std::size_t after = bytes_in_use();
        least = std::min(least, after > before ? after - before : 0);
    }
    // A text or an instance that is not given back is larger than this.
    constexpr std::size_t tolerated = 32;
    if (least > rounds * tolerated)
        return std::to_string(least / rounds) + " bytes are lost in every round of calls";
    return {};
}

std::string answers_everything(const CheckInput& input) {
    ask_everything(ModuleUnderTest(input.file), input.tables, Samples::all, {});
    return {};
}

/// The first key of the description or a reply that the contract does not have.
std::string has_known_keys(const CheckInput& input) {
    const ModuleUnderTest door(input.file);
    const Json description = parse_json(door.call("describe", "{}").text, "description");
    if (const std::string found = unknown_key(description, "description"); !found.empty())
        return "description: " + found;
    for (const Asked& asked : everything_asked(door, input.tables, Samples::usual)) {
        if (asked.reply.status == AUMBRY_UNKNOWN) continue;
        const std::string found =
            unknown_key(parse_json(asked.reply.text, "reply"), asked.method + "_reply");
        if (!found.empty()) return "reply to " + asked.name() + ": " + found;
    }
    return {};
}

/// What a module shares with its host and everything else in the process.
struct SharedState {
    std::filesystem::path folder = std::filesystem::current_path();
    std::string locale = std::setlocale(LC_ALL, nullptr);
    std::vector<std::string> environment;
    std::ptrdiff_t threads = std::distance(std::filesystem::directory_iterator("/proc/self/task"),
                                           std::filesystem::directory_iterator());
    bool writes = fcntl(STDOUT_FILENO, F_GETFD) >= 0 && fcntl(STDERR_FILENO, F_GETFD) >= 0;

    SharedState() {
        for (char** variable = environ; *variable != nullptr; ++variable)
            environment.emplace_back(*variable);
    }
};

std::string leaves_the_process_alone(const CheckInput& input) {
    const SharedState before;
    const ModuleUnderTest door(input.file);
    (void)everything_asked(door, input.tables, Samples::usual);
    const SharedState after;
    if (after.folder != before.folder) return "it changed the working folder of the process";
    if (after.locale != before.locale) return "it changed the locale of the process";
    if (after.environment != before.environment) return "it changed the environment of the process";
    if (after.writes != before.writes)
        return "it closed the standard output or error of the process";
    if (after.threads > before.threads)
        return "a thread of it goes on after its calls have returned";
    return {};
}

const Check checks[] = {
    {"loads", "The shared object can be loaded, with every symbol that it needs.",
     [](const CheckInput& in) { return passes_if(ModuleFileState::not_loaded, in); },
     Needs::nothing},
    {"exports-entry", "It exports 'aumbry_module', which gives a table of functions without gaps.",
     [](const CheckInput& in) { return passes_if(ModuleFileState::no_entry, in); }, Needs::nothing},
    {"contract-version", "It speaks a version of the contract that this host speaks.",
     [](const CheckInput& in) { return passes_if(ModuleFileState::other_contract, in); },
     Needs::nothing},
    {"makes-instances", "Instances are made and ended, several at a time.", makes_instances,
     Needs::module},
    {"describes-itself", "Its description follows the contract.",
     [](const CheckInput& in) {
         const ModuleUnderTest door(in.file);
         return fault_of_contract(describe(door), *door.functions());
     },
     Needs::module},
    {"describes-the-same", "It describes itself with the same bytes every time.",
     describes_the_same, Needs::module},
    {"names-are-sound",
     "Ids are snake_case, line kinds are called module.kind, and nothing is described twice.",
     names_are_sound, Needs::module},
    {"fields-are-sound", "Unit, range, choices, default and help of every field fit its type.",
     [](const CheckInput& in) { return fault_of_fields(describe(ModuleUnderTest(in.file))); },
     Needs::module},
    {"references-are-sound", "What the description refers to exists.",
     [](const CheckInput& in) { return fault_of_references(describe(ModuleUnderTest(in.file))); },
     Needs::module},
    {"fields-are-readable",
     "Reading by its fields takes what they allow and refuses what they do not.",
     [](const CheckInput& in) { return fault_of_reading(describe(ModuleUnderTest(in.file))); },
     Needs::module},
    {"answers-soundly",
     "Lines with usual values and at every edge of its fields are answered as the contract allows, "
     "with and without offers.",
     answers_everything, Needs::module},
    {"has-known-keys",
     "Every key of its description and replies is one of the contract's: a slip is ignored by "
     "hosts.",
     has_known_keys, Needs::sound_answers},
    {"repeats-itself", "The same request is answered with the same bytes, by any instance.",
     repeats_itself, Needs::sound_answers},
    {"answers-alike-everywhere", "Time zone, locale and working folder do not change an answer.",
     answers_alike_everywhere, Needs::sound_answers},
    {"ignores-unknown-keys", "Keys of a later contract do not change an answer.",
     ignores_unknown_keys, Needs::sound_answers},
    {"refuses-no-json", "A request that is no JSON is refused with a reason.",
     refuses_what_is_no_json, Needs::sound_answers},
    {"survives-wrong-types",
     "A request with a value of a wrong kind is answered or refused, never a crash.",
     survives_wrong_types, Needs::sound_answers},
    {"knows-its-methods", "A method that it does not have is answered with AUMBRY_UNKNOWN.",
     knows_its_methods, Needs::module},
    {"can-be-cancelled",
     "A cancelled call ends as cancelled or with its usual answer, and leaves no trace.",
     answers_when_cancelled, Needs::sound_answers},
    {"keeps-texts", "A text stays as it is until it is given back.", keeps_texts,
     Needs::sound_answers},
    {"gives-memory-back", "Texts and instances that are given back take no memory any more.",
     gives_memory_back, Needs::sound_answers},
    {"leaves-the-process-alone",
     "Working folder, locale, environment, output and threads of the host's process are as before.",
     leaves_the_process_alone, Needs::sound_answers},
    {"prints-nothing", "Nothing is written to the screen.", answers_everything,
     Needs::sound_answers},
};

} // namespace

std::span<const Check> all_checks() {
    return checks;
}

} // namespace aumbry
