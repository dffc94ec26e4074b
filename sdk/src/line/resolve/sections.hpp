// The sections of a project's document that need neither modules nor the order of dependence: each
// is read by its field records. Faults go into one list; what is at fault is left out or has its
// default.
#pragma once

#include "line/resolve/known_modules.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/project.hpp"
#include "aumbry/resolved_project.hpp"

#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::resolving {

/// What the reading of a section needs.
struct Reading {
    const Json& document;
    FaultList& faults;
    FieldContext names = {}; ///< of formulas; empty: formulas use no names
    Currency currency = {};  ///< of amounts; without a code none is read

    /// A section that is an object; null when it is absent, and with a fault when it is none.
    [[nodiscard]] const Json* section(const char* key) const;
    /// Runs `read`; a fault without a place goes to `pointer`.
    template <class Read>
    void at(const std::string& pointer, const Read& read) const {
        try {
            read();
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults()) faults.add_at(fault, pointer);
        }
    }
    /// An amount of the project's currency at `pointer`/`key`, zero when it is absent.
    [[nodiscard]] Money money(const Json& values, const char* key,
                              const std::string& pointer) const;
};

/// The members at the top of the document.
struct Head {
    std::string title;
    Currency currency;
    std::string length_unit = "mm";
    Date priced_on{};
    Date start{};
    std::optional<Date> orders_from, wanted_by;
};
[[nodiscard]] Head read_head(const Reading& reading);

[[nodiscard]] std::vector<Piece> read_pieces(const Reading& reading);
/// What the project itself says of its pieces.
[[nodiscard]] std::vector<contract::Finding> findings_of(std::span<const Piece> pieces);
[[nodiscard]] bool has_piece(std::span<const Piece> pieces, const std::string& id);

[[nodiscard]] Json read_workshop(const Reading& reading);

/// What modules are told besides lines.
struct ToldSettings {
    Json workshop = Json::object();
    Json vehicle = Json::object();
    std::map<std::string, Json> by_module;
};
/// Settings of a module that is not loaded stay as they are in the document.
[[nodiscard]] ToldSettings read_settings(const Reading& reading, const KnownModules& modules);

[[nodiscard]] ProjectPricing read_pricing(const Reading& reading);

/// Days not worked: "2027-04-02" or "2027-08-02/2027-08-13".
[[nodiscard]] std::vector<DateRange> read_holidays(const Reading& reading, const Json& holidays);
/// Working days by name with equal hours, less holidays.
[[nodiscard]] WorkCalendar read_calendar(const Reading& reading, const Json& weekdays, double hours,
                                         const std::vector<DateRange>& holidays,
                                         const std::string& pointer);
/// The maker first, who works as the workshop does; `rate` is that of those who state none.
[[nodiscard]] Site read_site(const Reading& reading);
[[nodiscard]] std::vector<Person> read_people(const Reading& reading, const Json& workshop,
                                              const std::optional<Decimal>& rate);
[[nodiscard]] std::vector<ProjectTask>
read_tasks(const Reading& reading, std::span<const Piece> pieces, std::span<const Person> people);

/// Checks that do not hold, and those that cannot be made; a working for each.
struct Checked {
    std::vector<contract::Finding> findings;
    std::vector<contract::Working> workings;
};
/// @param not_priced says why a name has no value, when its line has no price; empty otherwise.
[[nodiscard]] Checked
read_checks(const Reading& reading, LengthUnit shown,
            const std::function<std::string(const std::string& name)>& not_priced);

[[nodiscard]] SupplierWishes read_wishes(const Reading& reading);
[[nodiscard]] Papers read_papers(const Reading& reading,
                                 const std::optional<Decimal>& deposit_percent);

[[nodiscard]] std::vector<Bought> read_bought(const Reading& reading);
[[nodiscard]] std::vector<BoughtPlan> read_as_bought(const Reading& reading,
                                                     std::span<const Bought> bought);
[[nodiscard]] std::vector<Worked> read_worked(const Reading& reading,
                                              std::span<const Person> people);
[[nodiscard]] std::vector<OwnedItem> read_owned(const Reading& reading,
                                                const KnownModules& modules);

} // namespace aumbry::resolving
