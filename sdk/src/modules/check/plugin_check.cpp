#include "aumbry/plugin_check.hpp"

#include "modules/check/child_process.hpp"
#include "modules/check/sample_lines.hpp"
#include "modules/description_check.hpp"
#include "modules/module_file.hpp"
#include "modules/reply_check.hpp"

#include "aumbry/plugin_host.hpp"

#include <algorithm>
#include <clocale>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <functional>
#include <limits>
#include <malloc.h>
#include <memory>
#include <stdexcept>

namespace aumbry {

using contract::Description;
using contract::Line;
using contract::LineKind;

namespace {

/// A reason to fail a check.
struct Failed : std::runtime_error {
    using std::runtime_error::runtime_error;
};

void ignore_log(void*, const char*) {}
void ignore_progress(void*, double) {}
int answer_cancelled(void* context) {
    return *static_cast<const int*>(context);
}

struct Reply {
    aumbry_status status = AUMBRY_OK;
    std::string text;
    bool operator==(const Reply&) const = default;
};

std::string status_name(aumbry_status status) {
    switch (status) {
    case AUMBRY_OK:
        return "success";
    case AUMBRY_FAULT:
        return "a fault";
    case AUMBRY_CANCELLED:
        return "a cancelled call";
    case AUMBRY_UNKNOWN:
        return "an unknown method";
    default:
        return "the unknown status " + std::to_string(status);
    }
}

/// A module and one instance of it, inside the process of a check.
class Door {
  public:
    explicit Door(const std::filesystem::path& file) : opened_(open_module_file(file)) {
        if (opened_.state != ModuleFileState::usable) throw Failed(opened_.reason);
        start();
    }
    explicit Door(const aumbry_module_functions* functions) {
        opened_.functions = functions;
        start();
    }
    Door(const Door&) = delete;
    Door& operator=(const Door&) = delete;
    ~Door() { end_instance(*opened_.functions, instance_); }

    [[nodiscard]] const aumbry_module_functions* functions() const { return opened_.functions; }
    void set_cancelled(bool cancelled) { cancelled_ = cancelled ? 1 : 0; }

    /// A call whose text the caller gives back.
    [[nodiscard]] aumbry_status hold(const char* method, const std::string& request,
                                     aumbry_text& text) const {
        text = {nullptr, 0};
        try {
            return opened_.functions->call(instance_, method, request.data(), request.size(),
                                           &text);
        } catch (const std::exception& error) {
            throw Failed(std::string("an exception came through the C door in ") + method + ": " +
                         error.what());
        } catch (...) {
            throw Failed(std::string("an unknown exception came through the C door in ") + method);
        }
    }
    void release(aumbry_text text) const {
        if (text.data != nullptr) opened_.functions->release(instance_, text);
    }
    [[nodiscard]] Reply call(const char* method, const std::string& request) const {
        aumbry_text text{};
        Reply reply;
        reply.status = hold(method, request, text);
        if (text.data != nullptr)
            reply.text.assign(text.data, text.size);
        else if (reply.status == AUMBRY_OK)
            throw Failed(std::string(method) + " succeeded without a reply");
        release(text);
        return reply;
    }

  private:
    void start() {
        host_.context = &cancelled_;
        std::string reason;
        instance_ = make_instance(*opened_.functions, &host_, reason);
        if (instance_ == nullptr) throw Failed(reason);
    }

