// What a module says of itself: the kinds of lines that it prices, their fields, the classes of
// things that suppliers offer for them, its settings.
#pragma once

#include "aumbry/json.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry::contract {

/// What a field of a line, an attribute of an offer or a setting holds.
enum class FieldType {
    text,     ///< a string
    choice,   ///< one of `choices`
    flag,     ///< true or false
    count,    ///< a whole number
    number,   ///< a number without unit
    quantity, ///< a number in `unit`; people write quantities or formulas
    money,    ///< a decimal string in the project's currency
    date,     ///< an ISO 8601 date
    line,     ///< the id of another line
    lines,    ///< ids of other lines; people may write `piece.*` for all lines of a piece
    texts,    ///< a list of strings
    record,   ///< an object of `fields`
    records   ///< a list of objects of `fields`
};

/// One field: enough to read it strictly, to draw a form for it, to document and to test it.
struct Field {
    std::string name = {};
    FieldType type = FieldType::text;
    std::string title = {}; ///< short label for people
    std::string help = {};  ///< one sentence: what it is and what is usual
    std::string unit = {};  ///< for `quantity`: the contract unit of its value
    bool required = false;
    Json fallback = {};                    ///< value when absent, in contract form; null: none
    std::optional<double> minimum = {};    ///< least allowed value, in `unit`
    bool above_minimum = false;            ///< the value must be above `minimum`, not at it
    std::optional<double> maximum = {};    ///< greatest allowed value
    std::vector<std::string> choices = {}; ///< for `choice`
    std::vector<std::string> kinds =
        {}; ///< for `line` and `lines`: the kinds that may be named; empty: any
    std::vector<Field> fields = {}; ///< for `record` and `records`
};

/// A value that a module derives from a line and later formulas may use as `line.name`. Always of
/// one item of the line.
struct DerivedValue {
    std::string name = {};
    std::string unit = {}; ///< empty for a plain number
    std::string title = {};
    std::string help = {};
};

/// An attribute of an offer must equal what the line says at `value`: "material.species",
/// "fields.model", or a path into records ("fields.coats.product", any of them). A line that says
/// nothing does not constrain.
struct Match {
    std::string attribute = {};
    std::string value = {};
};

/// Which offers are passed along with the lines of a kind.
struct OfferQuery {
    std::string catalog_class = {};
    std::vector<Match> match = {};
};

/// A kind of line that the module prices.
struct LineKind {
    std::string kind = {};  ///< "panel"; a third party writes "module.kind"
    std::string title = {}; ///< "Panel"
    std::string help = {};
    std::string material_class = {}; ///< class of the `material` that a line names; empty: the kind
                                     ///< takes no material
    std::vector<Field> fields = {};
    std::vector<DerivedValue> derived = {};
    std::vector<std::string> group_by =
        {}; ///< "material", "fields.model": lines with equal values form one take-off group
    std::vector<OfferQuery> offers = {};
};

/// What kind of cost a class of things is.
enum class Charge {
    goods,  ///< something that comes, and may be left over
    service ///< something that is done: nothing is left of it
};

/// A class of things that suppliers offer; its attributes are columns of a price list and keys of a
/// material or owned item. `required` and a default bind the rows of price lists alone: a material
/// may leave any attribute out, so a module must expect that of a line's.
struct CatalogClass {
    std::string name = {};
    std::string title = {};
    std::string help = {};
    Charge charge = Charge::goods;
    std::vector<Field> attributes = {};
};

/// Reply to `describe`.
struct Description {
    std::string id = {}; ///< snake_case, unique among modules
    std::string title = {};
    std::string version = {};
    /// "0.1": that of the module's table of functions. Empty: AUMBRY_MODULE fills it in.
    std::string contract = {};
    std::vector<LineKind> line_kinds = {};
    std::vector<CatalogClass> catalog_classes = {};
    std::vector<std::string> tables = {}; ///< reference tables that the module reads, by name
    std::vector<Field> settings =
        {}; ///< the module's own settings, in the project under `settings.<id>`
    std::vector<std::string> after = {}; ///< modules whose results this one reads in follow
};

/// The JSON form; empty strings, lists and absent optionals are left out.
[[nodiscard]] Json to_json(const Description&);
[[nodiscard]] Json to_json(const Field&);

/// Reads a document; `origin` names it in faults. Unknown keys are ignored.
/// @throws FaultError with every fault: "missing-key", "wrong-type", "unknown-choice".
[[nodiscard]] Description read_description(const Json&, const std::string& origin);

} // namespace aumbry::contract
