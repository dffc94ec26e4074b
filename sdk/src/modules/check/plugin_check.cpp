#include "aumbry/plugin_check.hpp"

#include "modules/check/checks.hpp"
#include "modules/check/child_process.hpp"
#include "values/excerpt.hpp"

#include <algorithm>
#include <cstring>

namespace aumbry {
namespace {

std::string outcome_name(CheckOutcome outcome) {
    switch (outcome) {
    case CheckOutcome::passed:
        return "passed";
    case CheckOutcome::failed:
        return "failed";
    case CheckOutcome::skipped:
        return "skipped";
    }
    return {};
}

std::string first_line(const std::string& text) {
    return text.substr(0, std::min<std::size_t>(text.find('\n'), 100));
}

CheckResult run(const Check& check, const CheckInput& input, int seconds) {
    CheckResult result{check.name, check.purpose, CheckOutcome::passed, {}};
    const ChildOutcome outcome = run_in_child([&] { return check.run(input); }, seconds);
    const std::string during = outcome.doing.empty() ? "" : ", in " + outcome.doing;
    switch (outcome.end) {
    case ChildOutcome::End::out_of_time:
        result.detail = "did not finish within " + std::to_string(seconds) + " s" + during;
        break;
    case ChildOutcome::End::died:
        result.detail = (outcome.signal == 0 ? "the module ended the process"
                                             : std::string("the process was ended by a signal: ") +
                                                   strsignal(outcome.signal)) +
                        during;
        break;
    case ChildOutcome::End::returned:
        result.detail = printable(outcome.said);
        if (result.detail.empty() && std::string(check.name) == "prints-nothing" &&
            !outcome.printed.empty()) {
            result.detail = "it wrote: " + printable(first_line(outcome.printed));
        }
        break;
    }
    if (!result.detail.empty()) result.outcome = CheckOutcome::failed;
    return result;
}

} // namespace

std::vector<CheckResult> check_plugin(const std::filesystem::path& file,
                                      const CheckOptions& options) {
    if (!std::filesystem::is_regular_file(file))
        fail("missing-file", {file.string(), "", 0, 0}, "there is no such file",
             "name a shared object");
    const CheckInput input{std::filesystem::absolute(file), options.tables};
    std::vector<CheckResult> results;
    bool usable = true;
    bool sound = true;
    for (const Check& check : all_checks()) {
        if (check.needs != Needs::nothing && !usable) {
            results.push_back(
                {check.name, check.purpose, CheckOutcome::skipped, "the module cannot be used"});
            continue;
        }
        if (check.needs == Needs::sound_answers && !sound) {
            results.push_back({check.name, check.purpose, CheckOutcome::skipped,
                               "what answers-soundly found would be found again"});
            continue;
        }
        results.push_back(run(check, input, options.seconds));
        if (results.back().outcome != CheckOutcome::failed) continue;
        const std::string name = check.name;
        if (check.needs == Needs::nothing || name == "makes-instances" ||
            name == "describes-itself")
            usable = false;
        if (name == "answers-soundly") sound = false;
    }
    return results;
}

bool all_passed(std::span<const CheckResult> results) {
    return std::all_of(results.begin(), results.end(), [](const CheckResult& each) {
        return each.outcome == CheckOutcome::passed;
    });
}

std::string check_text(const std::string& file, std::span<const CheckResult> results) {
    std::string text = file + '\n';
    std::size_t passed = 0;
    for (const CheckResult& each : results) {
        const bool failed = each.outcome == CheckOutcome::failed;
        std::string outcome = failed ? "FAILED" : outcome_name(each.outcome);
        outcome.resize(9, ' ');
        text += "  " + outcome + each.name + '\n';
        if (failed) text += "           " + each.purpose + "\n           " + each.detail + '\n';
        if (each.outcome == CheckOutcome::passed) ++passed;
    }
    return text + std::to_string(passed) + " of " + std::to_string(results.size()) +
           " checks passed\n";
}

Json check_json(const std::string& file, std::span<const CheckResult> results) {
    Json list = Json::array();
    for (const CheckResult& each : results) {
        Json item = {{"name", each.name},
                     {"purpose", each.purpose},
                     {"outcome", outcome_name(each.outcome)}};
        if (!each.detail.empty()) item["detail"] = each.detail;
        list.push_back(std::move(item));
    }
    return {{"file", file}, {"passed", all_passed(results)}, {"checks", list}};
}

} // namespace aumbry
