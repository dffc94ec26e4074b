// Where a fault of a project stands: a stage names the section, the run the file and the line.
#pragma once

#include "aumbry/fields.hpp"
#include "aumbry/project.hpp"

#include <utility>

namespace aumbry {

/// Faults of a call that know no file are the project's: file, line and column are filled in.
template <class Call>
auto in_project(const Project& project, const Call& call) {
    try {
        return call();
    } catch (const FaultError& error) {
        std::vector<Fault> placed;
        for (const Fault& fault : error.faults()) {
            if (!fault.place.file.empty()) {
                placed.push_back(fault);
                continue;
            }
            FaultList list(project.file);
            list.add_at(fault, fault.place.pointer);
            list.find_places(project.text, [&](const std::string& p) { return project.origin(p); });
            placed.push_back(list.faults().front());
        }
        throw FaultError(std::move(placed));
    }
}

} // namespace aumbry
