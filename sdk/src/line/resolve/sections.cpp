#include "line/resolve/sections.hpp"

#include "values/excerpt.hpp"

#include "aumbry/line_access.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace aumbry::resolving {

using contract::Field;

namespace {

std::string head_text(const Reading& reading, const char* key, bool must) {
    const auto found = reading.document.find(key);
    if (found == reading.document.end()) {
        if (must) reading.faults.add("missing-key", "", std::string("missing key '") + key + "'");
        return {};
    }
    if (!found->is_string()) {
        reading.faults.add("wrong-type", std::string("/") + key,
                           std::string("found ") + found->type_name(), "write a text in quotes");
        return {};
    }
    return found->get<std::string>();
}

Decimal percent_of(const Json& values, const char* key) {
    return Decimal::from_double(number(values, key, 0), 6);
}
std::optional<Decimal> stated_percent(const Json& values, const char* key) {
    return values.contains(key) ? std::optional(percent_of(values, key)) : std::nullopt;
}

std::vector<std::string> texts(const Json& values, const char* key) {
    return values.value(key, std::vector<std::string>{});
}

DateRange range_of(const std::string& written) {
    const auto slash = written.find('/');
    const Date first = parse_date(written.substr(0, slash));
    return {first, slash == std::string::npos ? first : parse_date(written.substr(slash + 1))};
}

Party read_party(const Reading& reading, const char* key) {
    const Json* party = reading.section(key);
    if (party == nullptr) return {};
    const Json values =
        read_fields(party_fields(), *party, std::string("/") + key, reading.names, reading.faults);
    return {text(values, "name"), texts(values, "address"), text(values, "contact"),
            text(values, "tax_number")};
}

} // namespace

const Json* Reading::section(const char* key) const {
    const auto found = document.find(key);
    if (found == document.end()) return nullptr;
    if (found->is_object()) return &*found;
    faults.add("wrong-type", std::string("/") + key, std::string("found ") + found->type_name(),
               "write an object in { }");
    return nullptr;
}

Money Reading::money(const Json& values, const char* key, const std::string& pointer) const {
    Money amount;
    if (!currency.code.empty())
        at(pointer + '/' + key, [&] { amount = Money::parse(text(values, key, "0"), currency); });
    return amount;
}

Head read_head(const Reading& reading) {
    Head head;
    const std::vector<std::string> known(project_keys().begin(), project_keys().end());
    refuse_unknown_keys(reading.document, known, "", reading.faults);
    head.title = head_text(reading, "title", true);
    (void)head_text(reading, "note", false);
    if (const std::string code = head_text(reading, "currency", true); !code.empty())
        reading.at("/currency", [&] { head.currency = currency(code); });
    if (const std::string unit = head_text(reading, "length_unit", false); !unit.empty()) {
        if (unit == "mm" || unit == "in")
            head.length_unit = unit;
        else
            reading.faults.add("unknown-choice", "/length_unit",
                               "unknown length unit " + in_quotes(unit), "write \"mm\" or \"in\"");
    }
    if (const std::string date = head_text(reading, "priced_on", true); !date.empty())
        reading.at("/priced_on", [&] { head.priced_on = parse_date(date); });
    if (const std::string date = head_text(reading, "start", true); !date.empty())
        reading.at("/start", [&] { head.start = parse_date(date); });
    if (const std::string date = head_text(reading, "orders_from", false); !date.empty())
        reading.at("/orders_from", [&] { head.orders_from = parse_date(date); });
    if (const std::string date = head_text(reading, "wanted_by", false); !date.empty())
        reading.at("/wanted_by", [&] { head.wanted_by = parse_date(date); });
    if (head.orders_from && head.start != Date{} && *head.orders_from > head.start)
        reading.faults.add("orders-too-late", "/orders_from",
                           "orders go out on " + format_date(*head.orders_from) +
                               ", after work begins on " + format_date(head.start),
                           "leave it out, or order before the start");
    return head;
}

std::vector<Piece> read_pieces(const Reading& reading) {
    std::vector<Piece> read;
    const Json* pieces = reading.section("pieces");
    if (pieces == nullptr) return read;
    for (const auto& [id, piece] : pieces->items()) {
        const Json values =
            read_fields(piece_fields(), piece, pointer_to("/pieces", id), {}, reading.faults);
        read.push_back(
            {id, text(values, "title", id), texts(values, "warnings"), texts(values, "cautions")});
    }
    return read;
}

