// The typed authoring layer over the C door. A module derives from `aumbry::Module`, overrides what
// it needs, and names itself with AUMBRY_MODULE(MyModule) in one source file.
//
// A module runs inside the host's process. It must not end it (`exit`, `_Exit`, `abort`), close or
// write to the standard output, change the working folder, the locale or the environment, or leave
// a thread behind: the host cannot guard against these there, and `aumbry plugin check` fails a
// module that does any of them.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/field_makers.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/plugin.h"
#include "aumbry/reader_measures.hpp"
#include "aumbry/rounding.hpp"
#include "aumbry/stop.hpp"

#include <string_view>

namespace aumbry {

/// What the host offers during a call. Use it on the thread of the call, and until it returns.
class Host {
  public:
    /// Of null: a host that hears nothing and never cancels, for tests of a module by itself.
    explicit Host(const aumbry_host* host) : host_(host) {}

    /// A message for the developer of the module: shown by `--verbose`, never a result.
    void log(const std::string& text) const {
        if (host_ != nullptr) host_->log(host_->context, text.c_str());
    }
    /// How far the call is, 0 to 1.
    void progress(double fraction) const {
        if (host_ != nullptr) host_->progress(host_->context, fraction);
    }
    /// True when the result is no longer wanted; throw `Cancelled` then. Cheap enough to be asked
    /// some hundred times a second, which is what makes "Stop" work.
    [[nodiscard]] bool cancelled() const {
        return host_ != nullptr && host_->cancelled(host_->context) != 0;
    }
    /// The same for a search, which counts its steps there; good for this call.
    [[nodiscard]] Stop stop() const {
        if (host_ == nullptr || host_->cancelled == nullptr) return {};
        return Stop([host = host_] { return host->cancelled(host->context) != 0; });
    }

  private:
    const aumbry_host* host_;
};

/// A module. Every function may throw FaultError (or any std::exception): the host shows its
/// sentence and names the module, and the rest of the estimate stands. After a throw in `derive` or
/// `take_off` the lines are asked again in halves, so that only those that fail by themselves are
/// left without a price; to name one line, put it among the reply's `refused` instead. After a
/// throw in `follow` the module's lines keep their prices, without the work and figures that
/// follow.
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

    /// Better ways of a plan demand under the costs that it has in the whole job, and a bound on
    /// what any way costs under them. Its reply depends on the request alone. The default has none:
    /// the ways of the take-off stand.
    [[nodiscard]] virtual contract::PlanReply plan(const contract::PlanRequest& request,
                                                   const Host& host) const;

    /// What follows from what was chosen: never demands. The default adds nothing.
    [[nodiscard]] virtual contract::FollowReply follow(const contract::FollowRequest& request,
                                                       const Host& host) const;
};

namespace detail {
/// The functions of the C door for a module type; `make` makes one on the heap.
[[nodiscard]] const aumbry_module_functions* module_functions(Module* (*make)());
} // namespace detail

/// An offer of what is cut or poured to order: one count that holds just `quantity` (in the
/// amount's unit) and costs its price times `measure`, the same in the offer's price unit.
[[nodiscard]] contract::AmountOffer exactly(const std::string& offer, double quantity,
                                            double measure);
/// The same when the amount is in the price unit.
[[nodiscard]] contract::AmountOffer exactly(const std::string& offer, double quantity);

} // namespace aumbry

/// Exports a module class: one use a shared object.
#define AUMBRY_MODULE(ModuleClass)                                                                 \
    extern "C" AUMBRY_EXPORT const aumbry_module_functions* aumbry_module(void);                   \
    extern "C" const aumbry_module_functions* aumbry_module(void) {                                \
        return aumbry::detail::module_functions(                                                   \
            []() -> aumbry::Module* { return new ModuleClass; });                                  \
    }
