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

Json answer(const Instance& instance, std::string_view method, std::string_view request,
            bool& known) {
    known = true;
    if (method == "describe") return contract::to_json(instance.module->describe());
    const Json in = parse_json(request, std::string(method) + " request");
    if (method == "derive") {
        return contract::to_json(instance.module->derive(
            contract::read_derive_request(in, "derive request"), instance.host));
    }
    if (method == "take_off") {
        return contract::to_json(instance.module->take_off(
            contract::read_take_off_request(in, "take_off request"), instance.host));
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

// ---------------------------------------------------------------- help for authors

namespace {

const Json* member(const Json& object, std::string_view key) {
    const auto found = object.find(std::string(key));
    return found == object.end() ? nullptr : &*found;
}

[[noreturn]] void fail_missing(const contract::Line& line, std::string_view path,
                               const char* what) {
    fail("missing-value", {},
         "line '" + line.id + "' has no " + what + " '" + std::string(path) + "'");
}

} // namespace

const Json* find_value(const contract::Line& line, std::string_view path) {
    if (path.starts_with("material.")) {
        return line.material ? member(line.material->attributes, path.substr(9)) : nullptr;
    }
    if (path.starts_with("derived.")) return member(line.derived, path.substr(8));
    return member(line.fields, path);
}

double number(const contract::Line& line, std::string_view path) {
    const Json* value = find_value(line, path);
    if (value == nullptr || !value->is_number()) fail_missing(line, path, "number");
    return value->get<double>();
}
double number(const contract::Line& line, std::string_view path, double fallback) {
    const Json* value = find_value(line, path);
    return value != nullptr && value->is_number() ? value->get<double>() : fallback;
}
std::string text(const contract::Line& line, std::string_view path) {
    const Json* value = find_value(line, path);
    if (value == nullptr || !value->is_string()) fail_missing(line, path, "text");
    return value->get<std::string>();
}
std::string text(const contract::Line& line, std::string_view path, const std::string& fallback) {
    const Json* value = find_value(line, path);
    return value != nullptr && value->is_string() ? value->get<std::string>() : fallback;
}
bool flag(const contract::Line& line, std::string_view path, bool fallback) {
    const Json* value = find_value(line, path);
    return value != nullptr && value->is_boolean() ? value->get<bool>() : fallback;
}

double number(const Json& object, const char* key, double fallback) {
    const Json* value = member(object, key);
    return value != nullptr && value->is_number() ? value->get<double>() : fallback;
}
std::string text(const Json& object, const char* key, const std::string& fallback) {
    const Json* value = member(object, key);
    return value != nullptr && value->is_string() ? value->get<std::string>() : fallback;
}
bool flag(const Json& object, const char* key, bool fallback) {
    const Json* value = member(object, key);
    return value != nullptr && value->is_boolean() ? value->get<bool>() : fallback;
}

const contract::Line* reference(const contract::Line& line, std::string_view id) {
    for (const contract::Line& candidate : line.references) {
        if (candidate.id == id) return &candidate;
    }
    return nullptr;
}

std::string display_name(const contract::Line& line) {
    if (!line.title.empty()) return line.title;
    std::string name = line.id;
    for (char& c : name) {
        if (c == '_') c = ' ';
    }
    return name;
}

namespace {
contract::Field field(std::string name, contract::FieldType type, std::string title,
                      std::string help) {
    contract::Field made;
    made.name = std::move(name);
    made.type = type;
    made.title = std::move(title);
    made.help = std::move(help);
    return made;
}
/// Nothing that is made is larger; catches a slipped decimal point or unit.
double absurd(const std::string& unit) {
    return unit == "mm" ? 50'000 : 1e7;
}
} // namespace

contract::Field text_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::text, std::move(title), std::move(help));
}
contract::Field choice_field(std::string name, std::string title, std::vector<std::string> choices,
                             std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::choice, std::move(title), std::move(help));
    made.choices = std::move(choices);
    return made;
}
contract::Field flag_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::flag, std::move(title), std::move(help));
}
contract::Field count_field(std::string name, std::string title, std::string help) {
    return at_most(at_least(field(std::move(name), contract::FieldType::count, std::move(title),
                                  std::move(help)),
                            0),
                   1e6);
}
contract::Field number_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::number, std::move(title), std::move(help));
}
contract::Field quantity_field(std::string name, std::string unit, std::string title,
                               std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::quantity, std::move(title), std::move(help));
    made.maximum = absurd(unit);
    made.unit = std::move(unit);
    made.minimum = 0;
    made.above_minimum = true;
    return made;
}
contract::Field lines_field(std::string name, std::string title, std::vector<std::string> kinds,
                            std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::lines, std::move(title), std::move(help));
    made.kinds = std::move(kinds);
    return made;
}
contract::Field line_field(std::string name, std::string title, std::vector<std::string> kinds,
                           std::string help) {
    contract::Field made =
        field(std::move(name), contract::FieldType::line, std::move(title), std::move(help));
    made.kinds = std::move(kinds);
    return made;
}
contract::Field money_field(std::string name, std::string title, std::string help) {
    return at_least(
        field(std::move(name), contract::FieldType::money, std::move(title), std::move(help)), 0);
}
contract::Field date_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::date, std::move(title), std::move(help));
}
contract::Field texts_field(std::string name, std::string title, std::string help) {
    return field(std::move(name), contract::FieldType::texts, std::move(title), std::move(help));
}
contract::Field record_field(std::string name, std::string title, std::string help,
                             std::vector<contract::Field> fields) {
    contract::Field made =
        field(std::move(name), contract::FieldType::record, std::move(title), std::move(help));
    made.fields = std::move(fields);
    return made;
}
contract::Field records_field(std::string name, std::string title, std::string help,
                              std::vector<contract::Field> fields) {
    contract::Field made =
        field(std::move(name), contract::FieldType::records, std::move(title), std::move(help));
    made.fields = std::move(fields);
    return made;
}
contract::Field required(contract::Field made) {
    made.required = true;
    return made;
}
contract::Field with_default(contract::Field made, Json fallback) {
    made.fallback = std::move(fallback);
    return made;
}
contract::Field at_least(contract::Field made, double minimum) {
    made.minimum = minimum;
    made.above_minimum = false;
    return made;
}
contract::Field at_most(contract::Field made, double maximum) {
    made.maximum = maximum;
    return made;
}

} // namespace aumbry
