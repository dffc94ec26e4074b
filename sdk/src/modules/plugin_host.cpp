#include "aumbry/plugin_host.hpp"

#include "modules/description_check.hpp"
#include "modules/door.hpp"
#include "modules/module_file.hpp"
#include "modules/reply_check.hpp"
#include "values/excerpt.hpp"

#include <algorithm>
#include <chrono>
#include <mutex>
#include <unordered_map>

namespace aumbry {

using contract::Description;

ModuleError::ModuleError(std::string module, const std::string& reason)
    : std::runtime_error("module '" + module + "': " + reason), module_(std::move(module)),
      reason_(reason) {}

namespace {

constexpr std::size_t kept_bytes_limit = 256U * 1024U * 1024U;

double seconds_since(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

contract::DeriveReply read_reply(const Json& in, const std::string& origin,
                                 const contract::DeriveReply*) {
    return contract::read_derive_reply(in, origin);
}
contract::TakeOffReply read_reply(const Json& in, const std::string& origin,
                                  const contract::TakeOffReply*) {
    return contract::read_take_off_reply(in, origin);
}
contract::PlanReply read_reply(const Json& in, const std::string& origin,
                               const contract::PlanReply*) {
    return contract::read_plan_reply(in, origin);
}
contract::FollowReply read_reply(const Json& in, const std::string& origin,
                                 const contract::FollowReply*) {
    return contract::read_follow_reply(in, origin);
}

} // namespace

// ---------------------------------------------------------------- the host

struct PluginHost::State {
    std::mutex mutex;
    CallState call_state;
    aumbry_host host = host_functions(call_state);
    std::vector<Description> descriptions;
    std::unordered_map<std::string, LoadedModule> loaded;
    std::vector<RefusedModule> refused;
    KindTable kinds;
    CallCounts counts;
    std::size_t kept_bytes = 0;
    std::unordered_map<std::string, std::shared_ptr<const contract::DeriveReply>> kept_derive;
    std::unordered_map<std::string, std::shared_ptr<const contract::TakeOffReply>> kept_take_off;
    std::unordered_map<std::string, std::shared_ptr<const contract::PlanReply>> kept_plan;
    std::unordered_map<std::string, std::shared_ptr<const contract::FollowReply>> kept_follow;

    auto& kept(const contract::DeriveReply*) { return kept_derive; }
    auto& kept(const contract::TakeOffReply*) { return kept_take_off; }
    auto& kept(const contract::PlanReply*) { return kept_plan; }
    auto& kept(const contract::FollowReply*) { return kept_follow; }

    void load(const std::filesystem::path& path);
    void admit(const std::filesystem::path& path, LoadedModule module);
    [[nodiscard]] std::string clash(const Description& description) const;

