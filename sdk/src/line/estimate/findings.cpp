#include "line/estimate/findings.hpp"

#include <algorithm>
#include <set>
#include <tuple>

namespace aumbry {
namespace {

class Gathering {
  public:
    void add(const std::string& module, const std::vector<contract::Finding>& findings) {
        for (const contract::Finding& finding : findings)
            out_.push_back({finding.severity, finding.code, module, finding.line, finding.text,
                            module.empty() || finding.step.empty() ? finding.step
                                                                   : module + '/' + finding.step,
                            finding.client});
    }
    void add(const std::map<std::string, std::vector<contract::Finding>>& by_module) {
        for (const auto& [module, findings] : by_module) add(module, findings);
    }
    void add(contract::Severity severity, const char* code, std::string text) {
        out_.push_back({severity, code, "", "", std::move(text), ""});
    }

    /// The gravest first, each once: what is said at several steps stands at the first that begins.
    std::vector<EstimateFinding> take(const std::map<std::string, Moment>& begins) {
        std::stable_sort(out_.begin(), out_.end(),
                         [](const EstimateFinding& a, const EstimateFinding& b) {
                             return a.severity > b.severity;
                         });
        const auto begin = [&](const EstimateFinding& each) {
            const auto found = begins.find(each.step);
            return found == begins.end() ? Moment{Date::max(), 0} : found->second;
        };
        std::map<std::tuple<std::string, std::string, std::string>, std::size_t> said;
        std::vector<EstimateFinding> once;
        for (EstimateFinding& each : out_) {
            const auto [at, first] =
                said.emplace(std::tuple(each.code, each.line, each.text), once.size());
            if (first)
                once.push_back(std::move(each));
            else if (begin(each) < begin(once[at->second]))
                once[at->second].step = each.step;
        }
        return once;
    }

  private:
    std::vector<EstimateFinding> out_;
};

} // namespace

std::vector<EstimateFinding> findings_of(const Resolved& project, const TakenOff& taken,
                                         const Procurement& bought, const Followed& followed,
                                         const WorkPlan& work,
                                         const std::vector<std::string>& refused) {
    Gathering all;
    all.add("", taken.of_bought);
    all.add("", work.findings);
    all.add(project.findings);
    all.add(taken.findings);
    all.add(followed.findings);
    all.add("", bought.findings);
    all.add("", work.schedule.findings);
    std::set<std::string> named;
    for (const auto* list : {&project.absent, &taken.failed, &followed.failed}) {
        for (const AbsentModule& absent : *list) {
            if (named.insert(absent.module + absent.reason + absent.consequence).second)
                all.add(contract::Severity::problem, "module-absent",
                        "Module '" + absent.module + "' " + absent.reason + "; " +
                            absent.consequence + ".");
        }
    }
    for (const std::string& sentence : refused)
        all.add(contract::Severity::caution, "module-refused", sentence);
    std::map<std::string, Moment> begins;
    for (std::size_t i = 0; i < work.steps.size(); ++i)
        begins[work.steps[i].id] = work.schedule.tasks[i].start;
    return all.take(begins);
}

std::vector<std::string> not_included(const std::vector<EstimateLine>& lines,
                                      const Procurement& bought, const TakenOff& taken,
                                      const PricingTerms& terms, bool labour_stated) {
    std::vector<std::string> left_out;
    for (const EstimateLine& line : lines) {
        if (!line.not_priced.empty())
            left_out.push_back(line.title + " (" + line.id + "): " + line.not_priced);
    }
    for (const Unmet& unmet : bought.unmet) {
        const contract::Demand& demand =
            *std::find_if(taken.demands.begin(), taken.demands.end(),
                          [&](const contract::Demand& each) { return each.id == unmet.demand; });
        left_out.push_back((demand.title.empty() ? demand.id : demand.title) + ": " + unmet.reason);
    }
    if (!labour_stated)
        left_out.emplace_back("labour: no rate of work is stated under \"pricing\" or \"people\"");
    if (terms.tax_paid_recoverable && terms.tax_charged_percent.is_zero())
        left_out.emplace_back("tax: what is paid is claimed back, and none is charged");
    return left_out;
}

} // namespace aumbry
