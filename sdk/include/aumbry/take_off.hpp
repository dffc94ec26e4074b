// Take-off, the second stage: each module turns its lines into quantities, demands and working
// steps.
#pragma once

#include "aumbry/catalog.hpp"
#include "aumbry/contract.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/resolved_project.hpp"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace aumbry {

/// A step of a module; its ids are "module/step", `needs` are "module/demand".
struct ModuleStep {
    std::string module;
    contract::Step step;
};

/// A price that the project states, as an offer of one count that holds the whole amount.
struct StatedOffer {
    std::string id; ///< "stated/<demand>"
    std::string description;
    std::string unit;
    contract::StatedPrice price;

    /// The supplier that it is bought from: who named the price.
    [[nodiscard]] std::string supplier() const { return "stated/" + price.supplier; }
};

/// What a module was asked about a demand that has ways, to ask it again.
struct AskedDemand {
    std::string demand; ///< "module/demand"
    std::string module;
    std::shared_ptr<const contract::TakeOffRequest> request;
};

/// What all modules took off. Ids of demands are "module/demand".
struct TakenOff {
    std::vector<contract::Demand> demands; ///< by module, in the order of groups
    std::vector<AskedDemand> asked;        ///< those of `demands` that have ways
    std::vector<ModuleStep> steps;
    std::map<std::string, std::vector<contract::QuantityRow>> quantities; ///< by module
    std::map<std::string, std::vector<contract::Finding>>
        findings; ///< by module; "" are the core's own
    std::vector<contract::Working> workings;
    std::map<std::string, DatedOffer>
        offers;                   ///< by id: every bought offer that was passed to a module
    std::vector<OwnedItem> owned; ///< what modules could plan with: what the project owns, then
                                  ///< "bought/<id>" that serves nothing as it was bought
    std::vector<contract::Finding> of_bought; ///< the core's own, of what is bought already
    std::vector<StatedOffer> stated;
    std::map<std::string, std::string>
        not_priced; ///< by line: why a module that failed leaves it out
    std::vector<AbsentModule> failed;
    std::map<std::string, ModuleNames> names; ///< by module: what its later replies may wait for
};

/// Groups the priced lines, finds the offers and owned items that match each group, and asks the
/// modules. A line that a module refuses or fails for is left out and its group asked again; a
/// group that fails as a whole, or whose ids clash with another's, goes out of the estimate. The
/// rest goes on.
///
/// What is bought already keeps the plan by which it was bought. Where it no longer fits, all
/// modules are asked a second time, with the goods bought handed over as owned: the one place where
/// the line is run through twice.
///
/// What a module does wrong is no exception: `failed` and `not_priced` say it.
/// @throws CallCancelled when the host is told to give up. @throws std::bad_alloc and the like.
[[nodiscard]] TakenOff take_off(const Resolved& project, PluginHost& host, const Catalog& catalog,
                                const std::string& effort);

} // namespace aumbry
