#include "aumbry/plugin_host.hpp"

#include "aumbry/plugin.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <dlfcn.h>
#include <mutex>
#include <set>
#include <unordered_map>

namespace aumbry {

using contract::Description;

ModuleError::ModuleError(std::string module, const std::string& reason)
    : std::runtime_error("module '" + module + "': " + reason), module_(std::move(module)), reason_(reason) {}

namespace {

constexpr std::size_t kept_bytes_limit = 256U * 1024U * 1024U;

struct CallbackState {
    std::function<bool()> cancelled;
};

void ignore_log(void*, const char*) {}
void ignore_progress(void*, double) {}
int ask_cancelled(void* context) {
    const auto& state = *static_cast<const CallbackState*>(context);
    return state.cancelled && state.cancelled() ? 1 : 0;
}

/// One loaded shared object with its instance. Never unloaded: a library with unique symbols stays mapped anyway.
struct Loaded {
    std::string file;
    const aumbry_module_functions* functions = nullptr;
    void* instance = nullptr;
};

std::string read_text(const Loaded& loaded, aumbry_text text) {
    std::string copy(text.data == nullptr ? "" : std::string(text.data, text.size));
    loaded.functions->release(loaded.instance, text);
    return copy;
}

/// One call through the door. Any exception that a module lets through is caught here: it comes from hand-written C++ behind
/// the C functions, and the sentence names its file.
std::string call_door(const Loaded& loaded, const std::string& module, const char* method, const std::string& request, bool& known) {
    aumbry_text reply{nullptr, 0};
    aumbry_status status{};
    try {
        status = loaded.functions->call(loaded.instance, method, request.data(), request.size(), &reply);
    } catch (const std::exception& error) {
        throw ModuleError(module, std::string("threw an exception through the C door in ") + method + ": " + error.what());
    } catch (...) {
        throw ModuleError(module, std::string("threw an unknown exception through the C door in ") + method);
    }
    known = status != AUMBRY_UNKNOWN;
    switch (status) {
    case AUMBRY_OK: return read_text(loaded, reply);
    case AUMBRY_UNKNOWN: return {};
    case AUMBRY_CANCELLED:
        read_text(loaded, reply);
        throw CallCancelled{};
    case AUMBRY_FAULT: {
        std::string reason = read_text(loaded, reply);
        if (reason.empty()) reason = "gave no reason";
        throw ModuleError(module, std::string(method) + " failed: " + reason);
    }
    }
    throw ModuleError(module, std::string(method) + " returned the unknown status " + std::to_string(static_cast<int>(status)));
}

double seconds_since(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

// ---------------------------------------------------------------- checking replies

/// Checks what a reply names against what its request gave.
class ReplyCheck {
  public:
    ReplyCheck(const Description& module, const char* method) : module_(module), method_(method) {}

    void lines_are(const std::vector<contract::Line>& lines) {
        for (const contract::Line& line : lines) lines_.insert(line.id);
    }
    void own_line(const std::string& id, const char* where) const {
        if (!lines_.contains(id)) refuse(std::string(where) + " names the line '" + id + "', which is not one of its own");
    }
    void findings(const std::vector<contract::Finding>& findings) const {
        for (const contract::Finding& finding : findings) {
            if (!finding.line.empty()) own_line(finding.line, "a finding");
            if (finding.code.empty() || finding.text.empty()) refuse("a finding has no code or no text");
        }
    }
    void quantities(const std::vector<contract::QuantityRow>& rows) const {
        for (const contract::QuantityRow& row : rows) {
            finite(row.value, "quantity '" + row.ref + "'");
            for (const std::string& line : row.lines) own_line(line, "a quantity");
        }
    }
    void steps(const std::vector<contract::Step>& steps) const {
        for (const contract::Step& step : steps) {
            for (const std::string& line : step.lines) own_line(line, "a step");
            finite(step.minutes, "step '" + step.id + "'");
            finite(step.wait_minutes, "step '" + step.id + "'");
            if (step.minutes < 0 || step.wait_minutes < 0 || step.people < 1) refuse("step '" + step.id + "' has negative time or no people");
        }
    }
    void finite(double value, const std::string& what) const {
        if (!std::isfinite(value)) refuse(what + " is not a finite number");
    }
    [[noreturn]] void refuse(const std::string& reason) const {
        throw ModuleError(module_.id, std::string("the reply to ") + method_ + " is refused: " + reason);
    }

  private:
    const Description& module_;
    const char* method_;
    std::set<std::string, std::less<>> lines_;
};

void check(const Description& module, const contract::DeriveRequest& request, const contract::DeriveReply& reply) {
    ReplyCheck check(module, "derive");
    check.lines_are(request.lines);
    std::unordered_map<std::string, const contract::LineKind*> kind_of_line;
    for (const contract::Line& line : request.lines) {
        for (const contract::LineKind& kind : module.line_kinds) {
            if (kind.kind == line.kind) kind_of_line[line.id] = &kind;
        }
    }
    for (const contract::DerivedLine& line : reply.lines) {
        check.own_line(line.line, "a derived value");
        if (!line.values.is_object()) check.refuse("the values of line '" + line.line + "' are no object");
        const auto& declared = kind_of_line[line.line]->derived;
        for (const auto& [name, value] : line.values.items()) {
            const bool known = std::any_of(declared.begin(), declared.end(), [&](const contract::DerivedValue& d) { return d.name == name; });
            if (!known) check.refuse("the derived value '" + name + "' of line '" + line.line + "' is not declared");
            if (!value.is_number()) check.refuse("the derived value '" + name + "' of line '" + line.line + "' is no number");
            check.finite(value.get<double>(), "the derived value '" + name + "'");
        }
    }
    check.findings(reply.findings);
}

void check(const Description& module, const contract::TakeOffRequest& request, const contract::TakeOffReply& reply) {
    ReplyCheck check(module, "take_off");
    check.lines_are(request.lines);
    std::set<std::string, std::less<>> offers;
    for (const contract::Offer& offer : request.offers) offers.insert(offer.id);
    const auto known_offer = [&](const std::string& id) {
        if (!offers.contains(id)) check.refuse("a demand names the offer '" + id + "', which it was not given");
    };
    std::set<std::string> ids;
    for (const contract::Demand& demand : reply.demands) {
        if (demand.id.empty() || !ids.insert(demand.id).second) check.refuse("two demands are called '" + demand.id + "'");
        if (demand.shares.empty()) check.refuse("demand '" + demand.id + "' serves no line");
        for (const contract::Share& share : demand.shares) {
            check.own_line(share.line, "a demand");
            check.finite(share.weight, "a share of demand '" + demand.id + "'");
            if (share.weight < 0) check.refuse("a share of demand '" + demand.id + "' is negative");
        }
        if (demand.amount && !demand.ways.empty()) check.refuse("demand '" + demand.id + "' is both an amount and a choice of ways");
        if (demand.ways.size() > 12) check.refuse("demand '" + demand.id + "' has more than 12 ways");
        if (demand.amount) {
            check.finite(demand.amount->quantity, "demand '" + demand.id + "'");
            if (demand.amount->quantity < 0) check.refuse("demand '" + demand.id + "' is negative");
            if (demand.amount->stated && !demand.amount->offers.empty()) check.refuse("demand '" + demand.id + "' has both a stated price and offers");
            for (const contract::AmountOffer& offer : demand.amount->offers) {
                known_offer(offer.offer);
                if (!std::isfinite(offer.content) || offer.content <= 0) check.refuse("the content of offer '" + offer.offer + "' is not above zero");
                if (!std::isfinite(offer.measure) || offer.measure < 0) check.refuse("the measure of offer '" + offer.offer + "' is negative or not finite");
            }
        }
        for (const contract::Way& way : demand.ways) {
            for (const contract::Use& use : way.uses) {
                known_offer(use.offer);
                if (use.count < 0 || !std::isfinite(use.measure) || use.measure < 0) check.refuse("way '" + way.id + "' buys a negative count or measure");
            }
        }
    }
    check.findings(reply.findings);
    check.quantities(reply.quantities);
    check.steps(reply.steps);
}

void check(const Description& module, const contract::FollowRequest& request, const contract::FollowReply& reply) {
    ReplyCheck check(module, "follow");
    check.lines_are(request.lines);
    check.findings(reply.findings);
    check.quantities(reply.quantities);
    check.steps(reply.steps);
}

contract::DeriveReply read_reply(const Json& in, const std::string& origin, const contract::DeriveReply*) { return contract::read_derive_reply(in, origin); }
contract::TakeOffReply read_reply(const Json& in, const std::string& origin, const contract::TakeOffReply*) { return contract::read_take_off_reply(in, origin); }
contract::FollowReply read_reply(const Json& in, const std::string& origin, const contract::FollowReply*) { return contract::read_follow_reply(in, origin); }

} // namespace

// ---------------------------------------------------------------- the host

struct PluginHost::State {
    std::mutex mutex;
    std::unique_ptr<CallbackState> callbacks = std::make_unique<CallbackState>();
    aumbry_host host{sizeof(aumbry_host), nullptr, ignore_log, ignore_progress, ask_cancelled};
    std::vector<Description> descriptions;
    std::unordered_map<std::string, Loaded> loaded;
    std::vector<RefusedModule> refused;
    CallCounts counts;
    std::size_t kept_bytes = 0;
    std::unordered_map<std::string, std::shared_ptr<const contract::DeriveReply>> kept_derive;
    std::unordered_map<std::string, std::shared_ptr<const contract::TakeOffReply>> kept_take_off;
    std::unordered_map<std::string, std::shared_ptr<const contract::FollowReply>> kept_follow;

