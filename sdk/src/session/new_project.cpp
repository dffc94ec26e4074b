#include "aumbry/new_project.hpp"

#include "aumbry/catalog.hpp"
#include "aumbry/date.hpp"
#include "aumbry/field_makers.hpp"
#include "aumbry/fields.hpp"
#include "aumbry/line_access.hpp"
#include "aumbry/money.hpp"
#include "aumbry/project.hpp"
#include "aumbry/save_file.hpp"
#include "aumbry/session.hpp"

#include <chrono>
#include <span>
#include <system_error>

namespace aumbry {

namespace fs = std::filesystem;

using contract::Field;

namespace {

std::string trimmed(std::string text) {
    text.erase(0, std::min(text.find_first_not_of(" \t"), text.size()));
    text.resize(text.find_last_not_of(" \t") + 1);
    return text;
}

/// "1900 mm x 1050 mm", longest first.
Json vehicle_of(const std::string& written, FaultList& faults) {
    const std::size_t sign = written.find(" x ");
    if (sign == std::string::npos) {
        faults.add("bad-quantity", "vehicle", "'" + written + "' is no length and width",
                   "write it as '1900 mm x 1050 mm'");
        return Json::object();
    }
    Json vehicle = {{"length", trimmed(written.substr(0, sign))},
                    {"width", trimmed(written.substr(sign + 3))}};
    (void)read_fields(vehicle_fields(), vehicle, "vehicle", {}, faults);
    return vehicle;
}

/// Puts what is answered into a section, checked by its fields.
void answer(Json& section, std::span<const Field> fields, const char* key,
            const std::string& written, FaultList& faults, std::string place = {}) {
    if (written.empty()) return;
    if (place.empty()) place = key;
    const Field& field = *find_field(fields, key);
    Json value = written;
    if (field.type == contract::FieldType::number) {
        try {
            value = Json::parse(Decimal::parse(written).str());
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults()) faults.add_at(fault, place);
            return;
        }
    }
    (void)read_value(field, value, place, {}, faults);
    section[key] = std::move(value);
}

template <class Read>
void checked(FaultList& faults, const char* place, const Read& read) {
    try {
        read();
    } catch (const FaultError& error) {
        for (const Fault& fault : error.faults()) faults.add_at(fault, place);
    }
}

std::span<const Field> maker_fields() {
    static const std::vector<Field> fields{
        text_field("currency", "Currency", "ISO 4217 code"),
        choice_field("length_unit", "Unit", {"mm", "in"}, "in which sizes are written"),
        text_field("rate", "Rate", "of an hour's work"),
        text_field("helper", "Helper", "of an hour of a second pair of hands"),
        text_field("tax", "Tax", "per cent that the client is charged"),
        text_field("kerf", "Kerf", "of the saw"),
        text_field("vehicle", "Vehicle", "length x width of what fits into it"),
        text_field("times", "Times", "file of your own times of operations"),
        texts_field("catalogs", "Catalogs", "folders that hold suppliers/"),
    };
    return fields;
}

} // namespace

void take_kept(NewProject& answers, const NewProject& kept) {
    for (std::string NewProject::*each :
         {&NewProject::currency, &NewProject::length_unit, &NewProject::rate, &NewProject::helper,
          &NewProject::tax, &NewProject::kerf, &NewProject::vehicle, &NewProject::times}) {
        if ((answers.*each).empty()) answers.*each = kept.*each;
    }
}

void use_usual(NewProject& answers) {
    if (answers.currency.empty()) answers.currency = answers.length_unit == "in" ? "USD" : "EUR";
    if (answers.length_unit.empty()) answers.length_unit = answers.currency == "USD" ? "in" : "mm";
    if (answers.helper.empty()) answers.helper = answers.rate;
    if (answers.kerf.empty()) answers.kerf = answers.length_unit == "in" ? "1/8 in" : "3.2 mm";
    if (answers.start.empty())
        answers.start = format_date(parse_date(answers.priced_on) + std::chrono::days(14));
}

std::vector<std::string> sellers_in_other_currency(const Catalog& catalog,
                                                   const std::string& code) {
    std::vector<std::string> ids;
    for (const Supplier& supplier : catalog.suppliers()) {
        if (supplier.currency.code != code) ids.push_back(supplier.id);
    }
    return ids;
}

