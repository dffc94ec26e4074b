// Remark: what an engine has to say to the maker besides figures; the module turns it into a
// finding of a line.
#pragma once

#include <string>

namespace aumbry::hardware_kits {

enum class Severity { note, caution, problem };

struct Remark {
    Severity severity = Severity::note;
    std::string code;     ///< stable, kebab-case
    std::string sentence; ///< says what to do

    bool operator==(const Remark&) const = default;
};

} // namespace aumbry::hardware_kits
