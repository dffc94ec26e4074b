#include "views/text_page.hpp"
#include "views/text_views.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>
#include <set>

namespace aumbry::views {
namespace {

class Explainer {
  public:
    Explainer(const Estimate& estimate, Page& page, std::size_t levels)
        : estimate_(estimate), page_(page), levels_(levels) {}

    void explain(const contract::Working& working, std::size_t level = 0) {
        const std::string indent(level * 4, ' ');
        page_.wrapped(indent, (level == 0 ? page_.strong(working.ref) : working.ref) + " = " +
                                  working.result +
                                  (working.title.empty() || working.title == working.ref
                                       ? ""
                                       : "   (" + working.title + ")"));
        if (!working.formula.empty()) page_.wrapped(indent + "  ", "= " + working.formula);
        if (!working.source.empty()) page_.wrapped(indent + "  ", "source: " + working.source);
        shown_.insert(working.ref);
        for (const contract::Input& input : working.inputs) {
            const auto next = estimate_.workings.find(input.source);
            const bool follows = next != estimate_.workings.end();
            std::string text = input.name + ": " + input.value;
            if (!follows && !input.source.empty() && input.source != input.name)
                text += "   [" + input.source + "]";
            if (follows && shown_.contains(next->first))
                text += "   [" + next->first + ", above]";
            else if (follows && level + 1 >= levels_)
                text += "   [explain " + next->first + "]";
            page_.wrapped(indent + "  - ", text);
            if (follows && !shown_.contains(next->first) && level + 1 < levels_)
                explain(next->second, level + 1);
        }
    }

  private:
    const Estimate& estimate_;
    Page& page_;
    std::size_t levels_;
    std::set<std::string> shown_;
};

} // namespace

const contract::Working* working_of(const Estimate& estimate, const std::string& reference) {
    for (const char* prefix :
         {"", "totals.", "line.", "piece.", "module.", "buy.", "order.", "task.", "demand."}) {
        const auto found = estimate.workings.find(prefix + reference);
        if (found != estimate.workings.end()) return &found->second;
    }
    return nullptr;
}

std::string explanation(const Estimate& estimate, const std::string& reference, bool colour,
                        std::size_t levels) {
    const contract::Working* working = working_of(estimate, reference);
    if (working == nullptr) {
        std::vector<std::string> names;
        for (const auto& [ref, known] : estimate.workings) names.push_back(ref);
        const std::string near = nearest_name(reference, names);
        std::string begin_alike;
        for (const std::string& name : names) {
            if (name.starts_with(reference) && begin_alike.size() < 300)
                begin_alike += (begin_alike.empty() ? "" : ", ") + name;
        }
        fail("unknown-reference", {}, "there is no figure called '" + reference + "'",
             !near.empty()          ? "did you mean '" + near + "'?"
             : !begin_alike.empty() ? "these begin alike: " + begin_alike
                                    : "try total, totals.goods, line.ID, piece.ID, "
                                      "buy.SUPPLIER/SKU, order.SUPPLIER, task.ID, or LINE.VALUE");
    }
    Page page(colour);
    Explainer(estimate, page, levels).explain(*working);
    return page.str();
}

} // namespace aumbry::views
