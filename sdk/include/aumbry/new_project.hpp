// A project from a few answers, and the maker's own answers kept for the next one.
#pragma once

#include "aumbry/json.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace aumbry {

class Catalog;

/// The answers, as a person writes them; an empty one leaves its key out.
struct NewProject {
    std::string title;
    std::string currency;    ///< "EUR"
    std::string length_unit; ///< "mm" or "in"
    std::string rate;        ///< of an hour's work: "46.00"
    std::string helper;      ///< of an hour of a second pair of hands; empty: nobody helps
    std::string tax;         ///< per cent that the client is charged: "21"
    std::string kerf;        ///< "2.4 mm"
    std::string vehicle;     ///< "1900 mm x 1050 mm"
    std::string wall;        ///< a choice of the field `wall` of a workshop
    std::string times;       ///< file of the maker's own times of operations
    std::string priced_on;   ///< "2027-02-10"
    std::string start;
    std::vector<std::string> exclude; ///< suppliers that sell in another currency
};

/// Fills what is not answered with what a maker answered before and keeps from job to job.
void take_kept(NewProject& answers, const NewProject& kept);

/// Fills what is not answered with what is usual: EUR and mm, or USD and inches; a helper at the
/// maker's rate; a saw cut of 3.2 mm or 1/8 in; work that begins two weeks after `priced_on`.
/// @throws FaultError "bad-date".
void use_usual(NewProject& answers);

/// Suppliers who sell in another currency, by id: they would be left out with a caution each time.
[[nodiscard]] std::vector<std::string> sellers_in_other_currency(const Catalog& catalog,
                                                                 const std::string& code);

/// The text of the project, with empty sections in their usual order.
/// @throws FaultError with every answer that cannot be, its place named as `pointer`.
[[nodiscard]] std::string new_project(const NewProject& answers);

/// What a maker answers each time.
struct Maker {
    NewProject answers; ///< those that do not change from job to job
    std::vector<std::string> catalogs;
};

/// `maker.json` in the user's folder for settings; empty without a home.
[[nodiscard]] std::filesystem::path maker_file();

/// The answers kept; none when there is no such file.
/// @throws FaultError "bad-json", "wrong-type", "unknown-key": a file that somebody edited.
[[nodiscard]] Maker read_maker(const std::filesystem::path& file);

/// Keeps the answers. Makes the folder when it is not there.
/// @throws FaultError "unwritable-folder", "write-failed".
void keep_maker(const std::filesystem::path& file, const Maker& maker);

} // namespace aumbry
