#include "modules/check/conversation.hpp"

#include "modules/check/child_process.hpp"
#include "modules/check/sample_lines.hpp"
#include "modules/names_check.hpp"
#include "modules/reply_check.hpp"

#include <algorithm>
#include <cmath>

namespace aumbry {

using contract::Description;
using contract::Line;
using contract::LineKind;

namespace {

void ignore_log(void*, const char*) {}
void ignore_progress(void*, double) {}
int answer_cancelled(void* context) {
    return *static_cast<const int*>(context);
}

contract::DeriveReply read(const Json& in, const std::string& origin,
                           const contract::DeriveRequest&) {
    return contract::read_derive_reply(in, origin);
}
contract::TakeOffReply read(const Json& in, const std::string& origin,
                            const contract::TakeOffRequest&) {
    return contract::read_take_off_reply(in, origin);
}
contract::FollowReply read(const Json& in, const std::string& origin,
                           const contract::FollowRequest&) {
    return contract::read_follow_reply(in, origin);
}

contract::Chosen choose(const Description& module, const contract::Demand& demand) {
    contract::Chosen chosen;
    chosen.module = module.id;
    chosen.demand = demand.id;
    chosen.shares = demand.shares;
    if (!demand.ways.empty()) {
        chosen.way = demand.ways.front().id;
        chosen.uses = demand.ways.front().uses;
        chosen.plans = demand.ways.front().plans;
    } else if (demand.amount && !demand.amount->offers.empty()) {
        const contract::AmountOffer& offer = demand.amount->offers.front();
        const double packs = std::ceil(std::min(demand.amount->quantity / offer.content, 1e6));
        contract::Use use;
        use.offer = offer.offer;
        use.count = static_cast<std::int64_t>(packs);
        use.measure = offer.measure;
        chosen.uses.push_back(use);
        chosen.content = packs * offer.content;
    }
    return chosen;
}

/// The questions about one description, in the order in which the line asks them.
class Conversation {
  public:
    Conversation(const ModuleUnderTest& door, const Json& known_tables,
                 const std::function<void(const Asked&)>& hear)
        : door_(door), module_(describe(door)), hear_(hear), settings_(sample_settings(module_)) {
        for (const std::string& table : module_.tables)
            tables_[table] = known_tables.contains(table) ? known_tables[table] : Json::array();
    }

    void run(Samples samples) {
        for (const LineKind& kind : module_.line_kinds) {
            std::vector<SampleLine> lines = sample_lines(module_, kind);
            if (samples == Samples::usual) lines.resize(1);
            for (SampleLine& sample : lines) {
                derive({&sample.line}, sample.what);
                follow({take_off(kind, {sample.line}, group_name(kind, sample.line), sample.what,
                                 true)},
                       sample.what);
            }
            several(kind, sample_lines(module_, kind).front().line);
        }
    }

  private:
    struct Group {
        std::vector<Line> lines;
        contract::TakeOffReply reply;
    };

    /// Two lines in one group, and as two groups where the kind forms groups.
    void several(const LineKind& kind, const Line& line) {
        Line second = line;
        second.id = "second_line";
        second.title = "Second line";
        Line first = line;
        derive({&first, &second}, "two of " + kind.kind);
        follow({take_off(kind, {first, second}, group_name(kind, first), "two of " + kind.kind,
                         false)},
               "two of " + kind.kind);

        Line other = second;
        if (!belongs_to_another_group(kind, other)) return;
        const std::string what = "two groups of " + kind.kind;
        derive({&other}, what);
        follow({take_off(kind, {first}, group_name(kind, first), what, false),
                take_off(kind, {other}, group_name(kind, other), what, false)},
               what);
    }

    void derive(const std::vector<Line*>& lines, const std::string& what) {
        contract::DeriveRequest request;
        for (const Line* line : lines) request.lines.push_back(*line);
        request.settings = settings_;
        request.tables = tables_;
        for (const auto& derived : ask<contract::DeriveReply>("derive", request, what).lines) {
            for (Line* line : lines) {
                if (line->id == derived.line) line->derived = derived.values;
            }
        }
    }

    Group take_off(const LineKind& kind, const std::vector<Line>& lines, const std::string& name,
                   const std::string& what, bool without_offers) {
        contract::TakeOffRequest request;
        request.kind = kind.kind;
        request.group = name;
        request.lines = lines;
        request.settings = settings_;
        request.tables = tables_;
        // Without any offer first: that is no failure, but a finding.
        if (without_offers)
            (void)ask<contract::TakeOffReply>("take_off", request, what + " without offers");
        request.offers = sample_offers(module_, kind, lines.front());
        contract::CuttingService cutting;
        cutting.supplier = "first_shop";
        cutting.offered = true;
        cutting.price_per_cut = "0.8";
        cutting.free_cuts = 2;
        cutting.kerf = 3.2;
        cutting.least_strip = 50;
        cutting.accuracy = 1;
        request.cutting = {cutting};
        return {lines, ask<contract::TakeOffReply>("take_off", request, what)};
    }