std::string new_project(const NewProject& answers) {
    FaultList faults("");
    Json project = {{"aumbry", project_version}};
    project["title"] = answers.title;
    checked(faults, "currency", [&] { (void)currency(answers.currency); });
    project["currency"] = answers.currency;
    if (answers.length_unit != "mm" && answers.length_unit != "in")
        faults.add("unknown-choice", "unit", "unknown length unit '" + answers.length_unit + "'",
                   "write mm or in");
    project["length_unit"] = answers.length_unit;
    checked(faults, "priced_on", [&] { (void)parse_date(answers.priced_on); });
    project["priced_on"] = answers.priced_on;
    checked(faults, "start", [&] { (void)parse_date(answers.start); });
    project["start"] = answers.start;
    project["orders_from"] = answers.priced_on;
    if (!answers.exclude.empty()) project["suppliers"]["exclude"] = answers.exclude;
    Json pricing = Json::object();
    answer(pricing, pricing_fields(), "rate", answers.rate, faults);
    if (!answers.rate.empty() && faults.empty())
        checked(faults, "rate",
                [&] { (void)Money::parse(answers.rate, currency(answers.currency)); });
    answer(pricing, pricing_fields(), "tax_charged", answers.tax, faults, "tax");
    project["pricing"] = pricing;
    if (!answers.helper.empty()) {
        Json helper = {{"title", "second pair of hands"}};
        answer(helper, person_fields(), "rate", answers.helper, faults, "helper");
        project["people"]["helper"] = std::move(helper);
    }
    Json workshop = Json::object();
    answer(workshop, workshop_fields(), "kerf", answers.kerf, faults);
    answer(workshop, workshop_fields(), "wall", answers.wall, faults);
    project["workshop"] = workshop;
    if (!answers.times.empty()) project["times"] = answers.times;
    if (!answers.vehicle.empty()) project["vehicle"] = vehicle_of(answers.vehicle, faults);
    for (const char* section : {"parameters", "materials", "pieces", "lines", "tasks", "checks"})
        project[section] = Json::object();
    faults.throw_if_any();
    return pretty(project);
}

fs::path maker_file() {
    const fs::path folder = user_folders().config;
    return folder.empty() ? fs::path() : folder / "maker.json";
}

Maker read_maker(const fs::path& file) {
    Maker maker;
    std::error_code error;
    if (file.empty() || !fs::exists(file, error)) return maker;
    const std::string written = read_file(file);
    const Json document = parse_json(written, file.string());
    FaultList faults(file.string());
    const Json values = read_fields(maker_fields(), document, "", {}, faults);
    faults.find_places(written);
    faults.throw_if_any();
    maker.answers.currency = text(values, "currency");
    maker.answers.length_unit = text(values, "length_unit");
    maker.answers.rate = text(values, "rate");
    maker.answers.helper = text(values, "helper");
    maker.answers.tax = text(values, "tax");
    maker.answers.kerf = text(values, "kerf");
    maker.answers.vehicle = text(values, "vehicle");
    maker.answers.times = text(values, "times");
    maker.catalogs = values.value("catalogs", std::vector<std::string>{});
    return maker;
}

void keep_maker(const fs::path& file, const Maker& maker) {
    Json document = Json::object();
    const auto keep = [&](const char* key, const std::string& value) {
        if (!value.empty()) document[key] = value;
    };
    keep("currency", maker.answers.currency);
    keep("length_unit", maker.answers.length_unit);
    keep("rate", maker.answers.rate);
    keep("helper", maker.answers.helper);
    keep("tax", maker.answers.tax);
    keep("kerf", maker.answers.kerf);
    keep("vehicle", maker.answers.vehicle);
    keep("times", maker.answers.times);
    if (!maker.catalogs.empty()) document["catalogs"] = maker.catalogs;
    std::error_code error;
    fs::create_directories(file.parent_path(), error);
    if (!fs::is_directory(file.parent_path()))
        fail("unwritable-folder", {file.parent_path().string(), "", 0, 0},
             "the folder cannot be made", "see that you may write there");
    save_file(file, pretty(document));
}

} // namespace aumbry
