#include "modules/line_by_line.hpp"

#include "values/excerpt.hpp"

#include <algorithm>
#include <set>
#include <span>

namespace aumbry {
namespace {

/// Enough to find some bad lines among hundreds; a module that fails for most of its lines is given
/// up sooner.
constexpr int max_calls = 200;

/// Halves lines until those that fail by themselves are found.
template <class Reply>
class Search {
  public:
    explicit Search(const AskAbout<Reply>& ask) : ask_(ask) {}

    /// Of lines that fail together, those that fail by themselves, each with its reason.
    std::vector<LineLeftOut> run(std::span<const contract::Line> lines) {
        const std::size_t half = lines.size() / 2;
        for (const auto& part : {lines.first(half), lines.subspan(half)}) {
            if (part.empty() || calls_++ >= max_calls) continue;
            try {
                (void)ask_({part.begin(), part.end()});
            } catch (const ModuleError& error) {
                if (part.size() == 1)
                    guilty_.push_back({part.front().id, error.reason(), false});
                else
                    (void)run(part);
            }
        }
        return guilty_;
    }

  private:
    const AskAbout<Reply>& ask_;
    std::vector<LineLeftOut> guilty_;
    int calls_ = 0;
};

void leave_out(std::vector<contract::Line>& lines, const std::vector<LineLeftOut>& refused) {
    std::set<std::string> out;
    for (const LineLeftOut& each : refused) out.insert(each.line);
    std::erase_if(lines, [&](const contract::Line& line) { return out.contains(line.id); });
}

/// `again`: whether the rest is asked again when the module refuses lines by name.
template <class Reply>
Answered<Reply> answer(std::vector<contract::Line> lines, const AskAbout<Reply>& ask, bool again) {
    Answered<Reply> answered;
    while (!lines.empty()) {
        std::vector<LineLeftOut> refused;
        std::shared_ptr<const Reply> reply;
        try {
            reply = ask(lines);
            for (const contract::RefusedLine& each : reply->refused)
                refused.push_back({each.line,
                                   "refuses the line " + in_quotes(each.line) + ": " + each.text,
                                   true});
        } catch (const ModuleError& error) {
            if (lines.size() > 1) refused = Search<Reply>(ask).run(lines);
            if (refused.empty()) { // none is to blame alone
                for (const contract::Line& line : lines)
                    refused.push_back({line.id, error.reason(), false});
            }
        }
        leave_out(lines, refused);
        answered.left_out.insert(answered.left_out.end(), refused.begin(), refused.end());
        if (reply != nullptr && (refused.empty() || !again)) {
            answered.reply = std::move(reply);
            break;
        }
    }
    return answered;
}

/// "the line 'a' is not priced", "the lines 'a', 'b' and 3 more are not priced".
std::string not_priced_text(const std::vector<std::string>& lines) {
    constexpr std::size_t most = 4;
    if (lines.size() == 1) return "the line " + in_quotes(lines.front()) + " is not priced";
    const std::size_t shown = lines.size() > most ? most - 1 : lines.size();
    std::string list;
    for (std::size_t i = 0; i < shown; ++i)
        list += (i == 0 ? "" : i + 1 == lines.size() ? " and " : ", ") + in_quotes(lines[i]);
    if (shown < lines.size()) list += " and " + std::to_string(lines.size() - shown) + " more";
    return "the lines " + list + " are not priced";
}

} // namespace

Answered<contract::DeriveReply> derive_line_by_line(std::vector<contract::Line> lines,
                                                    const AskAbout<contract::DeriveReply>& ask) {
    return answer(std::move(lines), ask, false);
}

Answered<contract::TakeOffReply>
take_off_line_by_line(std::vector<contract::Line> lines,
                      const AskAbout<contract::TakeOffReply>& ask) {
    return answer(std::move(lines), ask, true);
}

std::vector<AbsentModule> absences(const std::string& module,
                                   const std::vector<LineLeftOut>& left_out) {
    std::vector<AbsentModule> list;
    std::vector<std::vector<std::string>> lines;
    for (const LineLeftOut& each : left_out) {
        const auto same = std::find_if(list.begin(), list.end(), [&](const AbsentModule& absent) {
            return absent.reason == each.reason;
        });
        if (same == list.end()) {
            list.push_back({module, each.reason, each.by_name ? "it is not priced" : ""});
            lines.push_back({each.line});
        } else {
            lines[static_cast<std::size_t>(same - list.begin())].push_back(each.line);
        }
    }
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (list[i].consequence.empty()) list[i].consequence = not_priced_text(lines[i]);
    }
    return list;
}

} // namespace aumbry
