// Records to and from JSON, and their schemas, from one list of members.
//
// A record type R takes part by an overload found by argument-dependent lookup:
//     template <class Visitor, RecordOf<R> Self> void members(Visitor& visit, Self& self)
// which calls `visit.must("key", self.member)`, `visit.may("key", self.member)` or, for what is
// written only when it is true, `visit.flag("key", self.member)` for every member in order. An enum
// takes part by `constexpr std::span<const std::string_view> names_of(E)`, names in order of the
// enumerators. A type with a form of its own brings `write_form`, `read_form` and `schema_form`.
#pragma once

#include "aumbry/date.hpp"
#include "aumbry/json.hpp"
#include "aumbry/money.hpp"

#include <concepts>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

namespace aumbry::document {

template <class Self, class R>
concept RecordOf = std::same_as<std::remove_const_t<Self>, R>;

template <class T>
concept NamedEnum = std::is_enum_v<T> && requires(T value) {
    { names_of(value) } -> std::convertible_to<std::span<const std::string_view>>;
};

template <NamedEnum E>
[[nodiscard]] std::string_view name_of(E value) {
    return std::span<const std::string_view>(names_of(value))[static_cast<std::size_t>(value)];
}

template <class T>
struct IsVector : std::false_type {};
template <class T>
struct IsVector<std::vector<T>> : std::true_type {};
template <class T>
struct IsOptional : std::false_type {};
template <class T>
struct IsOptional<std::optional<T>> : std::true_type {};
template <class T>
struct IsMap : std::false_type {};
template <class T>
struct IsMap<std::map<std::string, T>> : std::true_type {};

/// Values that are one text in a document: amounts of money, exact decimals, dates.
template <class T>
concept TextValue = std::same_as<T, Money> || std::same_as<T, Decimal> || std::same_as<T, Date>;

template <TextValue T>
[[nodiscard]] std::string text_of(const T& value) {
    if constexpr (std::same_as<T, Date>)
        return format_date(value);
    else
        return value.str();
}

struct ReadFaults;
class SchemaWriter;

/// A type whose document no list of members describes.
template <class T>
concept OwnForm = requires(Json& out, const T& value, T& into, const std::string& pointer,
                           ReadFaults& faults, SchemaWriter& writer) {
    write_form(out, value);
    read_form(out, into, pointer, faults);
    { schema_form(writer, &value) } -> std::same_as<Json>;
};

// ---------------------------------------------------------------- writing

template <class T>
void write(Json& out, const T& value);

/// Whether an optional member says nothing and is left out.
template <class T>
[[nodiscard]] bool says_nothing(const T& value) {
    if constexpr (IsOptional<T>::value)
        return !value.has_value();
    else if constexpr (std::same_as<T, Json>)
        return value.is_null() || value.empty();
    else if constexpr (requires { value.empty(); })
        return value.empty();
    else
        return false;
}

class Writer {
  public:
    explicit Writer(Json& out) : out_(out) { out_ = Json::object(); }

    template <class T>
    void must(const char* key, const T& value) {
        // Keys of one record are distinct, so the linear look-up of operator[] is spared.
        out_.get_ref<Json::object_t&>().emplace_back(key, Json());
        write(out_.get_ref<Json::object_t&>().back().second, value);
    }
    template <class T>
    void may(const char* key, const T& value) {
        if (!says_nothing(value)) must(key, value);
    }
    void flag(const char* key, bool value) {
        if (value) must(key, value);
    }

  private:
    Json& out_;
};

template <class T>
void write_record(Json& out, const T& value) {
    Writer writer(out);
    members(writer, value);
}

template <class T>
void write(Json& out, const T& value) {
    if constexpr (std::same_as<T, Json> || std::same_as<T, std::string> ||
                  std::is_arithmetic_v<T>) {
        out = value;
    } else if constexpr (TextValue<T>) {
        out = text_of(value);
    } else if constexpr (NamedEnum<T>) {
        out = std::string(name_of(value));
    } else if constexpr (IsOptional<T>::value) {
        if (value) write(out, *value);
    } else if constexpr (IsVector<T>::value) {
        out = Json::array();
        auto& list = out.get_ref<Json::array_t&>();
        list.reserve(value.size());
        for (const auto& item : value) write(list.emplace_back(), item);
    } else if constexpr (IsMap<T>::value) {
        out = Json::object();
        auto& object = out.get_ref<Json::object_t&>();
        for (const auto& [key, item] : value) {
            object.emplace_back(key, Json());
            write(object.back().second, item);
        }
    } else if constexpr (OwnForm<T>) {
        write_form(out, value);
    } else {
        write_record(out, value);
    }
}

template <class T>
[[nodiscard]] Json to_json(const T& value) {
    Json out;
    write(out, value);
    return out;
}

// ---------------------------------------------------------------- reading

struct ReadFaults {
    std::string file;
    std::vector<Fault> list;
    Currency currency{}; ///< of amounts of money; documents that hold any say it before

