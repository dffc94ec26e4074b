#include "aumbry/project.hpp"

#include "aumbry/field_makers.hpp"
#include "aumbry/line_access.hpp"

#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

namespace aumbry {

using contract::Field;

namespace {

constexpr std::array<std::string_view, 30> keys{
    "aumbry",    "title",       "note",      "currency", "length_unit", "priced_on",
    "start",     "orders_from", "wanted_by", "site",     "suppliers",   "pricing",
    "people",    "workshop",    "vehicle",   "settings", "parameters",  "materials",
    "pieces",    "lines",       "owned",     "stock",    "tasks",       "bought",
    "as_bought", "worked",      "maker",     "client",   "quote",       "alternatives"};

Field percent_field(std::string name, std::string title, std::string help) {
    return at_most(at_least(number_field(std::move(name), std::move(title), std::move(help)), 0),
                   1000);
}
std::vector<std::string> phases() {
    const auto words = contract::phase_words();
    return {words.begin(), words.end()};
}

} // namespace

std::span<const std::string_view> project_keys() {
    return keys;
}

std::span<const Field> workshop_fields() {
    static const std::vector<Field> fields{
        with_default(at_least(quantity_field("kerf", "mm", "Saw kerf",
                                             "width of the saw cut; 3.2 mm (1/8 in) for a full "
                                             "blade, 2.4 mm for a thin one"),
                              0),
                     3.2),
        with_default(
            at_least(quantity_field(
                         "clean_up", "mm", "Edge clean-up",
                         "cut off every edge of a sheet before parts are cut; 5 to 10 mm is usual"),
                     0),
            10.0),
        with_default(at_least(quantity_field("end_trim", "mm", "End trim",
                                             "cut off each end of a board before parts are cut"),
                              0),
                     20.0),
        quantity_field("longest_rip", "mm", "Longest rip",
                       "the longest cut that your saw and guide can make"),
        quantity_field("heaviest_blank", "kg", "Heaviest blank",
                       "the mass that one person lifts safely"),
        with_default(at_most(at_least(number_field("hours_a_day", "Hours a day",
                                                   "working hours of a full day"),
                                      0.25),
                             24),
                     8.0),
        with_default(texts_field("weekdays", "Working days",
                                 "days of the week worked: \"monday\" to \"sunday\""),
                     Json::array({"monday", "tuesday", "wednesday", "thursday", "friday"})),
        texts_field("holidays", "Holidays",
                    "days not worked, as 2027-04-02 or 2027-08-02/2027-08-13"),
        quantity_field("rack", "m2", "Drying rack", "area of parts that can lie drying at once"),
        number_field("temperature", "Temperature",
                     "degrees Celsius in the workshop; drying times hold at about 20"),
        at_most(at_least(number_field("humidity", "Humidity",
                                      "per cent of relative humidity in the workshop; drying "
                                      "times hold at about 50"),
                         0),
                100),
        choice_field("wall", "Wall",
                     {"unknown", "solid masonry", "hollow masonry", "concrete", "timber studs",
                      "metal studs", "plasterboard"},
                     "what the wall is made of into which the piece is fixed"),
    };
    return fields;
}

std::span<const Field> vehicle_fields() {
    static const std::vector<Field> fields{
        required(quantity_field("length", "mm", "Length", "of the longest that fits into it")),
        required(quantity_field("width", "mm", "Width", "of the widest that fits into it")),
        quantity_field("height", "mm", "Height", "of its room; absent: what lies flat fits"),
        quantity_field("load", "kg", "Payload", "the mass that the vehicle may carry"),
    };
    return fields;
}

std::span<const Field> site_fields() {
    static const std::vector<Field> fields{
        texts_field("weekdays", "Open on", "days of the week on which the house is open for work"),
        texts_field("dates", "Dates", "the only dates on which it is, as 2027-03-10"),
    };
    return fields;
}

std::span<const Field> pricing_fields() {
    static const std::vector<Field> fields{
        with_default(
            flag_field("tax_recoverable", "Tax recoverable",
                       "true when the tax paid on purchases is claimed back and so is no cost"),
            true),
        with_default(percent_field("tax_charged", "Tax charged",
                                   "per cent of tax that the client is charged"),
                     0.0),
        percent_field("tax_on_quotes", "Tax on quoted prices",
                      "per cent of tax on prices stated in the project that say nothing of it; "
                      "absent: as the client is charged"),
        with_default(percent_field("contingency", "Contingency",
                                   "per cent added for what is likely but not known"),
                     0.0),
        percent_field("markup", "Markup", "per cent added on cost; or give a margin"),
        at_most(percent_field("margin", "Margin",
                              "per cent of the price that is not cost; or give a markup"),
                99),
        money_field("rate", "Rate of work",
                    "cost of an hour of work of those who state none of their own"),
        at_most(percent_field("deposit", "Deposit", "per cent of the total due with the order"),
                100),
        money_field("rounded_to", "Rounded to",
                    "what a client is shown is rounded to a multiple of this amount"),
        count_field("valid_days", "Valid for",
                    "days for which a quote holds, within what the prices allow"),
    };
    return fields;
}

std::span<const Field> person_fields() {
    static const std::vector<Field> fields{
        text_field("title", "Name", "what the person is called on paper"),
        money_field("rate", "Rate", "cost of an hour"),
        texts_field("weekdays", "Working days", "days of the week worked"),
        with_default(at_most(at_least(number_field("hours_a_day", "Hours a day",
                                                   "working hours of a full day"),
                                      0.25),
                             24),
                     8.0),
        texts_field("dates", "Dates", "the only dates on which the person is there, as 2027-03-10"),
        at_least(
            quantity_field("least", "min", "Least charge", "time charged at least for each day"),
            0),
    };
    return fields;
}

std::span<const Field> task_fields() {
    static const std::vector<Field> fields{
        text_field("title", "Title", "what is done"),
        text_field("piece", "Piece", "the piece it belongs to; empty for the whole job"),
        with_default(at_least(quantity_field("hours", "min", "Time",
                                             "hands-on time of each person, as '3 h' or '90 min'"),
                              0),
                     0.0),
        with_default(
            at_least(quantity_field("wait", "min", "Wait",
                                    "unattended time after it, through the night, as '12 h'"),
                     0),
            0.0),
        with_default(
            at_most(at_least(count_field("people", "People", "how many work on it"), 1), 20), 1),
        texts_field("who", "Who", "ids under `people`; empty: the maker"),
        money_field("rate", "Rate",
                    "cost of an hour of each person, when it is not the person's own"),
        with_default(choice_field("phase", "Phase", phases(),
                                  "what it does to its piece: it comes after all that is earlier "
                                  "in this list"),
                     "assemble"),
        texts_field("after", "After",
                    "tasks, steps or lines that must be finished or in hand before it"),
        texts_field("before", "Before", "tasks or steps that must not begin before it is done"),
        date_field("not_before", "Not before", "the earliest day"),
    };
    return fields;
}

std::span<const Field> piece_fields() {
    static const std::vector<Field> fields{
        required(text_field("title", "Title", "what the piece is called on paper")),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> supplier_wish_fields() {
    static const std::vector<Field> fields{
        texts_field("exclude", "Excluded", "suppliers not to buy from"),
        texts_field("prefer", "Preferred",
                    "suppliers that fill what they can fill whole, whatever others ask"),
        records_field(
            "rates", "Rates", "what one unit of a supplier's currency costs in the project's",
            {required(text_field("currency", "Currency", "ISO 4217 code")),
             required(money_field("rate", "Rate", "project currency for one unit, as \"1.0825\"")),
             required(date_field("on", "Date", "the day of the rate"))}),
        records_field("carriage", "Carriage", "how a supplier's goods come, if not the cheaper way",
                      {required(text_field("supplier", "Supplier", "id of the supplier")),
                       required(choice_field("by", "By", {"vehicle", "delivered"},
                                             "fetched in the vehicle, or brought by him"))}),
    };
    return fields;
}

std::span<const Field> party_fields() {
    static const std::vector<Field> fields{
        required(text_field("name", "Name", "as it stands on an order, a quote or an invoice")),
        texts_field("address", "Address", "its lines, from the street on"),
        text_field("contact", "Contact", "telephone or e-mail address"),
        text_field("tax_number", "Tax number", "of the business, where there is one"),
    };
    return fields;
}

std::span<const Field> bought_fields() {
    static const std::vector<Field> fields{
        required(text_field("supplier", "Supplier", "id of the supplier, or a name")),
        text_field("sku", "Article", "the supplier's number of it"),
        required(text_field("title", "Title", "what it is")),
        text_field("class", "Class", "catalog class of the thing"),
        with_default(at_least(count_field("count", "Count", "how many were bought"), 0), 1),
        required(money_field("amount", "Paid", "for all of them, without tax")),
        with_default(money_field("tax", "Tax", "on all of them"), "0"),
        with_default(choice_field("charge", "Charge", {"goods", "service", "delivery"},
                                  "what kind of cost it is"),
                     "goods"),
        required(choice_field("state", "State", {"ordered", "received", "cut"},
                              "ordered; received and whole; cut or used up")),
        date_field("on", "On", "the day of the latest change of state"),
        date_field("arrives", "Arrives", "when what is ordered will be in hand"),
        records_field("for", "For", "the demands that it serves",
                      {required(text_field("demand", "Demand", "as the estimate names it")),
                       with_default(number_field("content", "Content",
                                                 "of one, in the demand's unit; 0 for what is cut"),
                                    0.0)}),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> worked_fields() {
    static const std::vector<Field> fields{
        required(text_field("step", "Step", "the step or task, as `aumbry plan --json` names it")),
        with_default(text_field("who", "Who", "id under `people`"), "maker"),
        required(at_least(quantity_field("hours", "min", "Time", "as '3.5 h'"), 0)),
        date_field("on", "On", "the day"),
        with_default(flag_field("done", "Done", "nothing of the step is left to do"), false),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> quote_fields() {
    static const std::vector<Field> fields{
        text_field("number", "Number", "what you file the quote under"),
        texts_field("included", "Included",
                    "what the price holds, in your words; empty: the titles of each piece's lines"),
        texts_field("not_included", "Not included", "what the client sees to"),
        records_field(
            "stages", "Stages",
            "when parts of the total are due; what they leave is due when the job is done",
            {required(text_field("title", "Title", "when it is due: \"with the order\"")),
             required(
                 at_most(at_least(number_field("percent", "Per cent", "of the total"), 0), 100))}),
        texts_field("terms", "Terms", "further sentences of the quote"),
    };
    return fields;
}

std::span<const Field> common_line_fields() {
    static const std::vector<Field> fields{
        required(text_field("kind", "Kind", "what kind of line it is")),
        text_field("piece", "Piece", "the piece it belongs to"),
        text_field("title", "Title", "what it is called on paper"),
        text_field("material", "Material", "a role under `materials`"),
        with_default(at_least(count_field("count", "Count", "how many"), 1), 1),
        with_default(flag_field("size_known", "Size known",
                                "true: parts that follow its size are cut before it is in hand and "
                                "measured"),
                     false),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::span<const Field> common_owned_fields() {
    static const std::vector<Field> fields{
        required(text_field("class", "Class", "catalog class of the thing")),
        text_field("title", "Title", "what you call it"),
        with_default(at_least(count_field("count", "Count", "how many you have"), 1), 1),
        with_default(
            money_field("value", "Value", "what using one of it costs you; usually nothing"), "0"),
        text_field("note", "Note", "anything worth remembering"),
    };
    return fields;
}

std::string read_file(const std::filesystem::path& file) {
    std::error_code error;
    if (!std::filesystem::exists(file, error))
        fail("missing-file", {file.string(), "", 0, 0}, "there is no such file", "check the path");
    if (std::filesystem::is_directory(file, error))
        fail("unreadable-file", {file.string(), "", 0, 0}, "is a folder", "name a file");
    std::ifstream in(file, std::ios::binary);
    if (!in)
        fail("unreadable-file", {file.string(), "", 0, 0}, "the file cannot be read",
             "check its permissions");
    std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    if (in.bad()) fail("unreadable-file", {file.string(), "", 0, 0}, "reading the file failed");
    return text;
}

Project read_project(std::string text, const std::string& file) {
    Project project{file, std::move(text), {}, {}};
    project.document = parse_json(project.text, file);
    FaultList faults(file);
    if (!project.document.is_object()) {
        faults.add("no-project", "", "this is no project",
                   "a project is an object with \"aumbry\": 1");
    } else if (const auto version = project.document.find("aumbry");
               version == project.document.end() || !version->is_number_integer()) {
        faults.add("no-project", version == project.document.end() ? "" : "/aumbry",
                   "this is no project: it does not say its version",
                   "begin it with \"aumbry\": 1");
    } else if (version->get<std::int64_t>() > project_version) {
        faults.add("newer-version", "/aumbry",
                   "the project is of version " + version->dump() +
                       ", this program reads version " + std::to_string(project_version),
                   "update Aumbry");
    } else if (version->get<std::int64_t>() != project_version) {
        faults.add("no-project", "/aumbry", "there is no project version " + version->dump(),
                   "write \"aumbry\": 1");
    }
    faults.find_places(project.text);
    faults.throw_if_any();
    return project;
}

std::vector<AlternativeName> alternatives(const Project& project) {
    std::vector<AlternativeName> names;
    const Json* section = find_at(project.document, "/alternatives");
    if (section == nullptr || !section->is_object()) return names;
    for (const auto& [id, alternative] : section->items()) {
        names.push_back({id, alternative.is_object() ? text(alternative, "title", id) : id});
    }
    return names;
}

std::string Project::origin(const std::string& pointer) const {
    if (alternative.empty()) return pointer;
    const std::string changes = pointer_to("/alternatives", alternative) + "/changes";
    // The deepest part of the pointer that the changes mention decides.
    for (std::string part = pointer; !part.empty(); part.resize(part.rfind('/'))) {
        const Json* changed = find_at(document, changes + part);
        if (changed == nullptr) continue;
        // A changed object holds what it mentions; what it does not mention comes from the base.
        if (part == pointer || !changed->is_object()) return changes + pointer;
        return pointer;
    }
    return pointer;
}

namespace {

void check_changes(const Json& base, const Json& changes, const std::string& at,
                   const std::string& pointer, FaultList& faults) {
    for (const auto& [key, change] : changes.items()) {
        const auto found = base.is_object() ? base.find(key) : base.end();
        const bool present = base.is_object() && found != base.end();
        const std::string here = pointer_to(pointer, key);
        if (change.is_null()) {
            if (!present) {
                std::vector<std::string> names;
                if (base.is_object()) {
                    for (const auto& [name, value] : base.items()) names.push_back(name);
                }
                const std::string near = nearest_name(key, names);
                faults.add("nothing-to-delete", here, "there is no '" + key + "' to delete",
                           near.empty() ? "leave the change out" : "did you mean '" + near + "'?");
            }
        } else if (change.is_object()) {
            if (at == "/lines" && !present && !change.contains("kind")) {
                faults.add("line-without-kind", here, "the new line '" + key + "' has no kind",
                           "add \"kind\", or name a line of the project");
            }
            check_changes(present ? *found : Json(), change, pointer_to(at, key), here, faults);
        }
    }
}

} // namespace

Project with_alternative(const Project& base, const std::string& id) {
    FaultList faults(base.file);
    const Json* alternative = find_at(base.document, pointer_to("/alternatives", id));
    if (alternative == nullptr) {
        std::vector<std::string> ids;
        for (const AlternativeName& name : alternatives(base)) ids.push_back(name.id);
        const std::string near = nearest_name(id, ids);
        std::string known;
        for (const std::string& name : ids) known += (known.empty() ? "" : ", ") + name;
        fail("unknown-alternative", {base.file, "", 0, 0}, "there is no alternative '" + id + "'",
             !near.empty()   ? "did you mean '" + near + "'?"
             : known.empty() ? "the project has none"
                             : "known: " + known);
    }
    const std::string pointer = pointer_to("/alternatives", id);
    const Json* changes = alternative->is_object() && alternative->contains("changes")
                              ? &(*alternative)["changes"]
                              : nullptr;
    if (changes == nullptr || !changes->is_object()) {
        faults.add("missing-key", pointer, "the alternative has no \"changes\"",
                   "write what it changes, as a JSON Merge Patch (RFC 7396)");
    } else {
        for (const std::string_view fixed : {"aumbry", "currency", "alternatives"}) {
            if (changes->contains(std::string(fixed))) {
                faults.add("fixed-key", pointer + "/changes/" + std::string(fixed),
                           "an alternative cannot change '" + std::string(fixed) + "'",
                           "take it out of the changes");
            }
        }
        check_changes(base.document, *changes, "", pointer + "/changes", faults);
    }
    faults.find_places(base.text);
    faults.throw_if_any();

    Project changed = base;
    changed.alternative = id;
    Json patch = *changes;
    if (const auto lines = patch.find("lines"); lines != patch.end() && lines->is_object()) {
        const auto known = changed.document.find("lines");
        for (const auto& [name, change] : lines->items()) {
            if (known == changed.document.end() || !known->contains(name)) continue;
            // Another kind has other fields: the old ones mean nothing to it.
            Json& line = (*known)[name];
            if (line.is_object() && change.is_object() && change.contains("kind") &&
                change["kind"] != line.value("kind", Json()))
                line = Json::object();
        }
    }
    changed.document.merge_patch(patch);
    return changed;
}

Json project_schema(std::span<const contract::Description> modules) {
    const auto keyed = [](Json item) {
        return Json{{"type", "object"}, {"additionalProperties", std::move(item)}};
    };
    const Json value = {{"type", Json::array({"string", "number"})}};

    Json line_rules = Json::array();
    Json kinds = Json::array();
    for (const contract::Description& module : modules) {
        for (const contract::LineKind& kind : module.line_kinds) {
            std::vector<Field> fields(common_line_fields().begin(), common_line_fields().end());
            fields.insert(fields.end(), kind.fields.begin(), kind.fields.end());
            line_rules.push_back({{"if", {{"properties", {{"kind", {{"const", kind.kind}}}}}}},
                                  {"then", schema_of_fields(fields)}});
            kinds.push_back(kind.kind);
        }
    }
    Json line = {{"type", "object"},
                 {"required", Json::array({"kind"})},
                 {"properties", {{"kind", {{"type", "string"}}}}}};
    line["allOf"] = line_rules;

    Json settings = Json::object();
    for (const contract::Description& module : modules)
        settings[module.id] = schema_of_fields(module.settings);

    Json properties = Json::object();
    properties["aumbry"] = {{"const", project_version}};
    properties["title"] = {{"type", "string"}, {"minLength", 1}};
    properties["note"] = {{"type", "string"}};
    properties["currency"] = {{"type", "string"}, {"pattern", "^[A-Z]{3}$"}};
    properties["length_unit"] = {{"enum", Json::array({"mm", "in"})}};
    properties["priced_on"] = {{"type", "string"}, {"pattern", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}};
    properties["start"] = properties["priced_on"];
    properties["orders_from"] = properties["priced_on"];
    properties["wanted_by"] = properties["priced_on"];
    properties["site"] = schema_of_fields(site_fields());
    properties["suppliers"] = schema_of_fields(supplier_wish_fields());
    properties["pricing"] = schema_of_fields(pricing_fields());
    properties["people"] = keyed(schema_of_fields(person_fields()));
    properties["workshop"] = schema_of_fields(workshop_fields());
    properties["vehicle"] = schema_of_fields(vehicle_fields());
    properties["settings"] = {{"type", "object"}, {"properties", settings}};
    properties["parameters"] = keyed(value);
    properties["materials"] = keyed({{"type", "object"}, {"required", Json::array({"class"})}});
    properties["pieces"] = keyed(schema_of_fields(piece_fields()));
    properties["lines"] = keyed(line);
    properties["owned"] = keyed({{"type", "object"}, {"required", Json::array({"class"})}});
    properties["tasks"] = keyed(schema_of_fields(task_fields()));
    properties["stock"] = {{"type", "array"}, {"items", {{"type", "string"}}}};
    properties["bought"] = keyed(schema_of_fields(bought_fields()));
    properties["as_bought"] =
        keyed({{"type", "object"}, {"required", Json::array({"shares", "way"})}});
    properties["worked"] = keyed(schema_of_fields(worked_fields()));
    properties["maker"] = schema_of_fields(party_fields());
    properties["client"] = schema_of_fields(party_fields());
    properties["quote"] = schema_of_fields(quote_fields());
    properties["alternatives"] =
        keyed({{"type", "object"},
               {"required", Json::array({"changes"})},
               {"properties", {{"title", {{"type", "string"}}}, {"changes", {{"type", "object"}}}}},
               {"additionalProperties", false}});
    Json required_keys = Json::array({"aumbry", "title", "currency", "priced_on", "start"});
    return {{"$schema", "http://json-schema.org/draft-07/schema#"},
            {"title", "Aumbry project"},
            {"type", "object"},
            {"required", required_keys},
            {"properties", properties},
            {"patternProperties", {{"^x-", Json::object()}}},
            {"additionalProperties", false}};
}

} // namespace aumbry