    void follow(const std::vector<Group>& groups, const std::string& what) {
        std::vector<GroupReply> replies;
        for (const Group& group : groups) replies.push_back({&group.reply, {}});
        const ModuleNames names = check_groups(replies);
        for (const GroupReply& reply : replies) {
            if (!reply.refused.empty()) throw Failed(what + ": it " + reply.refused);
        }
        contract::FollowRequest request;
        for (const Group& group : groups) {
            request.lines.insert(request.lines.end(), group.lines.begin(), group.lines.end());
            for (const contract::Demand& demand : group.reply.demands)
                request.chosen.push_back(choose(module_, demand));
            if (group.reply.quantities.empty()) continue;
            auto& rows = request.quantities[module_.id];
            rows.insert(rows.end(), group.reply.quantities.begin(), group.reply.quantities.end());
        }
        request.settings = settings_;
        request.tables = tables_;
        const auto reply = ask<contract::FollowReply>("follow", request, what);
        if (const std::string fault = fault_beside(names, reply); !fault.empty())
            throw Failed(what + ": it " + fault);
    }

    /// A reply read and checked as the host does; empty when the module does not have the method.
    template <class Answer, class Request>
    Answer ask(const char* method, const Request& request, const std::string& what) {
        Asked asked{method, what, contract::to_json(request).dump(), {}};
        say_doing(asked.name());
        asked.reply = door_.call(method, asked.request);
        if (hear_) hear_(asked);
        if (asked.reply.status == AUMBRY_UNKNOWN) return {};
        if (asked.reply.status != AUMBRY_OK)
            throw Failed(what + ": " + method + " answers " + status_name(asked.reply.status) +
                         ": " + asked.reply.text);
        const std::string origin = std::string("reply to ") + method;
        try {
            Answer answer = read(parse_json(asked.reply.text, origin), origin, request);
            check_reply(module_, request, answer);
            return answer;
        } catch (const ModuleError& error) {
            throw Failed(what + ": it " + error.reason());
        } catch (const std::exception& error) {
            throw Failed(what + ": " + error.what());
        }
    }

    const ModuleUnderTest& door_;
    const Description module_;
    const std::function<void(const Asked&)>& hear_;
    contract::Settings settings_;
    Json tables_ = Json::object();
};

} // namespace

std::string status_name(aumbry_status status) {
    switch (status) {
    case AUMBRY_OK:
        return "success";
    case AUMBRY_FAULT:
        return "a fault";
    case AUMBRY_CANCELLED:
        return "a cancelled call";
    case AUMBRY_UNKNOWN:
        return "an unknown method";
    default:
        return "the unknown status " + std::to_string(status);
    }
}

ModuleUnderTest::ModuleUnderTest(const std::filesystem::path& file)
    : opened_(open_module_file(file)) {
    if (opened_.state != ModuleFileState::usable) throw Failed(opened_.reason);
    start();
}

ModuleUnderTest::ModuleUnderTest(const aumbry_module_functions* functions) {
    opened_.functions = functions;
    start();
}

ModuleUnderTest::~ModuleUnderTest() {
    end_instance(*opened_.functions, instance_);
}

void ModuleUnderTest::start() {
    host_ = {sizeof(aumbry_host), &cancelled_, ignore_log, ignore_progress, answer_cancelled};
    std::string reason;
    instance_ = make_instance(*opened_.functions, &host_, reason);
    if (instance_ == nullptr) throw Failed(reason);
}

aumbry_status ModuleUnderTest::hold(const char* method, const std::string& request,
                                    aumbry_text& text) const {
    text = {nullptr, 0};
    try {
        return opened_.functions->call(instance_, method, request.data(), request.size(), &text);
    } catch (const std::exception& error) {
        throw Failed(std::string("an exception came through the C door in ") + method + ": " +
                     error.what());
    } catch (...) {
        throw Failed(std::string("an unknown exception came through the C door in ") + method);
    }
}

void ModuleUnderTest::release(aumbry_text text) const {
    if (text.data != nullptr) opened_.functions->release(instance_, text);
}

Reply ModuleUnderTest::call(const std::string& method, const std::string& request) const {
    aumbry_text text{};
    Reply reply;
    reply.status = hold(method.c_str(), request, text);
    if (text.data != nullptr)
        reply.text.assign(text.data, text.size);
    else if (reply.status == AUMBRY_OK)
        throw Failed(method + " succeeded without a reply");
    release(text);
    return reply;
}

Description describe(const ModuleUnderTest& module) {
    say_doing("describe");
    const Reply reply = module.call("describe", "{}");
    if (reply.status != AUMBRY_OK)
        throw Failed("describe answers " + status_name(reply.status) + ": " + reply.text);
    return contract::read_description(parse_json(reply.text, "description"), "description");
}

void ask_everything(const ModuleUnderTest& module, const Json& known_tables, Samples samples,
                    const std::function<void(const Asked&)>& hear) {
    Conversation(module, known_tables, hear).run(samples);
}

std::vector<Asked> everything_asked(const ModuleUnderTest& module, const Json& known_tables,
                                    Samples samples) {
    std::vector<Asked> list;
    ask_everything(module, known_tables, samples,
                   [&](const Asked& asked) { list.push_back(asked); });
    return list;
}

} // namespace aumbry
