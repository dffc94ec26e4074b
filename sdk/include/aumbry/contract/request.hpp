// What is passed to a module: lines with every formula evaluated, the offers and settings that
// bear on them, and what the core chose.
#pragma once

#include "aumbry/contract/plans.hpp"
#include "aumbry/contract/reply.hpp"
#include "aumbry/json.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace aumbry::contract {

/// How goods come to the workshop: fetched in the project's vehicle, or delivered.
enum class Carriage { vehicle, delivered };

/// A material role of the project with its attributes in contract units.
struct Material {
    std::string id = {};
    std::string catalog_class = {};
    Json attributes = Json::object();
    std::optional<Carriage> carriage = {}; ///< what the project says of it
};

/// A line with every formula evaluated.
struct Line {
    std::string id = {};
    std::string kind = {};
    std::string piece = {};
    std::string title = {};
    std::int64_t count = 1;
    std::optional<Material> material = {};
    Json fields = Json::object(); ///< by field name, in contract units
    /// By name; filled from `take_off` on, and in `references` always.
    Json derived = Json::object();
    /// The lines that its `line` and `lines` fields name, without references of their own.
    std::vector<Line> references = {};
};

/// A price from a count on.
struct PriceBreak {
    std::int64_t from = 1; ///< purchase count (packs) from which the price holds
    std::string price = {};
};

/// Something that can be bought or is owned already. What one purchase count costs: `price` if
/// `price_unit` is "each" or "pack", else price times the measure that the module states in that
/// unit.
struct Offer {
    std::string id = {};       ///< "supplier/sku", or "owned/id"
    std::string supplier = {}; ///< empty when owned
    std::string sku = {};
    std::string catalog_class = {};
    std::string description = {};
    Json attributes = Json::object(); ///< in contract units
    std::string price = {}; ///< as listed, in the supplier's currency, with or without tax
    /// What one price unit adds to the cost of the job, in the project's currency: the price with
    /// the tax that is not got back. For guidance in choosing ways; the core prices what is chosen.
    /// Absent when it is not known: no rate of exchange is stated.
    std::optional<double> cost = {};
    std::string price_unit = {}; ///< "each", "pack", "m", "m2", "m3", "bdft", "ft", "L", "kg", "h"
    double pack = 1;             ///< items in one purchase count
    std::int64_t min_quantity = 1;
    std::optional<std::int64_t> limit = {}; ///< stock; the core enforces it over all demands
    bool owned = false;
    std::optional<Carriage> carriage = {}; ///< how its supplier's goods come; absent: either way
};

/// What a module needs to know of a supplier that cuts.
struct CuttingService {
    std::string supplier = {};
    bool offered = false;
    std::string price_per_cut = {};          ///< as listed
    std::optional<double> cost_per_cut = {}; ///< what a cut adds to the cost, as `Offer::cost`
    std::int64_t free_cuts = 0;              ///< a sheet
    double kerf = 0;                         ///< mm
    double least_strip = 0;                  ///< mm
    double accuracy = 0;                     ///< mm, plus or minus
    int max_levels = 0;                      ///< of cuts, one dividing what another made; 0: any
};

/// Settings that every call carries: the project's workshop and vehicle and the module's own
/// settings.
struct Settings {
    Json workshop = Json::object();
    Json vehicle = Json::object();
    Json module = Json::object();
    std::string effort = "normal";  ///< draft, normal, thorough
    std::string length_unit = "mm"; ///< for texts that people read: "mm" or "in"
};

struct DeriveRequest {
    std::vector<Line> lines = {};
    Settings settings = {};
    Json tables = Json::object(); ///< by name: the rows of the reference tables asked for
};

struct TakeOffRequest {
    std::string kind = {};
    std::string group = {}; ///< readable key of the group: "carcase"
    std::vector<Line> lines = {};
    std::vector<Offer> offers = {}; ///< by id; owned ones among them
    std::vector<CuttingService> cutting = {};
    Settings settings = {};
    Json tables = Json::object();
};

/// Asks for better ways of a plan demand: the group as it was taken off, but with the costs that
/// offers and cuts have in the balance of the whole job, and without offers that are not to be
/// used.
struct PlanRequest {
    std::string demand = {}; ///< id of the demand, as the module gave it
    /// The lines are those of the demand, and what its ways are must serve all of them.
    TakeOffRequest group = {};
    /// What the cheapest way known costs under these costs: ways that cost as much or more are not
    /// wanted, and no bound beyond it.
    std::optional<double> known = {};
    bool only_bound = false; ///< no ways are asked for
};

/// What the core chose for a demand.
struct Chosen {
    std::string module = {};
    std::string demand = {};
    std::string way = {}; ///< id of the way, empty for an amount
    std::vector<Use> uses = {};
    double content = 0; ///< of an amount: what all uses together hold, in the amount's unit
    std::vector<Share> shares = {};
    Plans plans = {};
};

struct FollowRequest {
    std::vector<Line> lines = {}; ///< the module's own lines, derived values filled in
    /// For its own demands and those of the modules it comes after.
    std::vector<Chosen> chosen = {};
    /// By module: its own and those it comes after.
    std::map<std::string, std::vector<QuantityRow>> quantities = {};
    Settings settings = {};
    Json tables = Json::object();
};

/// The JSON form; empty strings, lists and absent optionals are left out.
[[nodiscard]] Json to_json(const DeriveRequest&);
[[nodiscard]] Json to_json(const TakeOffRequest&);
[[nodiscard]] Json to_json(const PlanRequest&);
[[nodiscard]] Json to_json(const FollowRequest&);

/// Reads a document; `origin` names it in faults. Unknown keys are ignored.
/// @throws FaultError with every fault: "missing-key", "wrong-type", "unknown-choice".
[[nodiscard]] DeriveRequest read_derive_request(const Json&, const std::string& origin);
[[nodiscard]] TakeOffRequest read_take_off_request(const Json&, const std::string& origin);
[[nodiscard]] PlanRequest read_plan_request(const Json&, const std::string& origin);
[[nodiscard]] FollowRequest read_follow_request(const Json&, const std::string& origin);

} // namespace aumbry::contract