    ModuleFile opened_;
    int cancelled_ = 0;
    aumbry_host host_{sizeof(aumbry_host), nullptr, ignore_log, ignore_progress, answer_cancelled};
    void* instance_ = nullptr;
};

Description describe(const Door& door) {
    const Reply reply = door.call("describe", "{}");
    if (reply.status != AUMBRY_OK)
        throw Failed("describe answers " + status_name(reply.status) + ": " + reply.text);
    return contract::read_description(parse_json(reply.text, "description"), "description");
}

/// A reply read and checked as the host does; empty when the module does not have the method.
template <class Answer, class Request>
Answer answer(const Door& door, const Description& module, const char* method,
              const Request& request, Answer (*read)(const Json&, const std::string&),
              const std::function<void(const char*, const std::string&, const Reply&)>& seen) {
    const std::string text = contract::to_json(request).dump();
    const Reply reply = door.call(method, text);
    if (seen) seen(method, text, reply);
    if (reply.status == AUMBRY_UNKNOWN) return {};
    if (reply.status != AUMBRY_OK)
        throw Failed(std::string(method) + " answers " + status_name(reply.status) + ": " +
                     reply.text);
    const std::string origin = std::string("reply to ") + method;
    Answer read_answer = read(parse_json(reply.text, origin), origin);
    check_reply(module, request, read_answer);
    return read_answer;
}

contract::Chosen choose(const Description& module, const contract::Demand& demand) {
    contract::Chosen chosen;
    chosen.module = module.id;
    chosen.demand = demand.id;
    chosen.shares = demand.shares;
    if (!demand.ways.empty()) {
        chosen.way = demand.ways.front().id;
        chosen.uses = demand.ways.front().uses;
        chosen.plans = demand.ways.front().plans;
    } else if (demand.amount && !demand.amount->offers.empty()) {
        const contract::AmountOffer& offer = demand.amount->offers.front();
        const double packs = std::ceil(std::min(demand.amount->quantity / offer.content, 1e6));
        chosen.uses.push_back({offer.offer, static_cast<std::int64_t>(packs), offer.measure});
        chosen.content = packs * offer.content;
    }
    return chosen;
}

/// Everything that can be asked of a module about its sample lines, in order; `seen` hears every
/// request and reply.
/// @throws Failed naming the sample for the first reply that is not as it should be.
void ask_everything(const Door& door, const Json& known_tables,
                    const std::function<void(const char*, const std::string&, const Reply&)>& seen,
                    bool every_sample = true) {
    const Description module = describe(door);
    Json tables = Json::object();
    for (const std::string& table : module.tables)
        tables[table] = known_tables.contains(table) ? known_tables[table] : Json::array();
    const contract::Settings settings = sample_settings(module);
    for (const LineKind& kind : module.line_kinds) {
        for (SampleLine& sample : sample_lines(module, kind)) {
            try {
                Line& line = sample.line;
                for (const auto& derived :
                     answer<contract::DeriveReply>(
                         door, module, "derive", contract::DeriveRequest{{line}, settings, tables},
                         contract::read_derive_reply, seen)
                         .lines) {
                    line.derived = derived.values;
                }
                contract::TakeOffRequest request;
                request.kind = kind.kind;
                request.group = "sample_group";
                request.lines = {line};
                request.settings = settings;
                request.tables = tables;
                // Without any offer first: that is no failure, but a finding.
                (void)answer<contract::TakeOffReply>(door, module, "take_off", request,
                                                     contract::read_take_off_reply, seen);
                request.offers = sample_offers(module, kind, line);
                request.cutting = {{"first_shop", true, "0.8", 2, 3.2, 50, 1}};
                const auto taken = answer<contract::TakeOffReply>(
                    door, module, "take_off", request, contract::read_take_off_reply, seen);

                contract::FollowRequest follow;
                follow.lines = {line};
                for (const contract::Demand& demand : taken.demands)
                    follow.chosen.push_back(choose(module, demand));
                if (!taken.quantities.empty()) follow.quantities[module.id] = taken.quantities;
                follow.settings = settings;
                follow.tables = tables;
                (void)answer<contract::FollowReply>(door, module, "follow", follow,
                                                    contract::read_follow_reply, seen);
            } catch (const ModuleError& error) {
                throw Failed(sample.what + ": " + error.reason());
            } catch (const std::exception& error) {
                throw Failed(sample.what + ": " + error.what());
            }
            if (!every_sample) break;
        }
    }
}

struct Asked {
    std::string method;
    std::string request;
    Reply reply;
};
std::vector<Asked> everything_asked(const Door& door, const Json& tables,
                                    bool every_sample = true) {
    std::vector<Asked> asked;
    ask_everything(
        door, tables,
        [&](const char* method, const std::string& request, const Reply& reply) {
            asked.push_back({method, request, reply});
        },
        every_sample);
    return asked;
}

// ---------------------------------------------------------------- the checks

struct CheckInput {
    std::filesystem::path file;
    Json tables;
};

std::string passes_if(ModuleFileState bad, const CheckInput& input) {
    const ModuleFile file = open_module_file(input.file);
    return file.state == bad ? file.reason : "";
}

std::string makes_instances(const CheckInput& input) {
    const Door first(input.file);
    std::vector<std::unique_ptr<Door>> others;
    for (int i = 0; i < 10; ++i) others.push_back(std::make_unique<Door>(first.functions()));
    return {};
}

std::string describes_the_same(const CheckInput& input) {
    const Door first(input.file);
    const Door second(first.functions());
    const Reply reply = first.call("describe", "{}");
    if (first.call("describe", "{}") != reply)
        return "the second answer of an instance differs from its first";
    if (second.call("describe", "{}") != reply) return "two instances answer differently";
    return {};
}

std::string names_are_sound(const CheckInput& input) {
    const Description description = describe(Door(input.file));
    const std::string fault = fault_of_names(description);
    return fault.empty()
               ? fault_of_kind_names(description, read_kind_table(input.file.parent_path()))
               : fault;
}

std::string repeats_itself(const CheckInput& input) {
    const Door first(input.file);
    const Door second(first.functions());
    for (const Asked& asked : everything_asked(first, input.tables)) {
        if (first.call(asked.method.c_str(), asked.request) != asked.reply)
            return asked.method + " answers the same request differently the second time";
        if (second.call(asked.method.c_str(), asked.request) != asked.reply)
            return asked.method + " of another instance answers the same request differently";
    }
    return {};
}

std::string answers_alike_everywhere(const CheckInput& input) {
    const Door door(input.file);
    const std::vector<Asked> asked = everything_asked(door, input.tables, false);
    setenv("TZ", "Asia/Tokyo", 1);
    setenv("LC_ALL", "de_DE.UTF-8", 1);
    if (std::setlocale(LC_ALL, "") == nullptr) std::setlocale(LC_ALL, "C.UTF-8");
    std::filesystem::current_path("/");
    const Door moved(door.functions());
    for (const Asked& each : asked) {
        if (moved.call(each.method.c_str(), each.request) != each.reply)
            return each.method + " answers differently in another time zone, locale or folder";
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
    const Door door(input.file);
    for (const Asked& asked : everything_asked(door, input.tables, false)) {
        Json request = parse_json(asked.request);
        add_unknown_keys(request);
        if (door.call(asked.method.c_str(), request.dump()) != asked.reply)
            return asked.method +
                   " answers differently when its request has keys of a later contract";
    }
    return {};
}

std::string refuses_what_is_no_json(const CheckInput& input) {
    const Door door(input.file);
    for (const Asked& asked : everything_asked(door, input.tables, false)) {
        if (asked.reply.status == AUMBRY_UNKNOWN) continue;
        for (const std::string& junk :
             {std::string(), std::string("{"), std::string("squawk"), std::string("\xff\xfe{}\x01"),
              std::string(100000, '['), asked.request.substr(0, asked.request.size() / 2),
              asked.request.substr(0, asked.request.size() - 1)}) {
            const Reply reply = door.call(asked.method.c_str(), junk);
            if (reply.status != AUMBRY_FAULT)
                return asked.method + " answers " + status_name(reply.status) + " to the request " +
                       in_words(junk.substr(0, 20)) + ", which is no JSON";
            if (reply.text.empty())
                return asked.method + " does not say why it refuses a request that is no JSON";
        }
        if (door.call(asked.method.c_str(), asked.request) != asked.reply)
            return asked.method + " answers differently after a request that was no JSON";
    }
    return {};
}

std::string survives_wrong_types(const CheckInput& input) {
    const Door door(input.file);
    for (const Asked& asked : everything_asked(door, input.tables, false)) {
        const Json request = parse_json(asked.request);
        const Json flat = request.flatten();
        for (const auto& [pointer, value] : flat.items()) {
            for (const Json& wrong : {Json(), Json(-7), Json("none of these"),
                                      Json::array({Json::object()}), Json::object()}) {
                Json changed = request;
                changed[Json::json_pointer(pointer)] = wrong;
                const Reply reply = door.call(asked.method.c_str(), changed.dump());
                if (reply.status != AUMBRY_OK && reply.status != AUMBRY_FAULT &&
                    reply.status != AUMBRY_UNKNOWN) {
                    return asked.method + " answers " + status_name(reply.status) + " when " +
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
    const Door door(input.file);
    for (const char* method : {"no_method_has_this_name", "", "DESCRIBE"}) {
        const Reply reply = door.call(method, "{}");
        if (reply.status != AUMBRY_UNKNOWN)
            return "the method '" + std::string(method) + "' is answered with " +
                   status_name(reply.status);
    }
    return {};
}

std::string answers_when_cancelled(const CheckInput& input) {
    Door door(input.file);
    const std::vector<Asked> asked = everything_asked(door, input.tables, false);
    for (const Asked& each : asked) {
        door.set_cancelled(true);
        const Reply reply = door.call(each.method.c_str(), each.request);
        if (reply.status != AUMBRY_CANCELLED && reply != each.reply)
            return each.method + " answers something else when the host cancels";
        door.set_cancelled(false);
        if (door.call(each.method.c_str(), each.request) != each.reply)
            return each.method + " answers differently after a cancelled call";
    }
    return {};
}

std::string keeps_texts(const CheckInput& input) {
    const Door door(input.file);
    aumbry_text held{};
    if (door.hold("describe", "{}", held) != AUMBRY_OK || held.data == nullptr)
        return "describe fails";
    const std::string copy(held.data, held.size);
    (void)everything_asked(door, input.tables, false);
    const bool same = std::memcmp(held.data, copy.data(), copy.size()) == 0;
    door.release(held);
    return same ? "" : "a text changed before it was given back";
}

std::size_t bytes_in_use() {
    const auto info = mallinfo2();
    return info.uordblks + info.hblkhd;
}

std::string gives_memory_back(const CheckInput& input) {
    const Door door(input.file);
    const std::vector<Asked> asked = everything_asked(door, input.tables, false);
    const auto round = [&] {
        for (const Asked& each : asked) (void)door.call(each.method.c_str(), each.request);
        (void)door.call("describe", "{}");
        const Door other(door.functions());
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
    ask_everything(Door(input.file), input.tables, {});
    return {};
}

struct Check {
    const char* name;
    const char* purpose;
    std::string (*run)(const CheckInput&);
    bool needs_module; ///< skipped when the module cannot be used at all
};

const Check checks[] = {
    {"loads", "The shared object can be loaded, with every symbol that it needs.",
     [](const CheckInput& in) { return passes_if(ModuleFileState::not_loaded, in); }, false},
    {"exports-entry", "It exports 'aumbry_module', which gives a table of functions without gaps.",
     [](const CheckInput& in) { return passes_if(ModuleFileState::no_entry, in); }, false},
    {"contract-version", "It speaks a version of the contract that this host speaks.",
     [](const CheckInput& in) { return passes_if(ModuleFileState::other_contract, in); }, false},
    {"makes-instances", "Instances are made and ended, several at a time.", makes_instances, true},
    {"describes-itself", "Its description follows the contract.",
     [](const CheckInput& in) { return (void)describe(Door(in.file)), std::string(); }, true},
    {"describes-the-same", "It describes itself with the same bytes every time.",
     describes_the_same, true},
    {"names-are-sound",
     "Ids are snake_case, line kinds are called module.kind, and nothing is described twice.",
     names_are_sound, true},
    {"fields-are-sound", "Unit, range, choices, default and help of every field fit its type.",
     [](const CheckInput& in) { return fault_of_fields(describe(Door(in.file))); }, true},
    {"references-are-sound", "What the description refers to exists.",
     [](const CheckInput& in) { return fault_of_references(describe(Door(in.file))); }, true},
    {"fields-are-readable",
     "Reading by its fields takes what they allow and refuses what they do not.",
     [](const CheckInput& in) { return fault_of_reading(describe(Door(in.file))); }, true},
    {"answers-soundly",
     "Lines with usual values and at every edge of its fields are answered as the contract allows, "
     "with and without offers.",
     answers_everything, true},
    {"repeats-itself", "The same request is answered with the same bytes, by any instance.",
     repeats_itself, true},
    {"answers-alike-everywhere", "Time zone, locale and working folder do not change an answer.",
     answers_alike_everywhere, true},
    {"ignores-unknown-keys", "Keys of a later contract do not change an answer.",
     ignores_unknown_keys, true},
    {"refuses-no-json", "A request that is no JSON is refused with a reason.",
     refuses_what_is_no_json, true},
    {"survives-wrong-types",
     "A request with a value of a wrong kind is answered or refused, never a crash.",
     survives_wrong_types, true},
    {"knows-its-methods", "A method that it does not have is answered with AUMBRY_UNKNOWN.",
     knows_its_methods, true},
    {"can-be-cancelled",
     "A cancelled call ends as cancelled or with its usual answer, and leaves no trace.",
     answers_when_cancelled, true},
    {"keeps-texts", "A text stays as it is until it is given back.", keeps_texts, true},
    {"gives-memory-back", "Texts and instances that are given back take no memory any more.",
     gives_memory_back, true},
    {"prints-nothing", "Nothing is written to the screen.", answers_everything, true},
};

std::string outcome_name(CheckOutcome outcome) {
    switch (outcome) {
    case CheckOutcome::passed:
        return "passed";
    case CheckOutcome::failed:
        return "failed";
    case CheckOutcome::skipped:
        return "skipped";
    }
    return {};
}

std::string first_line(const std::string& text) {
    return text.substr(0, std::min<std::size_t>(text.find('\n'), 100));
}

CheckResult run(const Check& check, const CheckInput& input, int seconds) {
    CheckResult result{check.name, check.purpose, CheckOutcome::passed, {}};
    const ChildOutcome outcome = run_in_child([&] { return check.run(input); }, seconds);
    switch (outcome.end) {
    case ChildOutcome::End::out_of_time:
        result.detail = "did not finish within " + std::to_string(seconds) + " s";
        break;
    case ChildOutcome::End::died:
        result.detail = outcome.signal == 0 ? "the module ended the process"
                                            : std::string("the process was ended by a signal: ") +
                                                  strsignal(outcome.signal);
        break;
    case ChildOutcome::End::returned:
        result.detail = outcome.said;
        if (result.detail.empty() && std::string(check.name) == "prints-nothing" &&
            !outcome.printed.empty()) {
            result.detail = "it wrote: " + first_line(outcome.printed);
        }
        break;
    }
    if (!result.detail.empty()) result.outcome = CheckOutcome::failed;
    return result;
}

} // namespace

std::vector<CheckResult> check_plugin(const std::filesystem::path& file,
                                      const CheckOptions& options) {
    if (!std::filesystem::is_regular_file(file))
        fail("missing-file", {file.string(), "", 0, 0}, "there is no such file",
             "name a shared object");
    const CheckInput input{std::filesystem::absolute(file), options.tables};
    std::vector<CheckResult> results;
    bool usable = true;
    for (const Check& check : checks) {
        if (check.needs_module && !usable) {
            results.push_back(
                {check.name, check.purpose, CheckOutcome::skipped, "the module cannot be used"});
            continue;
        }
        results.push_back(run(check, input, options.seconds));
        const bool first_steps = !check.needs_module ||
                                 std::string(check.name) == "makes-instances" ||
                                 std::string(check.name) == "describes-itself";
        if (first_steps && results.back().outcome == CheckOutcome::failed) usable = false;
    }
    return results;
}

bool all_passed(std::span<const CheckResult> results) {
    return std::all_of(results.begin(), results.end(), [](const CheckResult& each) {
        return each.outcome == CheckOutcome::passed;
    });
}

std::string check_text(const std::string& file, std::span<const CheckResult> results) {
    std::string text = file + '\n';
    std::size_t passed = 0;
    for (const CheckResult& each : results) {
        const bool failed = each.outcome == CheckOutcome::failed;
        std::string outcome = failed ? "FAILED" : outcome_name(each.outcome);
        outcome.resize(9, ' ');
        text += "  " + outcome + each.name + '\n';
        if (failed) text += "           " + each.purpose + "\n           " + each.detail + '\n';
        if (each.outcome == CheckOutcome::passed) ++passed;
    }
    return text + std::to_string(passed) + " of " + std::to_string(results.size()) +
           " checks passed\n";
}

Json check_json(const std::string& file, std::span<const CheckResult> results) {
    Json list = Json::array();
    for (const CheckResult& each : results) {
        Json item = {{"name", each.name},
                     {"purpose", each.purpose},
                     {"outcome", outcome_name(each.outcome)}};
        if (!each.detail.empty()) item["detail"] = each.detail;
        list.push_back(std::move(item));
    }
    return {{"file", file}, {"passed", all_passed(results)}, {"checks", list}};
}

} // namespace aumbry
