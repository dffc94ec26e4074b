// A project as values: what resolve makes of the document, and all that later stages read of it.
#pragma once

#include "aumbry/absent_module.hpp"
#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"
#include "aumbry/people.hpp"
#include "aumbry/pricing_terms.hpp"
#include "aumbry/quantity.hpp"
#include "aumbry/recorded.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace aumbry {

/// One piece of furniture.
struct Piece {
    std::string id;
    std::string title;
    std::vector<std::string> warnings = {}; ///< what about it could kill or maim
    std::vector<std::string> cautions = {}; ///< what could hurt a little or spoil something
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
    std::optional<Date> arrives = {}; ///< bought and not in hand yet
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
    std::vector<std::string> after;  ///< tasks, steps ("module/step") or lines
    std::vector<std::string> before; ///< tasks or steps
    std::optional<Date> not_before;
};

/// When the client's house is open for work; nothing stated: always.
struct Site {
    std::optional<WorkCalendar> open; ///< by the day of the week
    std::vector<Date> dates;          ///< the only ones, where there are any
};

/// What the project says of the client's price.
struct ProjectPricing {
    PricingTerms terms;
    std::optional<Money> rounded_to; ///< what a client is shown is a multiple of this
    std::optional<int> valid_days;   ///< of a quote
    std::optional<Decimal> rate;     ///< an hour's work of those who state none of their own
    Decimal tax_paid; ///< per cent, on prices that the project states without a word on tax
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
    std::map<std::string, contract::Carriage> carriage; ///< by supplier
};

/// A part of the total that is due before the end.
struct PaymentStage {
    std::string title;           ///< when it is due
    Decimal percent;             ///< of the total
    std::optional<Date> on = {}; ///< expected; the first with the orders, others when work begins
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
    std::optional<Date> orders_from; ///< when orders go out; absent: at the start
    std::optional<Date> wanted_by;   ///< the client's wish
    Site site;
    std::map<std::string, Quantity> parameters; ///< what each comes to
    std::vector<Piece> pieces;
    std::vector<ResolvedLine> lines; ///< in document order
    std::vector<OwnedItem> owned;
    std::map<std::string, std::string> material_titles;
    std::set<std::string> services; ///< catalog classes that are charged as services
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

/// Settings as each call carries them.
[[nodiscard]] contract::Settings settings_for(const Resolved& project, const std::string& module,
                                              const std::string& effort);

/// Those of the tables that a module asks for.
[[nodiscard]] Json tables_for(const contract::Description& module, const Json& tables);

} // namespace aumbry
