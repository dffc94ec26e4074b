// The parts of an estimate that are work and warnings: plans, dates, what is left, what to watch
// out for.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"

#include <optional>
#include <string>
#include <vector>

namespace aumbry {

/// How good a cutting plan is.
struct EstimateBound {
    std::string demand;
    std::string module;
    std::string material; ///< role, or the demand's title
    std::int64_t used = 0;
    std::int64_t lower_bound = 0;
    bool proven = false;
    double yield = 0;
    double waste = 0;
};

struct EstimateTask {
    std::string id;
    std::string title;
    contract::Phase phase = contract::Phase::assemble;
    std::vector<std::string> pieces;
    std::string worker;
    double minutes = 0; ///< of each
    double wait_minutes = 0;
    std::int64_t people = 1;
    Date start{};
    int start_minute = 0;   ///< of that day
    Date finish{};          ///< waiting included
    Date latest_finish{};   ///< likewise
    double slack_hours = 0; ///< working hours by which it may begin later
    int slack_days = 0;     ///< whole working days between start and latest start
    bool critical = false;  ///< no slack
    double rack = 0;        ///< m2 on the drying rack until it is dry
    std::string operation;
    std::string waits_for;
    std::vector<std::string> needs; ///< demands whose goods must be in hand
    std::vector<std::string> after; ///< tasks that must be done
    std::vector<std::string> lines; ///< lines worked on
    double worked_minutes = 0;      ///< already, by all together
    bool done = false;              ///< nothing is left of it
    Money cost;
};

struct EstimateHours {
    std::string worker;
    std::string title;
    double hours = 0;
    double charged = 0;
    Decimal rate;
    Money amount;
};

/// Hours of one kind of work, of all people together.
struct EstimateOperation {
    std::string operation; ///< empty: tasks of the project
    double hours = 0;
};

/// A time by which hours were counted: a setting of a module, in minutes.
struct EstimateTime {
    std::string module;
    std::string setting; ///< its key under `settings.<module>`
    std::string title;
    std::string help; ///< of what it is the time, and where the usual figure comes from
    std::string unit; ///< "min" when the setting is written with its unit; empty: a plain number
    double minutes = 0;
    double usual = 0; ///< that of the module
};

struct EstimateSchedule {
    std::vector<EstimateTask> tasks;
    std::vector<std::string> critical_path;
    std::vector<EstimateHours> hours;
    std::vector<EstimateOperation> operations; ///< in the order of the making
    std::vector<EstimateTime> times;           ///< by module
    Date ready{};
    std::optional<Date> wanted_by;
    Date orders_from{};
    /// Last day on which the orders may go out for `ready` to hold.
    std::optional<Date> accept_by;
};

/// What will be left when the job is done and is worth keeping.
struct EstimateLeftover {
    std::string id;
    std::string catalog_class;
    std::string title;
    std::int64_t count = 1;
    Json attributes = Json::object(); ///< of its class, in contract units
    std::string from;                 ///< the offer that it is left of
};

struct EstimateFinding {
    contract::Severity severity = contract::Severity::note;
    std::string code;
    std::string module; ///< empty: the core
    std::string line;
    std::string text;
    std::string step = {}; ///< task at which it matters
    bool client = false;   ///< for the client's page at hand-over too
};

struct EstimateModule {
    std::string id;
    std::string title;
    std::string version;
    std::string contract;
};

} // namespace aumbry