    auto& kept(const contract::DeriveReply*) { return kept_derive; }
    auto& kept(const contract::TakeOffReply*) { return kept_take_off; }
    auto& kept(const contract::FollowReply*) { return kept_follow; }

    void load(const std::filesystem::path& path);
    void admit(const std::filesystem::path& path, Loaded loaded);

    template <class Reply, class Request>
    std::shared_ptr<const Reply> call(const std::string& module, const char* method, const Request& request);
};

void PluginHost::State::load(const std::filesystem::path& path) {
    const auto refuse = [&](std::string reason) { refused.push_back({path.string(), std::move(reason)}); };
    void* library = dlopen(path.c_str(), RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) {
        const char* reason = dlerror();
        return refuse(std::string("cannot be loaded: ") + (reason == nullptr ? "no reason given" : reason));
    }
    auto* entry = reinterpret_cast<aumbry_module_entry>(dlsym(library, AUMBRY_ENTRY_SYMBOL));
    if (entry == nullptr) return refuse("is no module: it exports no symbol '" AUMBRY_ENTRY_SYMBOL "'");
    const aumbry_module_functions* functions = entry();
    if (functions == nullptr) return refuse("gives no table of functions");
    const std::string theirs = std::to_string(functions->contract_major) + '.' + std::to_string(functions->contract_minor);
    const std::string ours = std::to_string(AUMBRY_CONTRACT_MAJOR) + '.' + std::to_string(AUMBRY_CONTRACT_MINOR);
    if (functions->contract_major != AUMBRY_CONTRACT_MAJOR || functions->contract_minor > AUMBRY_CONTRACT_MINOR) {
        const bool newer = functions->contract_major > AUMBRY_CONTRACT_MAJOR ||
                           (functions->contract_major == AUMBRY_CONTRACT_MAJOR && functions->contract_minor > AUMBRY_CONTRACT_MINOR);
        return refuse("speaks contract " + theirs + ", this host speaks " + ours + "; update " + (newer ? "Aumbry" : "the module"));
    }
    if (functions->create == nullptr || functions->call == nullptr || functions->release == nullptr || functions->destroy == nullptr) {
        return refuse("leaves a function of its table empty");
    }
    void* instance = nullptr;
    try {
        instance = functions->create(&host);
    } catch (...) {
        return refuse("threw an exception in create");
    }
    if (instance == nullptr) return refuse("could not make an instance");
    admit(path, {path.string(), functions, instance});
}

void PluginHost::State::admit(const std::filesystem::path& path, Loaded module) {
    const auto refuse = [&](std::string reason) {
        module.functions->destroy(module.instance);
        refused.push_back({path.string(), std::move(reason)});
    };
    Description description;
    try {
        bool known = false;
        const std::string text = call_door(module, path.filename().string(), "describe", "{}", known);
        if (!known) return refuse("does not answer 'describe'");
        description = contract::read_description(parse_json(text, "description"), "description");
    } catch (const ModuleError& error) {
        return refuse(error.reason());
    } catch (const FaultError& error) {
        return refuse(std::string("describes itself wrongly: ") + error.faults().front().sentence());
    }
    if (description.id.empty()) return refuse("describes itself without an id");
    for (const Description& other : descriptions) {
        if (other.id == description.id) return refuse("is a second module called '" + description.id + "'; remove one of the two");
        for (const contract::LineKind& kind : other.line_kinds) {
            for (const contract::LineKind& mine : description.line_kinds) {
                if (kind.kind == mine.kind) return refuse("prices the line kind '" + kind.kind + "', which module '" + other.id + "' prices already");
            }
        }
    }
    loaded.emplace(description.id, std::move(module));
    descriptions.push_back(std::move(description));
}

PluginHost::PluginHost(const std::vector<std::filesystem::path>& folders) : state_(std::make_unique<State>()) {
    state_->host.context = state_->callbacks.get();
    for (const std::filesystem::path& folder : folders) {
        std::error_code error;
        if (!std::filesystem::is_directory(folder, error)) {
            fail("missing-folder", {folder.string(), "", 0, 0}, "there is no such folder of modules", "name a folder with --plugins, or build the modules");
        }
        std::vector<std::filesystem::path> files;
        for (const auto& entry : std::filesystem::directory_iterator(folder)) {
            if (entry.path().extension() == ".so") files.push_back(entry.path());
        }
        std::sort(files.begin(), files.end());
        for (const std::filesystem::path& file : files) state_->load(std::filesystem::absolute(file));
    }
    std::sort(state_->descriptions.begin(), state_->descriptions.end(), [](const Description& a, const Description& b) { return a.id < b.id; });
}

PluginHost::~PluginHost() {
    for (auto& [id, module] : state_->loaded) module.functions->destroy(module.instance);
}

const std::vector<Description>& PluginHost::modules() const { return state_->descriptions; }
const std::vector<RefusedModule>& PluginHost::refused() const { return state_->refused; }

std::string PluginHost::file_of(const std::string& module) const {
    const auto found = state_->loaded.find(module);
    return found == state_->loaded.end() ? std::string() : found->second.file;
}

const Description* PluginHost::find_module(std::string_view id) const {
    for (const Description& module : state_->descriptions) {
        if (module.id == id) return &module;
    }
    return nullptr;
}

const Description* PluginHost::module_of_kind(std::string_view kind) const {
    for (const Description& module : state_->descriptions) {
        for (const contract::LineKind& candidate : module.line_kinds) {
            if (candidate.kind == kind) return &module;
        }
    }
    return nullptr;
}

const contract::LineKind* PluginHost::find_kind(std::string_view kind) const {
    for (const Description& module : state_->descriptions) {
        for (const contract::LineKind& candidate : module.line_kinds) {
            if (candidate.kind == kind) return &candidate;
        }
    }
    return nullptr;
}

std::vector<contract::CatalogClass> PluginHost::catalog_classes() const {
    std::vector<contract::CatalogClass> classes;
    for (const Description& module : state_->descriptions) {
        classes.insert(classes.end(), module.catalog_classes.begin(), module.catalog_classes.end());
    }
    return classes;
}

const contract::CatalogClass* PluginHost::find_class(std::string_view name) const {
    for (const Description& module : state_->descriptions) {
        for (const contract::CatalogClass& candidate : module.catalog_classes) {
            if (candidate.name == name) return &candidate;
        }
    }
    return nullptr;
}

template <class Reply, class Request>
std::shared_ptr<const Reply> PluginHost::State::call(const std::string& module, const char* method, const Request& request) {
    const std::lock_guard lock(mutex);
    const auto found = loaded.find(module);
    if (found == loaded.end()) throw ModuleError(module, "is not loaded");
    auto start = std::chrono::steady_clock::now();
    const std::string text = contract::to_json(request).dump();
    std::string key = module + '\n' + method + '\n' + text;
    counts.seconds_in_text += seconds_since(start);
    auto& replies = kept(static_cast<const Reply*>(nullptr));
    if (const auto known_reply = replies.find(key); known_reply != replies.end()) {
        ++counts.kept;
        return known_reply->second;
    }
    ++counts.called;
    start = std::chrono::steady_clock::now();
    bool known = false;
    const std::string answer = call_door(found->second, module, method, text, known);
    counts.seconds_in_modules += seconds_since(start);

    start = std::chrono::steady_clock::now();
    auto reply = std::make_shared<Reply>();
    try {
        if (known) *reply = read_reply(parse_json(answer, std::string("reply to ") + method), std::string("reply to ") + method, reply.get());
    } catch (const FaultError& error) {
        throw ModuleError(module, "the answer does not follow the contract: " + error.faults().front().sentence());
    }
    const auto description = std::find_if(descriptions.begin(), descriptions.end(), [&](const Description& d) { return d.id == module; });
    check(*description, request, *reply);
    counts.seconds_in_text += seconds_since(start);

    kept_bytes += key.size() + answer.size();
    if (kept_bytes > kept_bytes_limit) {
        kept_derive.clear();
        kept_take_off.clear();
        kept_follow.clear();
        kept_bytes = key.size() + answer.size();
    }
    replies.emplace(std::move(key), reply);
    return reply;
}

std::shared_ptr<const contract::DeriveReply> PluginHost::derive(const std::string& module, const contract::DeriveRequest& request) {
    return state_->call<contract::DeriveReply>(module, "derive", request);
}
std::shared_ptr<const contract::TakeOffReply> PluginHost::take_off(const std::string& module, const contract::TakeOffRequest& request) {
    return state_->call<contract::TakeOffReply>(module, "take_off", request);
}
std::shared_ptr<const contract::FollowReply> PluginHost::follow(const std::string& module, const contract::FollowRequest& request) {
    return state_->call<contract::FollowReply>(module, "follow", request);
}

std::string PluginHost::call_text(const std::string& module, const std::string& method, const std::string& request) {
    const std::lock_guard lock(state_->mutex);
    const auto found = state_->loaded.find(module);
    if (found == state_->loaded.end()) throw ModuleError(module, "is not loaded");
    bool known = false;
    return call_door(found->second, module, method.c_str(), request, known);
}

void PluginHost::set_cancel(std::function<bool()> cancelled) {
    const std::lock_guard lock(state_->mutex);
    state_->callbacks->cancelled = std::move(cancelled);
}

CallCounts PluginHost::counts() const {
    const std::lock_guard lock(state_->mutex);
    return state_->counts;
}

void PluginHost::clear_kept() {
    const std::lock_guard lock(state_->mutex);
    state_->kept_derive.clear();
    state_->kept_take_off.clear();
    state_->kept_follow.clear();
    state_->kept_bytes = 0;
}

} // namespace aumbry