    void add(std::string code, std::string pointer, std::string wrong, std::string right = {}) {
        list.push_back({std::move(code),
                        {file, std::move(pointer), 0, 0},
                        std::move(wrong),
                        std::move(right)});
    }
    /// Adds the fault that `in` is not `what` unless it `fits`.
    bool expect(bool fits, const Json& in, const std::string& pointer, const char* what) {
        if (!fits)
            add("wrong-type", pointer, "found " + in_words(in), std::string("write ") + what);
        return fits;
    }
};

template <class T>
void read(const Json& in, T& out, const std::string& pointer, ReadFaults& faults);

class Reader {
  public:
    Reader(const Json& in, const std::string& pointer, ReadFaults& faults)
        : in_(in), pointer_(pointer), faults_(faults) {}

    template <class T>
    void must(const char* key, T& value) {
        if (!may(key, value))
            faults_.add("missing-key", pointer_, std::string("missing key '") + key + "'");
    }
    template <class T>
    bool may(const char* key, T& value) {
        const auto found = in_.find(key);
        if (found == in_.end()) return false;
        read(*found, value, pointer_to(pointer_, key), faults_);
        return true;
    }
    void flag(const char* key, bool& value) { (void)may(key, value); }

  private:
    const Json& in_;
    const std::string& pointer_;
    ReadFaults& faults_;
};

template <class T>
void read_record(const Json& in, T& out, const std::string& pointer, ReadFaults& faults) {
    if (!faults.expect(in.is_object(), in, pointer, "an object")) return;
    Reader reader(in, pointer, faults);
    members(reader, out);
}

template <class T>
void read(const Json& in, T& out, const std::string& pointer, ReadFaults& faults) {
    const auto expect = [&](bool fits, const char* what) {
        return faults.expect(fits, in, pointer, what);
    };
    if constexpr (std::same_as<T, Json>) {
        out = in;
    } else if constexpr (std::same_as<T, std::string>) {
        if (expect(in.is_string(), "a text")) out = in.template get<std::string>();
    } else if constexpr (std::same_as<T, bool>) {
        if (expect(in.is_boolean(), "true or false")) out = in.template get<bool>();
    } else if constexpr (std::integral<T>) {
        if (!expect(in.is_number_integer(), "a whole number")) return;
        const bool fits = in.is_number_unsigned()
                              ? std::in_range<T>(in.template get<std::uint64_t>())
                              : std::in_range<T>(in.template get<std::int64_t>());
        if (!fits) {
            const bool below = !in.is_number_unsigned() && in.template get<std::int64_t>() < 0;
            faults.add("too-large", pointer,
                       "the number " + in.dump() + " is too " + (below ? "small" : "large"));
            return;
        }
        out = in.template get<T>();
    } else if constexpr (std::floating_point<T>) {
        if (expect(in.is_number(), "a number")) out = in.template get<T>();
    } else if constexpr (TextValue<T>) {
        if (!expect(in.is_string(), "a text")) return;
        try {
            const auto text = in.template get<std::string>();
            if constexpr (std::same_as<T, Money>)
                out = Money::parse(text, faults.currency);
            else if constexpr (std::same_as<T, Decimal>)
                out = Decimal::parse(text);
            else
                out = parse_date(text);
        } catch (const FaultError& error) {
            for (Fault fault : error.faults())
                faults.add(fault.code, pointer, fault.wrong, fault.right);
        }
    } else if constexpr (NamedEnum<T>) {
        if (!expect(in.is_string(), "a text")) return;
        const auto text = in.template get<std::string>();
        const std::span<const std::string_view> names = names_of(T{});
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (names[i] == text) {
                out = static_cast<T>(i);
                return;
            }
        }
        std::string known;
        for (const std::string_view name : names)
            known += (known.empty() ? "" : ", ") + std::string(name);
        faults.add("unknown-choice", pointer, "unknown value '" + text + "'",
                   "write one of " + known);
    } else if constexpr (IsOptional<T>::value) {
        if (in.is_null()) return;
        read(in, out.emplace(), pointer, faults);
    } else if constexpr (IsVector<T>::value) {
        if (!expect(in.is_array(), "a list")) return;
        out.clear();
        out.reserve(in.size());
        for (const Json& item : in) {
            const std::string at = pointer + '/' + std::to_string(out.size());
            read(item, out.emplace_back(), at, faults);
        }
    } else if constexpr (IsMap<T>::value) {
        if (!expect(in.is_object(), "an object")) return;
        out.clear();
        for (const auto& [key, item] : in.items())
            read(item, out[key], pointer_to(pointer, key), faults);
    } else if constexpr (OwnForm<T>) {
        read_form(in, out, pointer, faults);
    } else {
        read_record(in, out, pointer, faults);
    }
}

