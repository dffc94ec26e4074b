// Coats, drying and racks: how the work of a finish falls into days.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace aumbry::finish {

/// What the plan of a coat needs to know.
struct CoatTimes {
    std::string name;                   ///< of the coat, for the step
    double work_minutes_per_m2 = 6;     ///< applying it, one hand; common practice for a brush
    double abrasive_minutes_per_m2 = 0; ///< rubbing down before it
    double recoat_hours = 4;            ///< until the next coat, or until the part can be turned
};

struct DryingOrder {
    std::vector<CoatTimes> coats;
    double area = 0; ///< m2 to be coated, all sides
    int sides = 1;   ///< 2 when parts cannot stand and dry on one side at a time
    double rack = 0; ///< m2 of coated area that can lie drying at once; 0: all of it
    double hours_a_day = 8;
    double cure_hours = 24;  ///< after the last coat until light use: before the mattress may go in
    double temperature = 20; ///< degrees C in the workshop
};

/// One round: one coat on one side of what the racks hold.
struct Round {
    std::size_t coat = 0;
    int side = 0;           ///< 0 or 1
    std::int64_t batch = 0; ///< what the rack takes at once
    std::int64_t day = 0;   ///< working day it starts on, from 0
    double start = 0;       ///< hours after the day's beginning
    double work_hours = 0;
    double area = 0; ///< m2 that lie drying
};

struct DryingPlan {
    std::vector<Round> rounds; ///< in order
    std::int64_t batches = 1;
    double work_hours = 0; ///< hands-on
    std::int64_t days =
        0; ///< working days from the first round to the end of the last, both counted
    std::int64_t max_rounds_a_day = 0; ///< how many coats a working day takes
    double cure_hours = 0;             ///< last step: wait, hours round the clock
};

/// Plans the rounds one after the other: a batch, as much as the rack takes, gets all its rounds
/// before the next goes on. A round is started only on a day on which it can be finished, unless it
/// is longer than a day. Drying goes on over night. Fails for no coats, a negative area, time or
/// rack, sides other than 1 or 2, no working hours.
[[nodiscard]] DryingPlan plan_drying(const DryingOrder& order);

/// How many times as long as at 20 degrees C and 50 per cent of relative humidity, for which data
/// sheets state times, a coat takes to dry: twice at 10 degrees C, twice at 80 per cent, and so on
/// in proportion. Warm and dry air is not counted on. Common practice; a product's own data come
/// first.
[[nodiscard]] double drying_factor(double celsius, double humidity);

/// What a product's data sheet says: how long a coat dries at a temperature and humidity.
struct DryingPoint {
    double celsius = 20;
    double humidity = 50; ///< per cent
    double minutes = 0;
};

/// Reads "10 degC 50 %: 8 h"; the humidity may be left out. Nothing when it is none such.
[[nodiscard]] std::optional<DryingPoint> drying_point(std::string_view written);

/// How long a coat dries by its product's data: in proportion between the points nearest in
/// humidity, then in temperature; beyond them as much longer than at the nearest as
/// `drying_factor` says. Needs a point.
[[nodiscard]] double drying_minutes(const std::vector<DryingPoint>& points, double celsius,
                                    double humidity);

/// A sentence when the stated times do not hold in the workshop's temperature; empty between 15 and
/// 25 C. Common practice: times are stated for 20 C.
[[nodiscard]] std::string temperature_note(double celsius);

} // namespace aumbry::finish