    template <class Reply, class Request>
    std::shared_ptr<const Reply> call(const std::string& module, const char* method,
                                      const Request& request);
};

void PluginHost::State::load(const std::filesystem::path& path) {
    const auto refuse = [&](std::string reason) {
        refused.push_back({path.string(), printable(reason), {}});
    };
    const ModuleFile file = open_module_file(path);
    if (file.state != ModuleFileState::usable) return refuse(file.reason);
    std::string reason;
    void* instance = make_instance(*file.functions, &host, reason);
    if (instance == nullptr) return refuse(reason);
    admit(path, {path.string(), file.functions, instance});
}

/// What a module takes that another has already; empty when nothing.
std::string PluginHost::State::clash(const Description& description) const {
    for (const Description& other : descriptions) {
        if (other.id == description.id)
            return "is a second module called '" + description.id + "'; remove one of the two";
        for (const contract::LineKind& kind : other.line_kinds) {
            for (const contract::LineKind& mine : description.line_kinds) {
                if (kind.kind == mine.kind)
                    return "prices the line kind '" + kind.kind + "', which module '" + other.id +
                           "' prices already";
            }
        }
        for (const contract::CatalogClass& known : other.catalog_classes) {
            for (const contract::CatalogClass& mine : description.catalog_classes) {
                if (known.name == mine.name)
                    return "describes the catalog class '" + known.name + "', which module '" +
                           other.id + "' describes already";
            }
        }
    }
    return {};
}

void PluginHost::State::admit(const std::filesystem::path& path, LoadedModule module) {
    Description description;
    const auto refuse = [&](std::string reason) {
        end_instance(*module.functions, module.instance);
        refused.push_back({path.string(), printable(reason), description.id});
    };
    try {
        bool known = false;
        const std::string text =
            call_door(module, call_state, path.filename().string(), "describe", "{}", known);
        if (!known) return refuse("does not answer 'describe'");
        description = contract::read_description(parse_answer(text, "description"), "description");
    } catch (const ModuleError& error) {
        return refuse(error.reason());
    } catch (const FaultError& error) {
        return refuse("describes itself wrongly: " + error.faults().front().sentence());
    } catch (const std::exception& error) {
        return refuse(std::string("describes itself wrongly: ") + error.what());
    }
    if (description.id.empty()) return refuse("describes itself without an id");
    if (std::string reason = clash(description); !reason.empty()) return refuse(reason);
    if (const std::string fault = fault_of_description(description, *module.functions, kinds);
        !fault.empty())
        return refuse("describes itself wrongly: " + fault);
    loaded.emplace(description.id, std::move(module));
    descriptions.push_back(std::move(description));
}

PluginHost::PluginHost(const std::vector<std::filesystem::path>& folders)
    : state_(std::make_unique<State>()) {
    for (const std::filesystem::path& folder : folders) {
        std::error_code error;
        if (!std::filesystem::is_directory(folder, error)) {
            fail("missing-folder", {folder.string(), "", 0, 0},
                 "there is no such folder of modules",
                 "name a folder with --plugins, or build the modules");
        }
        state_->kinds.homes.merge(read_kind_table(folder).homes); // the first folder wins
        std::vector<std::filesystem::path> files;
        for (const auto& entry : std::filesystem::directory_iterator(folder)) {
            if (entry.path().extension() == ".so") files.push_back(entry.path());
        }
        std::sort(files.begin(), files.end());
        for (const std::filesystem::path& file : files)
            state_->load(std::filesystem::absolute(file));
    }
    std::sort(state_->descriptions.begin(), state_->descriptions.end(),
              [](const Description& a, const Description& b) { return a.id < b.id; });
}

PluginHost::~PluginHost() {
    for (auto& [id, module] : state_->loaded) end_instance(*module.functions, module.instance);
}

const std::vector<Description>& PluginHost::modules() const {
    return state_->descriptions;
}
const std::vector<RefusedModule>& PluginHost::refused() const {
    return state_->refused;
}

const KindTable& PluginHost::kinds() const {
    return state_->kinds;
}

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
std::shared_ptr<const Reply> PluginHost::State::call(const std::string& module, const char* method,
                                                     const Request& request) {
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
    const std::string answer = call_door(found->second, call_state, module, method, text, known);
    counts.seconds_in_modules += seconds_since(start);

    start = std::chrono::steady_clock::now();
    auto reply = std::make_shared<Reply>();
    const auto breaks_contract = [&](const std::string& how) {
        return ModuleError(module, std::string("gave a reply to ") + method +
                                       " that does not follow the contract: " + printable(how));
    };
    const std::string origin = std::string("reply to ") + method;
    try {
        if (known) *reply = read_reply(parse_answer(answer, origin), origin, reply.get());
    } catch (const FaultError& error) {
        throw breaks_contract(error.faults().front().sentence());
    } catch (const std::exception& error) {
        throw breaks_contract(error.what());
    }
    const auto description = std::find_if(descriptions.begin(), descriptions.end(),
                                          [&](const Description& d) { return d.id == module; });
    check_reply(*description, request, *reply);
    counts.seconds_in_text += seconds_since(start);

    kept_bytes += key.size() + answer.size();
    if (kept_bytes > kept_bytes_limit) {
        kept_derive.clear();
        kept_take_off.clear();
        kept_plan.clear();
        kept_follow.clear();
        kept_bytes = key.size() + answer.size();
    }
    replies.emplace(std::move(key), reply);
    return reply;
}

std::shared_ptr<const contract::DeriveReply>
PluginHost::derive(const std::string& module, const contract::DeriveRequest& request) {
    return state_->call<contract::DeriveReply>(module, "derive", request);
}
std::shared_ptr<const contract::TakeOffReply>
PluginHost::take_off(const std::string& module, const contract::TakeOffRequest& request) {
    return state_->call<contract::TakeOffReply>(module, "take_off", request);
}
std::shared_ptr<const contract::PlanReply> PluginHost::plan(const std::string& module,
                                                            const contract::PlanRequest& request) {
    return state_->call<contract::PlanReply>(module, "plan", request);
}
std::shared_ptr<const contract::FollowReply>
PluginHost::follow(const std::string& module, const contract::FollowRequest& request) {
    return state_->call<contract::FollowReply>(module, "follow", request);
}

std::string PluginHost::call_text(const std::string& module, const std::string& method,
                                  const std::string& request) {
    const std::lock_guard lock(state_->mutex);
    const auto found = state_->loaded.find(module);
    if (found == state_->loaded.end()) throw ModuleError(module, "is not loaded");
    bool known = false;
    return call_door(found->second, state_->call_state, module, method, request, known);
}

void PluginHost::set_cancel(std::function<bool()> cancelled) {
    const std::lock_guard lock(state_->mutex);
    state_->call_state.cancelled = std::move(cancelled);
}

void PluginHost::set_listener(ModuleListener listener) {
    const std::lock_guard lock(state_->mutex);
    state_->call_state.listener = std::move(listener);
}

std::function<bool()> PluginHost::cancel() const {
    const std::lock_guard lock(state_->mutex);
    return state_->call_state.cancelled;
}

CallCounts PluginHost::counts() const {
    const std::lock_guard lock(state_->mutex);
    return state_->counts;
}

void PluginHost::clear_kept() {
    const std::lock_guard lock(state_->mutex);
    state_->kept_derive.clear();
    state_->kept_take_off.clear();
    state_->kept_plan.clear();
    state_->kept_follow.clear();
    state_->kept_bytes = 0;
}

} // namespace aumbry
