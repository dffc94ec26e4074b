#include "aumbry/times_file.hpp"

#include "aumbry/fields.hpp"
#include "aumbry/rounding.hpp"

#include <filesystem>

namespace aumbry {

namespace fs = std::filesystem;

Project with_times(Project project) {
    const auto named = project.document.find("times");
    if (named == project.document.end()) return project;
    if (!named->is_string()) {
        FaultList faults(project.file);
        faults.add("wrong-type", "/times", "found " + in_words(*named),
                   "write the name of a times file in quotes");
        faults.find_places(project.text);
        faults.throw_if_any();
    }
    const fs::path name = named->get<std::string>();
    const fs::path file = name.is_absolute() ? name : fs::path(project.file).parent_path() / name;
    const std::string written = read_file(file);
    const Json times = parse_json(written, file.string());
    const auto version = times.is_object() ? times.find("aumbry_times") : times.end();
    if (!times.is_object() || version == times.end() || !version->is_number_integer())
        fail("no-times", {file.string(), "", 0, 0},
             "this is no file of times: it does not say \"aumbry_times\"",
             "name one that aumbry plan --times wrote");
    if (version->get<std::int64_t>() != times_version)
        fail("newer-version", {file.string(), "/aumbry_times", 0, 0},
             "the times file is of version " + version->dump() + ", this program reads version " +
                 std::to_string(times_version),
             "update Aumbry");
    // The modules that read the times are known to `resolve` alone.
    *named = {{"file", file.string()}, {"text", written}};
    return project;
}

std::string times_document(const std::vector<EstimateTime>& times) {
    Json document = {{"aumbry_times", times_version},
                     {"note", "Minutes of each operation. Leave out what is as usual."}};
    for (const EstimateTime& time : times) {
        Json& value = document[time.module][time.setting];
        if (time.unit.empty())
            value = time.minutes;
        else
            value = format_trimmed(time.minutes, 4) + ' ' + time.unit;
    }
    return pretty(document);
}

} // namespace aumbry
