#include "aumbry/plugin.hpp"

#include <memory>
#include <utility>

namespace aumbry {

contract::DeriveReply Module::derive(const contract::DeriveRequest&, const Host&) const {
    return {};
}
contract::TakeOffReply Module::take_off(const contract::TakeOffRequest&, const Host&) const {
    return {};
}
contract::PlanReply Module::plan(const contract::PlanRequest&, const Host&) const {
    return {};
}
contract::FollowReply Module::follow(const contract::FollowRequest&, const Host&) const {
    return {};
}

namespace detail {
namespace {

// One factory a shared object: this translation unit is linked into each module apart, with hidden
// symbols.
Module* (*make_module)() = nullptr;

struct Instance {
    std::unique_ptr<Module> module;
    Host host;
};

std::string contract_version() {
    return std::to_string(AUMBRY_CONTRACT_MAJOR) + '.' + std::to_string(AUMBRY_CONTRACT_MINOR);
}

Json answer(const Instance& instance, std::string_view method, std::string_view request,
            bool& known) {
    known = true;
    if (method == "describe") {
        contract::Description description = instance.module->describe();
        if (description.contract.empty()) description.contract = contract_version();
        return contract::to_json(description);
    }
    const Json in = parse_json(request, std::string(method) + " request");
    if (method == "derive") {
        return contract::to_json(instance.module->derive(
            contract::read_derive_request(in, "derive request"), instance.host));
    }
    if (method == "take_off") {
        return contract::to_json(instance.module->take_off(
            contract::read_take_off_request(in, "take_off request"), instance.host));
    }
    if (method == "plan") {
        return contract::to_json(
            instance.module->plan(contract::read_plan_request(in, "plan request"), instance.host));
    }
    if (method == "follow") {
        return contract::to_json(instance.module->follow(
            contract::read_follow_request(in, "follow request"), instance.host));
    }
    known = false;
    return {};
}

void set(aumbry_text* reply, const std::string& text) noexcept {
    auto* data = new (std::nothrow) char[text.size() + 1];
    if (data == nullptr) {
        *reply = {nullptr, 0};
        return;
    }
    std::copy(text.begin(), text.end(), data);
    data[text.size()] = '\0';
    *reply = {data, text.size()};
}

void* create(const aumbry_host* host) noexcept {
    try {
        return new Instance{std::unique_ptr<Module>(make_module()), Host(host)};
    } catch (...) {
        return nullptr;
    }
}

aumbry_status call(void* instance, const char* method, const char* request, size_t request_size,
                   aumbry_text* reply) noexcept {
    *reply = {nullptr, 0};
    try {
        bool known = false;
        const Json out =
            answer(*static_cast<Instance*>(instance), method, {request, request_size}, known);
        if (!known) return AUMBRY_UNKNOWN;
        set(reply, out.dump());
        return AUMBRY_OK;
    } catch (const Cancelled&) {
        return AUMBRY_CANCELLED;
    } catch (const std::exception& error) {
        set(reply, error.what());
        return AUMBRY_FAULT;
    } catch (...) {
        set(reply, "an unknown exception");
        return AUMBRY_FAULT;
    }
}

void release(void*, aumbry_text text) noexcept {
    delete[] text.data;
}
void destroy(void* instance) noexcept {
    delete static_cast<Instance*>(instance);
}

} // namespace

const aumbry_module_functions* module_functions(Module* (*make)()) {
    make_module = make;
    static const aumbry_module_functions functions{
        AUMBRY_CONTRACT_MAJOR, AUMBRY_CONTRACT_MINOR, create, call, release, destroy};
    return &functions;
}

} // namespace detail

contract::AmountOffer exactly(const std::string& offer, double quantity) {
    return exactly(offer, quantity, quantity);
}

contract::AmountOffer exactly(const std::string& offer, double quantity, double measure) {
    contract::AmountOffer exact;
    exact.offer = offer;
    exact.content = quantity;
    exact.measure = measure;
    return exact;
}

} // namespace aumbry