std::vector<contract::Finding> findings_of(std::span<const Piece> pieces) {
    std::vector<contract::Finding> found;
    for (const Piece& piece : pieces) {
        for (const std::string& text : piece.warnings)
            found.push_back(
                {contract::Severity::warning, "piece-warning", "", piece.title + ": " + text});
        for (const std::string& text : piece.cautions)
            found.push_back(
                {contract::Severity::caution, "piece-caution", "", piece.title + ": " + text});
    }
    return found;
}

bool has_piece(std::span<const Piece> pieces, const std::string& id) {
    return std::any_of(pieces.begin(), pieces.end(),
                       [&](const Piece& piece) { return piece.id == id; });
}

Json read_workshop(const Reading& reading) {
    const Json empty = Json::object();
    const Json* workshop = reading.section("workshop");
    return read_fields(workshop_fields(), workshop == nullptr ? empty : *workshop, "/workshop",
                       reading.names, reading.faults);
}

namespace {

/// The settings in the times file of the project, by module; faults in it are told of that file.
Json read_times(const Reading& reading, const KnownModules& modules) {
    Json all = Json::object();
    const auto named = reading.document.find("times");
    if (named == reading.document.end()) return all;
    // As `with_times` leaves it, unless an alternative changed that.
    const auto is_text = [&](const char* key) {
        return named->is_object() && named->contains(key) && (*named)[key].is_string();
    };
    if (!is_text("file") || !is_text("text")) {
        reading.faults.add("wrong-type", "/times", "found " + in_words(*named),
                           "name one times file for the project; an alternative states its times "
                           "under settings");
        return all;
    }
    const std::string written = (*named)["text"].get<std::string>();
    FaultList faults((*named)["file"].get<std::string>());
    std::vector<std::string> ids{"aumbry_times", "note"};
    for (const contract::Description& module : modules.loaded()) ids.push_back(module.id);
    const Json table = parse_json(written, faults.file());
    for (const auto& [id, times] : table.items()) {
        const contract::Description* module = modules.find_module(id);
        if (module == nullptr) continue;
        (void)read_fields(module->settings, times, pointer_to("", id), {}, faults);
        all[id] = times;
    }
    // Times of a stranger's module that is not loaded stay; a slip of a known name is a fault.
    for (const auto& [id, times] : table.items()) {
        if (id.starts_with("x-") || modules.is_home(id)) continue;
        if (std::find(ids.begin(), ids.end(), id) != ids.end()) continue;
        if (const std::string near = nearest_name(id, ids); !near.empty())
            faults.add("unknown-key", pointer_to("", id), "unknown module " + in_quotes(id),
                       "did you mean " + in_quotes(near) + "?");
    }
    faults.find_places(written);
    faults.throw_if_any();
    return all;
}

} // namespace

ToldSettings read_settings(const Reading& reading, const KnownModules& modules) {
    ToldSettings told;
    const Json empty = Json::object();
    told.workshop = read_workshop(reading);
    if (const Json* vehicle = reading.section("vehicle"))
        told.vehicle =
            read_fields(vehicle_fields(), *vehicle, "/vehicle", reading.names, reading.faults);
    const Json* settings = reading.section("settings");
    const Json times = read_times(reading, modules);
    std::vector<std::string> ids;
    for (const contract::Description& module : modules.loaded()) {
        ids.push_back(module.id);
        const bool stated = settings != nullptr && settings->contains(module.id);
        const Json& own = stated ? (*settings)[module.id] : empty;
        Json all = times.value(module.id, Json::object());
        if (own.is_object())
            all.update(own);
        else
            all = own; // the fault is said of what stands there
        told.by_module[module.id] =
            read_fields(module.settings, all, pointer_to("/settings", module.id), reading.names,
                        reading.faults);
    }
    if (settings == nullptr) return told;
    for (const auto& [module, value] : settings->items()) {
        if (told.by_module.contains(module) || module.starts_with("x-") || modules.is_home(module))
            continue;
        // Settings of a stranger's module that is not loaded stay as they are; a slip of a known
        // name is a fault.
        const std::string near = nearest_name(module, ids);
        if (!near.empty())
            reading.faults.add("unknown-key", pointer_to("/settings", module),
                               "unknown module " + in_quotes(module),
                               "did you mean " + in_quotes(near) + "?");
    }
    return told;
}

