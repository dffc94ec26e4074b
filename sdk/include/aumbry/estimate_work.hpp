// The parts of an estimate that are work and warnings: plans, dates, what is left, what to watch
// out for.
#pragma once

#include "aumbry/contract.hpp"
#include "aumbry/date.hpp"
#include "aumbry/money.hpp"

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
    contract::Phase phase = contract::Phase::assemble; ///< not part of the document
    std::vector<std::string> pieces;
    std::string worker;
    double minutes = 0;
    double wait_minutes = 0;
    std::int64_t people = 1;
    Date start{};
    Date finish{}; ///< waiting included
    Date latest_finish{};
    int slack_days = 0;
    bool critical = false;
    std::string waits_for;
    std::vector<std::string> needs; ///< demands whose goods must be in hand
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

struct EstimateSchedule {
    std::vector<EstimateTask> tasks;
    std::vector<std::string> critical_path;
    std::vector<EstimateHours> hours;
    Date ready{};
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
};

struct EstimateModule {
    std::string id;
    std::string title;
    std::string version;
    std::string contract;
};

} // namespace aumbry
