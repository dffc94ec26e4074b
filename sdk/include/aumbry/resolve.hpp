// Resolve, the first stage: a project's document becomes values. Formulas and units become numbers
// line by line in order of dependence, and each module derives what follows from a line, which
// later formulas may use.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/plugin_host.hpp"
#include "aumbry/pricing.hpp"
#include "aumbry/project.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// One piece of furniture.
struct Piece {
    std::string id;
    std::string title;
};

/// A line as the project has it, with values where they could be found.
struct ResolvedLine {
    contract::Line line;
    std::string module;                  ///< that prices its kind; empty when none is loaded
    std::string not_priced;              ///< why it has no price; empty when it has
    std::vector<std::string> depends_on; ///< lines whose values its formulas use, also through
                                         ///< parameters, or that it names, sorted
    bool size_known = false; ///< parts that follow its size may be cut before it is in hand
};

/// Something that the maker has already.
struct OwnedItem {
    std::string id;
    std::string title;
    std::string catalog_class;
    std::int64_t count = 1;
    Money value; ///< of one
    Json attributes = Json::object();
    std::optional<Date> arrives; ///< bought and not in hand yet
};

/// How far something is.
enum class Progress { planned, ordered, received, cut };
/// "planned" ...
[[nodiscard]] std::string_view word_of(Progress progress);

/// Something that is bought: its price is paid whatever becomes of it.
struct Bought {
    std::string id;
    std::string supplier;
    std::string sku;
    std::string title;
    std::string catalog_class;
    std::int64_t count = 1;
    Money amount; ///< of all, without tax
    Money tax;
    std::string charge = "goods"; ///< "goods", "service", "delivery"
    Progress state = Progress::ordered;
    std::optional<Date> on;
    std::optional<Date> arrives;
    /// A demand that it serves and what one of it holds, in the demand's unit.
    struct Serves {
        std::string demand;
        double content = 0;
    };
    std::vector<Serves> serves;
};

/// The plan by which a demand was bought: it stays as long as its parts do.
struct BoughtPlan {
    std::string demand;
    std::vector<contract::Share> shares; ///< of the demand then
    contract::Way
        way; ///< its uses name "bought/<id>", what is owned, or what is still to be bought
};

/// Time worked on a step.
struct Worked {
    std::string step;
    std::string who;
    double minutes = 0;
    std::optional<Date> on;
    bool done = false; ///< nothing of the step is left
};

/// A pair of hands.
struct Person {
    std::string id; ///< "maker" is always there
    std::string title;
    Decimal rate; ///< an hour, in the project's currency; zero: not stated
    bool rate_stated = false;
    WorkCalendar calendar;
    std::vector<Date>
        dates; ///< the only dates on which the person is there; empty: every working day
    double least_minutes = 0;
};

/// A working step that the project states itself.
struct ProjectTask {
    std::string id;
    std::string title;
    std::string piece;
    contract::Phase phase = contract::Phase::assemble;
    double minutes = 0;
    double wait_minutes = 0;
    std::int64_t people = 1;
    std::vector<std::string> who;
    std::optional<Decimal> rate;
    std::vector<std::string> after; ///< tasks, steps ("module/step") or lines
    std::optional<Date> not_before;
};

/// What the project says of the client's price.
struct ProjectPricing {
    PricingTerms terms;
    std::optional<Money> rounded_to; ///< what a client is shown is a multiple of this
    std::optional<int> valid_days;   ///< of a quote
};

/// A dated rate of exchange.
struct ExchangeRate {
    std::string currency;
    Decimal rate; ///< project currency for one unit
    Date on{};
};

struct SupplierWishes {
    std::vector<std::string> exclude;
    std::vector<std::string> prefer;
    std::vector<ExchangeRate> rates;
};

/// A module whose lines could not be used, and why.
struct AbsentModule {
    std::string module;
    std::string reason;
};

/// Who stands on a paper. All empty: not stated.
struct Party {
    std::string name;
    std::vector<std::string> address; ///< its lines
    std::string contact;
    std::string tax_number;
};

/// A part of the total that is due before the end.
struct PaymentStage {
    std::string title; ///< when it is due
    Decimal percent;   ///< of the total
};

/// What papers say beside figures.
struct Papers {
    Party maker;
    Party client;
    std::string quote_number;
    std::vector<std::string> included;
    std::vector<std::string> not_included;
    std::vector<PaymentStage> stages; ///< together at most 100 per cent
    std::vector<std::string> terms;
};

/// The project as values: all that later stages read of it.
struct Resolved {
    std::string title;
    Currency currency;
    std::string length_unit = "mm"; ///< "mm" or "in"
    Date priced_on{};
    Date start{};
    std::vector<Piece> pieces;
    std::vector<ResolvedLine> lines; ///< in document order
    std::vector<OwnedItem> owned;
    std::map<std::string, std::string> material_titles;
    Json workshop = Json::object();
    Json vehicle = Json::object();
    std::map<std::string, Json> module_settings;
    ProjectPricing pricing;
    std::vector<Person> people; ///< the maker first
    std::vector<ProjectTask> tasks;
    SupplierWishes suppliers;
    Papers papers;
    std::vector<Bought> bought;
    std::vector<BoughtPlan> as_bought;
    std::vector<Worked> worked;
    std::vector<AbsentModule> absent;
    std::map<std::string, std::vector<contract::Finding>> findings; ///< by module
    std::vector<contract::Working> workings; ///< of parameters and formulas, then of derived values
};

/// Resolves a project. `tables` are the reference tables by name.
/// @throws FaultError with every fault of the document, placed.
[[nodiscard]] Resolved resolve(const Project& project, PluginHost& host, const Json& tables,
                               const std::string& effort = "normal");

/// Settings as each call carries them.
[[nodiscard]] contract::Settings settings_for(const Resolved& project, const std::string& module,
                                              const std::string& effort);

/// Those of the tables that a module asks for.
[[nodiscard]] Json tables_for(const contract::Description& module, const Json& tables);

/// The module that prices a kind of line, when the kind is one of ours: "panel" is priced by
/// "sheet_goods". Empty when the kind is nobody's. A third party's kind "module.kind" names its
/// module.
[[nodiscard]] std::string home_of_kind(std::string_view kind);

} // namespace aumbry