/// Reads a whole document. @throws FaultError with every fault.
template <class T>
[[nodiscard]] T read_document(const Json& in, const std::string& origin,
                              const Currency& currency = {}) {
    T out{};
    ReadFaults faults{origin, {}, currency};
    read(in, out, "", faults);
    if (!faults.list.empty()) throw FaultError(std::move(faults.list));
    return out;
}

// ---------------------------------------------------------------- schemas

/// Writes JSON Schema (draft-07); records that occur become entries of `definitions`.
class SchemaWriter {
  public:
    template <class T>
    [[nodiscard]] Json document(const std::string& title) {
        Json schema = {{"$schema", "http://json-schema.org/draft-07/schema#"}, {"title", title}};
        Json body = schema_of<T>();
        schema.update(body);
        schema["definitions"] = definitions_;
        return schema;
    }

    template <class T>
    [[nodiscard]] Json schema_of() {
        if constexpr (std::same_as<T, Json>)
            return Json::object();
        else if constexpr (std::same_as<T, std::string> || TextValue<T>)
            return {{"type", "string"}};
        else if constexpr (std::same_as<T, bool>)
            return {{"type", "boolean"}};
        else if constexpr (std::integral<T>)
            return {{"type", "integer"}};
        else if constexpr (std::floating_point<T>)
            return {{"type", "number"}};
        else if constexpr (NamedEnum<T>) {
            Json names = Json::array();
            for (const std::string_view name : names_of(T{})) names.push_back(std::string(name));
            return {{"enum", names}};
        } else if constexpr (IsOptional<T>::value)
            return schema_of<typename T::value_type>();
        else if constexpr (IsVector<T>::value)
            return {{"type", "array"}, {"items", schema_of<typename T::value_type>()}};
        else if constexpr (IsMap<T>::value)
            return {{"type", "object"},
                    {"additionalProperties", schema_of<typename T::mapped_type>()}};
        else if constexpr (OwnForm<T>)
            return schema_form(*this, static_cast<const T*>(nullptr));
        else
            return record_schema<T>();
    }

    /// A reference to a record's entry, which is written when it is first asked for.
    template <class T>
    [[nodiscard]] Json record_schema() {
        const std::string name = std::string(record_name(static_cast<const T*>(nullptr)));
        if (!definitions_.contains(name)) {
            definitions_[name] =
                Json::object(); // stands in while a record that contains itself is written
            Json properties = Json::object(), required = Json::array();
            Visitor visitor{*this, properties, required};
            T self{};
            members(visitor, self);
            Json record = {{"type", "object"}, {"properties", properties}};
            if (!required.empty()) record["required"] = required;
            definitions_[name] = record;
        }
        return {{"$ref", "#/definitions/" + name}};
    }

  private:
    struct Visitor {
        SchemaWriter& writer;
        Json& properties;
        Json& required;

        template <class T>
        void must(const char* key, T&) {
            properties[key] = writer.schema_of<T>();
            required.push_back(key);
        }
        template <class T>
        void may(const char* key, T&) {
            properties[key] = writer.schema_of<T>();
        }
        void flag(const char* key, bool& value) { may(key, value); }
    };

    Json definitions_ = Json::object();
};

} // namespace aumbry::document

/// Begins the member list of a record, in the record's own namespace; `name` is what schemas call
/// it.
#define AUMBRY_RECORD(type, name)                                                                  \
    constexpr std::string_view record_name(const type*) {                                          \
        return name;                                                                               \
    }                                                                                              \
    template <class Visitor, aumbry::document::RecordOf<type> Self>                                \
    void members(Visitor& visit, Self& self)
