// The typed authoring layer over the C door. A module derives from `aumbry::Module`, overrides what
// it needs, and names itself with AUMBRY_MODULE(MyModule) in one source file.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/plugin.h"

#include <string_view>

namespace aumbry {

/// What the host offers during a call.
class Host {
  public:
    explicit Host(const aumbry_host* host) : host_(host) {}

    /// A message for the developer of the module.
    void log(const std::string& text) const { host_->log(host_->context, text.c_str()); }
    /// How far the call is, 0 to 1.
    void progress(double fraction) const { host_->progress(host_->context, fraction); }
    /// True when the result is no longer wanted; throw `Cancelled` then.
    [[nodiscard]] bool cancelled() const { return host_->cancelled(host_->context) != 0; }

  private:
    const aumbry_host* host_;
};

/// Thrown by a module out of a call that the host has cancelled.
struct Cancelled {};

/// A module. Every function may throw FaultError (or any std::exception): the host shows its
/// sentence and names the module.
class Module {
  public:
    Module() = default;
    Module(const Module&) = delete;
    Module& operator=(const Module&) = delete;
    virtual ~Module() = default;

    /// Who the module is and what it prices. Must always answer the same.
    [[nodiscard]] virtual contract::Description describe() const = 0;

    /// Derived values of lines. Pure. The default derives nothing.
    [[nodiscard]] virtual contract::DeriveReply derive(const contract::DeriveRequest& request,
                                                       const Host& host) const;

    /// Quantities, demands and steps of one group of lines. Its reply depends on the request alone.
    [[nodiscard]] virtual contract::TakeOffReply take_off(const contract::TakeOffRequest& request,
                                                          const Host& host) const;

    /// What follows from what was chosen: never demands. The default adds nothing.
    [[nodiscard]] virtual contract::FollowReply follow(const contract::FollowRequest& request,
                                                       const Host& host) const;
};

namespace detail {
/// The functions of the C door for a module type; `make` makes one on the heap.
[[nodiscard]] const aumbry_module_functions* module_functions(Module* (*make)());
} // namespace detail

// ---------------------------------------------------------------- help for authors

/// Typed access to a line's fields, material and derived values, by path: "length" (a field),
/// "material.thickness", "derived.area". A missing value gives the fallback, or a FaultError
/// ("missing-value") that names line and path.
[[nodiscard]] const Json* find_value(const contract::Line& line, std::string_view path);
[[nodiscard]] double number(const contract::Line& line, std::string_view path);
[[nodiscard]] double number(const contract::Line& line, std::string_view path, double fallback);
[[nodiscard]] std::string text(const contract::Line& line, std::string_view path);
[[nodiscard]] std::string text(const contract::Line& line, std::string_view path,
                               const std::string& fallback);
[[nodiscard]] bool flag(const contract::Line& line, std::string_view path, bool fallback = false);
/// The same over any JSON object (a setting, an attribute list, a record).
[[nodiscard]] double number(const Json& object, const char* key, double fallback);
[[nodiscard]] std::string text(const Json& object, const char* key,
                               const std::string& fallback = {});
[[nodiscard]] bool flag(const Json& object, const char* key, bool fallback = false);

/// The line that a `line` field names, among the line's references; null when the field is empty.
[[nodiscard]] const contract::Line* reference(const contract::Line& line, std::string_view id);

/// What a person calls the line: its title, or its id with spaces for underscores.
[[nodiscard]] std::string display_name(const contract::Line& line);

/// Makers of fields, to keep descriptions readable.
[[nodiscard]] contract::Field text_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field choice_field(std::string name, std::string title,
                                           std::vector<std::string> choices, std::string help);
[[nodiscard]] contract::Field flag_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field count_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field number_field(std::string name, std::string title, std::string help);
/// A quantity that must be above zero and below an absurd size.
[[nodiscard]] contract::Field quantity_field(std::string name, std::string unit, std::string title,
                                             std::string help);
[[nodiscard]] contract::Field lines_field(std::string name, std::string title,
                                          std::vector<std::string> kinds, std::string help);
[[nodiscard]] contract::Field line_field(std::string name, std::string title,
                                         std::vector<std::string> kinds, std::string help);
/// A decimal string in the project's currency, at least zero.
[[nodiscard]] contract::Field money_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field date_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field texts_field(std::string name, std::string title, std::string help);
[[nodiscard]] contract::Field record_field(std::string name, std::string title, std::string help,
                                           std::vector<contract::Field> fields);
[[nodiscard]] contract::Field records_field(std::string name, std::string title, std::string help,
                                            std::vector<contract::Field> fields);
[[nodiscard]] contract::Field required(contract::Field field);
[[nodiscard]] contract::Field with_default(contract::Field field, Json fallback);
[[nodiscard]] contract::Field at_least(contract::Field field, double minimum);
[[nodiscard]] contract::Field at_most(contract::Field field, double maximum);

} // namespace aumbry

/// Exports a module class: one use a shared object.
#define AUMBRY_MODULE(ModuleClass)                                                                 \
    extern "C" AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);                   \
    extern "C" const aumbry_module_functions* aumbry_module(void) {                                \
        return aumbry::detail::module_functions(                                                   \
            []() -> aumbry::Module* { return new ModuleClass; });                                  \
    }
