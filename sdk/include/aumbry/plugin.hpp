// The typed authoring layer over the C door. A module derives from `aumbry::Module`, overrides what
// it needs, and names itself with AUMBRY_MODULE(MyModule) in one source file.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/field_makers.hpp"
#include "aumbry/line_access.hpp"
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

} // namespace aumbry

/// Exports a module class: one use a shared object.
#define AUMBRY_MODULE(ModuleClass)                                                                 \
    extern "C" AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);                   \
    extern "C" const aumbry_module_functions* aumbry_module(void) {                                \
        return aumbry::detail::module_functions(                                                   \
            []() -> aumbry::Module* { return new ModuleClass; });                                  \
    }