ProjectPricing read_pricing(const Reading& reading) {
    const Json* section = reading.section("pricing");
    const Json empty = Json::object();
    const Json values = read_fields(pricing_fields(), section == nullptr ? empty : *section,
                                    "/pricing", reading.names, reading.faults);
    ProjectPricing pricing;
    PricingTerms& terms = pricing.terms;
    terms.currency = reading.currency;
    terms.tax_paid_recoverable = flag(values, "tax_recoverable", true);
    terms.tax_charged_percent = percent_of(values, "tax_charged");
    // Whoever quotes a price lives where the client does, as a rule.
    pricing.tax_paid = stated_percent(values, "tax_on_quotes").value_or(terms.tax_charged_percent);
    terms.contingency_percent = percent_of(values, "contingency");
    terms.markup_percent = stated_percent(values, "markup");
    terms.margin_percent = stated_percent(values, "margin");
    terms.deposit_percent = stated_percent(values, "deposit");
    if (terms.markup_percent && terms.margin_percent)
        reading.faults.add("both-given", "/pricing/margin", "both a markup and a margin are given",
                           "keep one of them");
    if (values.contains("rounded_to") && !reading.currency.code.empty())
        pricing.rounded_to = reading.money(values, "rounded_to", "/pricing");
    if (values.contains("valid_days")) pricing.valid_days = values["valid_days"].get<int>();
    if (values.contains("rate"))
        reading.at("/pricing/rate", [&] { pricing.rate = Decimal::parse(text(values, "rate")); });
    return pricing;
}

std::vector<DateRange> read_holidays(const Reading& reading, const Json& holidays) {
    std::vector<DateRange> ranges;
    for (const Json& entry : holidays) {
        reading.at("/workshop/holidays", [&] {
            const DateRange range = range_of(entry.get<std::string>());
            (void)WorkCalendar({8, 8, 8, 8, 8, 8, 8}, {range}); // refuses what ends too early
            ranges.push_back(range);
        });
    }
    return ranges;
}

WorkCalendar read_calendar(const Reading& reading, const Json& weekdays, double hours,
                           const std::vector<DateRange>& holidays, const std::string& pointer) {
    static constexpr std::array<std::string_view, 7> names{
        "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"};
    std::array<double, 7> week{};
    WorkCalendar calendar;
    for (const Json& day : weekdays) {
        const std::string name = day.get<std::string>();
        const auto found = std::find(names.begin(), names.end(), name);
        if (found == names.end()) {
            reading.faults.add(
                "unknown-choice", pointer + "/weekdays", "unknown day " + in_quotes(name),
                "write monday, tuesday, wednesday, thursday, friday, saturday or sunday");
            return calendar;
        }
        week[static_cast<std::size_t>(found - names.begin())] = hours;
    }
    reading.at(pointer + "/weekdays", [&] { calendar = WorkCalendar(week, holidays); });
    return calendar;
}

Site read_site(const Reading& reading) {
    Site read;
    const Json* site = reading.section("site");
    if (site == nullptr) return read;
    const Json values = read_fields(site_fields(), *site, "/site", reading.names, reading.faults);
    if (values.contains("weekdays"))
        read.open = read_calendar(reading, values["weekdays"], 24, {}, "/site");
    for (const Json& date : values.value("dates", Json::array()))
        reading.at("/site/dates",
                   [&] { read.dates.push_back(parse_date(date.get<std::string>())); });
    std::sort(read.dates.begin(), read.dates.end());
    return read;
}

std::vector<Person> read_people(const Reading& reading, const Json& workshop,
                                const std::optional<Decimal>& rate) {
    const std::vector<DateRange> holidays =
        read_holidays(reading, workshop.value("holidays", Json::array()));
    const Json days = workshop.value("weekdays", Json::array());
    const double productive = number(workshop, "productive", 100) / 100;
    Person maker;
    maker.id = "maker";
    maker.title = "the maker";
    maker.rate = rate.value_or(Decimal());
    maker.rate_stated = rate.has_value();
    maker.calendar = read_calendar(reading, days, number(workshop, "hours_a_day", 8) * productive,
                                   holidays, "/workshop");
    std::vector<Person> all{maker};
    const Json* people = reading.section("people");
    if (people == nullptr) return all;
    for (const auto& [id, person] : people->items()) {
        const std::string pointer = pointer_to("/people", id);
        const Json values =
            read_fields(person_fields(), person, pointer, reading.names, reading.faults);
        Person read = maker;
        read.id = id;
        read.title = text(values, "title", id == "maker" ? "the maker" : id);
        if (values.contains("rate")) {
            reading.at(pointer + "/rate", [&] {
                read.rate = Decimal::parse(text(values, "rate"));
                read.rate_stated = true;
            });
        }
        if (values.contains("weekdays") || (person.is_object() && person.contains("hours_a_day")))
            read.calendar =
                read_calendar(reading, values.value("weekdays", days),
                              number(values, "hours_a_day", 8) * productive, holidays, pointer);
        for (const Json& date : values.value("dates", Json::array()))
            reading.at(pointer + "/dates",
                       [&] { read.dates.push_back(parse_date(date.get<std::string>())); });
        std::sort(read.dates.begin(), read.dates.end());
        read.min_minutes = number(values, "least", 0);
        if (id == "maker")
            all.front() = std::move(read);
        else
            all.push_back(std::move(read));
    }
    return all;
}

