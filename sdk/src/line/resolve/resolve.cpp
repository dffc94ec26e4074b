#include "aumbry/resolve.hpp"

#include "line/resolve/known_modules.hpp"
#include "line/resolve/lines.hpp"
#include "line/resolve/sections.hpp"

#include "aumbry/line_access.hpp"

#include <filesystem>
#include <iterator>
#include <utility>

namespace aumbry {

namespace {

using namespace resolving;

KnownModules modules_of(const PluginHost& host) {
    std::vector<RefusedId> refused;
    for (const RefusedModule& each : host.refused()) {
        const std::filesystem::path file = each.file;
        // One that never came so far as to say who it is is known by its file.
        refused.push_back({each.module.empty() ? file.stem().string() : each.module,
                           file.filename().string() + ' ' + each.reason});
    }
    return KnownModules(host.modules(), host.kinds(), std::move(refused));
}

void keep(Resolved& out, Head head) {
    out.title = std::move(head.title);
    out.currency = std::move(head.currency);
    out.length_unit = std::move(head.length_unit);
    out.priced_on = head.priced_on;
    out.start = head.start;
    out.orders_from = head.orders_from;
    out.wanted_by = head.wanted_by;
}

void keep(Resolved& out, ToldSettings told) {
    out.workshop = std::move(told.workshop);
    out.vehicle = std::move(told.vehicle);
    out.module_settings = std::move(told.by_module);
}

void keep(Resolved& out, ReadLines lines) {
    out.lines = std::move(lines.lines);
    out.material_titles = std::move(lines.material_titles);
    out.absent = std::move(lines.absent);
    out.findings = std::move(lines.findings);
    out.workings = std::move(lines.workings);
}

/// The sections whose formulas may use every value.
void read_sections(Resolved& out, const Reading& reading, const KnownModules& modules) {
    out.pricing = read_pricing(reading);
    out.people = read_people(reading, out.workshop, out.pricing.rate);
    out.tasks = read_tasks(reading, out.pieces, out.people);
    out.site = read_site(reading);
    out.suppliers = read_wishes(reading);
    out.papers = read_papers(reading, out.pricing.terms.deposit_percent);
    out.bought = read_bought(reading);
    out.as_bought = read_as_bought(reading, out.bought);
    out.worked = read_worked(reading, out.people);
    out.owned = read_owned(reading, modules);
}

} // namespace

Resolved resolve(const Project& project, PluginHost& host, const Json& tables,
                 const std::string& effort) {
    FaultList faults(project.file);
    const KnownModules modules = modules_of(host);
    Resolved out;
    Reading reading{project.document, faults};
    keep(out, read_head(reading));
    out.pieces = read_pieces(reading);
    out.services = modules.services();
    reading.currency = out.currency;

    LineReader lines(project, modules, out.pieces, faults);
    reading.names = lines.names();
    lines.open();
    lines.link();
    bool told = false; // modules are told the settings with the first question
    const auto tell = [&] {
        if (!std::exchange(told, true)) keep(out, read_settings(reading, modules));
    };
    lines.settle([&](const std::string& module, std::vector<contract::Line> ready) {
        tell();
        contract::DeriveRequest request;
        request.lines = std::move(ready);
        request.settings = settings_for(out, module, effort);
        request.tables = tables_for(*modules.find_module(module), tables);
        return host.derive(module, request);
    });
    tell();
    read_sections(out, reading, modules);
    out.parameters = lines.parameters();
    Checked checked =
        read_checks(reading, out.length_unit == "in" ? LengthUnit::inch : LengthUnit::mm,
                    [&](const std::string& name) { return lines.why_not_priced(name); });

    faults.find_places(project.text,
                       [&](const std::string& pointer) { return project.origin(pointer); });
    faults.throw_if_any();
    keep(out, lines.take());
    const auto add = [](auto& to, auto&& from) {
        to.insert(to.end(), std::make_move_iterator(from.begin()),
                  std::make_move_iterator(from.end()));
    };
    add(out.findings[""], findings_of(out.pieces));
    add(out.findings[""], std::move(checked.findings));
    add(out.workings, std::move(checked.workings));
    return out;
}

WorkCalendar workshop_calendar(const Json& document) {
    FaultList faults("");
    const Reading reading{document, faults};
    const Json workshop = read_workshop(reading);
    return read_calendar(
        reading, workshop.value("weekdays", Json::array()), number(workshop, "hours_a_day", 8),
        read_holidays(reading, workshop.value("holidays", Json::array())), "/workshop");
}

contract::Settings settings_for(const Resolved& project, const std::string& module,
                                const std::string& effort) {
    contract::Settings settings;
    settings.workshop = project.workshop;
    settings.vehicle = project.vehicle;
    if (const auto own = project.module_settings.find(module); own != project.module_settings.end())
        settings.module = own->second;
    settings.effort = effort;
    settings.length_unit = project.length_unit;
    return settings;
}

Json tables_for(const contract::Description& module, const Json& tables) {
    Json wanted = Json::object();
    for (const std::string& name : module.tables) {
        if (tables.contains(name)) wanted[name] = tables[name];
    }
    return wanted;
}

} // namespace aumbry