namespace {

ProjectTask read_task(const Reading& reading, const std::string& id, const Json& task,
                      std::span<const Piece> pieces, std::span<const Person> people) {
    const std::string pointer = pointer_to("/tasks", id);
    const Json values = read_fields(task_fields(), task, pointer, reading.names, reading.faults);
    ProjectTask read;
    read.id = id;
    read.title = text(values, "title", id);
    read.piece = text(values, "piece");
    if (!read.piece.empty() && !has_piece(pieces, read.piece))
        reading.faults.add("unknown-piece", pointer + "/piece",
                           "there is no piece " + in_quotes(read.piece), "add it under \"pieces\"");
    read.phase = contract::phase_called(text(values, "phase"), contract::Phase::assemble);
    read.minutes = number(values, "hours", 0);
    read.wait_minutes = number(values, "wait", 0);
    read.people = static_cast<std::int64_t>(number(values, "people", 1));
    for (const std::string& who : texts(values, "who")) {
        if (std::none_of(people.begin(), people.end(),
                         [&](const Person& person) { return person.id == who; }))
            reading.faults.add("unknown-person", pointer + "/who",
                               "there is nobody called " + in_quotes(who),
                               "add them under \"people\"");
        read.who.push_back(who);
    }
    if (values.contains("rate"))
        reading.at(pointer + "/rate", [&] { read.rate = Decimal::parse(text(values, "rate")); });
    read.after = texts(values, "after");
    read.before = texts(values, "before");
    if (values.contains("not_before")) read.not_before = parse_date(text(values, "not_before"));
    return read;
}

} // namespace

std::vector<ProjectTask> read_tasks(const Reading& reading, std::span<const Piece> pieces,
                                    std::span<const Person> people) {
    std::vector<ProjectTask> read;
    const Json* tasks = reading.section("tasks");
    if (tasks == nullptr) return read;
    for (const auto& [id, task] : tasks->items()) {
        if (!id.starts_with("x-")) read.push_back(read_task(reading, id, task, pieces, people));
    }
    return read;
}

SupplierWishes read_wishes(const Reading& reading) {
    SupplierWishes read;
    const Json* wishes = reading.section("suppliers");
    if (wishes == nullptr) return read;
    const Json values =
        read_fields(supplier_wish_fields(), *wishes, "/suppliers", reading.names, reading.faults);
    read.exclude = texts(values, "exclude");
    read.prefer = texts(values, "prefer");
    for (const Json& rate : values.value("rates", Json::array())) {
        reading.at("/suppliers/rates", [&] {
            read.rates.push_back({currency(text(rate, "currency")).code,
                                  Decimal::parse(text(rate, "rate")),
                                  parse_date(text(rate, "on"))});
        });
    }
    for (const Json& wish : values.value("carriage", Json::array()))
        read.carriage[text(wish, "supplier")] = text(wish, "by") == "delivered"
                                                    ? contract::Carriage::delivered
                                                    : contract::Carriage::vehicle;
    return read;
}

Papers read_papers(const Reading& reading, const std::optional<Decimal>& deposit_percent) {
    Papers papers;
    papers.maker = read_party(reading, "maker");
    papers.client = read_party(reading, "client");
    const Json* quote = reading.section("quote");
    if (quote == nullptr) return papers;
    const Json values =
        read_fields(quote_fields(), *quote, "/quote", reading.names, reading.faults);
    papers.quote_number = text(values, "number");
    papers.included = texts(values, "included");
    papers.not_included = texts(values, "not_included");
    papers.terms = texts(values, "terms");
    Decimal all;
    for (const Json& stage : values.value("stages", Json::array())) {
        papers.stages.push_back({text(stage, "title"), percent_of(stage, "percent"), {}});
        if (stage.contains("on")) papers.stages.back().on = parse_date(text(stage, "on"));
        all = all + papers.stages.back().percent;
    }
    if (all > Decimal(100))
        reading.faults.add("bad-stages", "/quote/stages",
                           "the stages are " + all.str() + " % of the total together",
                           "make them 100 % or less");
    if (deposit_percent && !papers.stages.empty())
        reading.faults.add("both-given", "/quote/stages",
                           "both a deposit under \"pricing\" and stages are given",
                           "keep one of them: a deposit is the first of two stages");
    return papers;
}

} // namespace aumbry::resolving
