#include "documents/contract_members.hpp"

namespace aumbry::contract {

namespace {

constexpr std::array<string_view, 3> sheet_grain_names{"none", "length", "width"};
constexpr std::array<string_view, 3> part_grain_names{"any", "length", "width"};
constexpr std::array<string_view, 2> cut_direction_names{"length", "width"};
constexpr std::array<string_view, 2> cut_by_names{"workshop", "dealer"};
constexpr std::array<string_view, 3> cut_kind_names{"trim", "rip", "crosscut"};

} // namespace

static std::span<const string_view> names_of(SheetGrain) {
    return sheet_grain_names;
}
static std::span<const string_view> names_of(PartGrain) {
    return part_grain_names;
}
static std::span<const string_view> names_of(CutDirection) {
    return cut_direction_names;
}
static std::span<const string_view> names_of(CutBy) {
    return cut_by_names;
}
static std::span<const string_view> names_of(CutKind) {
    return cut_kind_names;
}

AUMBRY_RECORD(Size, "size") {
    visit.must("length", self.length);
    visit.must("width", self.width);
}
AUMBRY_RECORD(PlanBound, "plan_bound") {
    visit.must("sheets", self.sheets);
    visit.must("lower_bound", self.lower_bound);
    visit.must("proven", self.proven);
    visit.may("method", self.method);
}
AUMBRY_RECORD(PlacedEdges, "placed_edges") {
    visit.may("front", self.front);
    visit.may("back", self.back);
    visit.may("left", self.left);
    visit.may("right", self.right);
}
AUMBRY_RECORD(MatchPlace, "match_place") {
    visit.must("place", self.place);
    visit.must("of", self.of);
}
AUMBRY_RECORD(TaperedTo, "tapered_to") {
    visit.may("length_front", self.length_front);
    visit.may("length_back", self.length_back);
    visit.may("width_left", self.width_left);
    visit.may("width_right", self.width_right);
}
AUMBRY_RECORD(Placement, "placement") {
    visit.must("line", self.line);
    visit.must("x", self.x);
    visit.must("y", self.y);
    visit.must("length", self.length);
    visit.must("width", self.width);
    visit.must("rotated", self.rotated);
    visit.may("blank", self.blank);
    visit.may("finished", self.finished);
    visit.may("grain", self.grain);
    visit.may("faces", self.faces);
    visit.may("section", self.section);
    visit.may("edges", self.edges);
    visit.may("joints", self.joints);
    visit.may("tapered", self.tapered);
    visit.may("match", self.match);
    visit.flag("dealer_edge_will_do", self.dealer_edge_will_do);
}
AUMBRY_RECORD(SheetCut, "sheet_cut") {
    visit.must("blank", self.blank);
    visit.must("direction", self.direction);
    visit.must("position", self.position);
    visit.must("by", self.by);
    visit.may("kind", self.kind);
    visit.may("kerf", self.kerf);
    visit.may("accuracy", self.accuracy);
    visit.may("setting", self.setting);
    visit.may("first", self.first);
    visit.may("second", self.second);
}
AUMBRY_RECORD(Blank, "blank") {
    visit.must("x", self.x);
    visit.must("y", self.y);
    visit.must("length", self.length);
    visit.must("width", self.width);
    visit.may("line", self.line);
    visit.flag("offcut", self.offcut);
}
AUMBRY_RECORD(Offcut, "offcut") {
    visit.must("x", self.x);
    visit.must("y", self.y);
    visit.must("length", self.length);
    visit.must("width", self.width);
    visit.flag("keep", self.keep);
}
AUMBRY_RECORD(SheetPlan, "sheet_plan") {
    visit.must("material", self.material);
    visit.must("supplier", self.supplier);
    visit.must("sku", self.sku);
    visit.must("offer", self.offer);
    visit.must("sheet", self.sheet);
    visit.must("grain", self.grain);
    visit.must("clean_up", self.clean_up);
    visit.must("kerf", self.kerf);
    visit.must("copies", self.copies);
    visit.may("bound", self.bound);
    visit.must("placements", self.placements);
    visit.must("cuts", self.cuts);
    visit.must("blanks", self.blanks);
    visit.must("offcuts", self.offcuts);
    visit.may("demand", self.demand);
}
AUMBRY_RECORD(BoardSize, "board_size") {
    visit.must("length", self.length);
    visit.must("width", self.width);
    visit.must("thickness", self.thickness);
}
AUMBRY_RECORD(BoardPiece, "board_piece") {
    visit.must("line", self.line);
    visit.must("position", self.position);
    visit.must("length", self.length);
}
AUMBRY_RECORD(BoardCut, "board_cut") {
    visit.must("position", self.position);
    visit.must("kerf", self.kerf);
}
AUMBRY_RECORD(BoardPlan, "board_plan") {
    visit.must("material", self.material);
    visit.must("supplier", self.supplier);
    visit.must("sku", self.sku);
    visit.must("offer", self.offer);
    visit.must("board", self.board);
    visit.flag("at_least", self.at_least);
    visit.must("kerf", self.kerf);
    visit.must("end_trim", self.end_trim);
    visit.must("copies", self.copies);
    visit.may("pieces", self.pieces);
    visit.may("offcut", self.offcut);
    visit.flag("keep_offcut", self.keep_offcut);
    visit.may("placements", self.placements);
    visit.may("dealer_cuts", self.dealer_cuts);
    visit.may("demand", self.demand);
}
AUMBRY_RECORD(LiftPoint, "lift_point") {
    visit.must("x", self.x);
    visit.must("y", self.y);
}
AUMBRY_RECORD(LiftPlace, "lift_place") {
    visit.must("along", self.along);
    visit.must("across", self.across);
}
AUMBRY_RECORD(LiftMass, "lift_mass") {
    visit.must("name", self.name);
    visit.must("load", self.load);
    visit.must("mass", self.mass);
    visit.must("along", self.along);
    visit.must("across", self.across);
}
AUMBRY_RECORD(LiftSpring, "lift_spring") {
    visit.must("model", self.model);
    visit.must("count", self.count);
    visit.must("force", self.force);
    visit.must("mounting", self.mounting);
    visit.must("fixed", self.fixed);
    visit.must("moving_along", self.moving_along);
    visit.must("moving_across", self.moving_across);
}
AUMBRY_RECORD(LiftLimits, "lift_limits") {
    visit.must("open", self.open);
    visit.must("close", self.close);
    visit.must("hold_back", self.hold_back);
    visit.must("end_hold", self.end_hold);
}
AUMBRY_RECORD(LiftForces, "lift_forces") {
    visit.must("angle", self.angle);
    visit.must("gravity", self.gravity);
    visit.must("springs", self.springs);
    visit.must("net", self.net);
    visit.must("open", self.open);
    visit.must("close", self.close);
    visit.must("bare_open", self.bare_open);
    visit.must("bare_close", self.bare_close);
    visit.must("most_open", self.most_open);
    visit.must("least_open", self.least_open);
    visit.must("most_close", self.most_close);
    visit.must("least_close", self.least_close);
}
AUMBRY_RECORD(LiftView, "lift_view") {
    visit.must("angle", self.angle);
    visit.must("handle", self.handle);
    visit.must("masses", self.masses);
    visit.must("fixed", self.fixed);
    visit.must("moving", self.moving);
}
AUMBRY_RECORD(LiftPlan, "lift_plan") {
    std::string type = "lift";
    visit.must("type", type);
    visit.must("start", self.start);
    visit.must("end", self.end);
    visit.must("handle", self.handle);
    visit.must("masses", self.masses);
    visit.must("springs", self.springs);
    visit.must("limits", self.limits);
    visit.must("curve", self.curve);
    visit.must("side_view", self.side_view);
    visit.must("line", self.line);
    visit.must("title", self.title);
    visit.must("within_limits", self.within_limits);
    visit.must("why", self.why);
    visit.may("demand", self.demand);
}

#define AUMBRY_PLAN(type)                                                                          \
    void write_form(Json& out, const type& plan) {                                                 \
        document::write_record(out, plan);                                                         \
    }                                                                                              \
    void read_form(const Json& in, type& out, const std::string& pointer,                          \
                   document::ReadFaults& faults) {                                                 \
        document::read_record(in, out, pointer, faults);                                           \
    }                                                                                              \
    Json schema_form(document::SchemaWriter& writer, const type*) {                                \
        return writer.record_schema<type>();                                                       \
    }                                                                                              \
    Json to_json(const type& plan) {                                                               \
        return document::to_json(plan);                                                            \
    }
AUMBRY_PLAN(SheetPlan)
AUMBRY_PLAN(BoardPlan)
AUMBRY_PLAN(LiftPlan)
#undef AUMBRY_PLAN

namespace {

bool says(const Json& plan, const char* key) {
    return plan.find(key) != plan.end();
}

} // namespace

void write_form(Json& out, const Plans& plans) {
    out = Json::array();
    for (const SheetPlan& plan : plans.sheets) write_form(out.emplace_back(), plan);
    for (const BoardPlan& plan : plans.boards) write_form(out.emplace_back(), plan);
    for (const LiftPlan& plan : plans.lifts) write_form(out.emplace_back(), plan);
    for (const Json& plan : plans.others) out.push_back(plan);
}

void read_form(const Json& in, Plans& out, const std::string& pointer,
               document::ReadFaults& faults) {
    if (!faults.expect(in.is_array(), in, pointer, "a list")) return;
    out = {};
    for (std::size_t i = 0; i < in.size(); ++i) {
        const Json& plan = in[i];
        const std::string at = pointer + '/' + std::to_string(i);
        if (!faults.expect(plan.is_object(), plan, at, "an object")) continue;
        if (const auto type = plan.find("type"); type != plan.end()) {
            if (*type == "lift")
                read_form(plan, out.lifts.emplace_back(), at, faults);
            else
                out.others.push_back(plan);
        } else if (says(plan, "sheet") || says(plan, "cuts") || says(plan, "blanks")) {
            read_form(plan, out.sheets.emplace_back(), at, faults);
        } else if (says(plan, "board") || says(plan, "pieces")) {
            read_form(plan, out.boards.emplace_back(), at, faults);
        } else {
            out.others.push_back(plan);
        }
    }
}

Json schema_form(document::SchemaWriter& writer, const Plans*) {
    const auto when = [](Json condition, Json then) {
        return Json{{"if", std::move(condition)}, {"then", std::move(then)}};
    };
    const auto typeless = [](std::initializer_list<const char*> keys) {
        Json one_of = Json::array();
        for (const char* key : keys) one_of.push_back({{"required", Json::array({key})}});
        return Json{{"anyOf", std::move(one_of)}, {"not", {{"required", Json::array({"type"})}}}};
    };
    Json cases = Json::array();
    cases.push_back(when(typeless({"sheet", "cuts", "blanks"}), writer.schema_of<SheetPlan>()));
    cases.push_back(when(typeless({"board", "pieces"}), writer.schema_of<BoardPlan>()));
    cases.push_back(
        when({{"properties", {{"type", {{"const", "lift"}}}}}, {"required", Json::array({"type"})}},
             writer.schema_of<LiftPlan>()));
    return {{"type", "array"}, {"items", {{"type", "object"}, {"allOf", std::move(cases)}}}};
}

Json to_json(const Plans& plans) {
    return document::to_json(plans);
}

Plans read_plans(const Json& in, const std::string& origin) {
    return document::read_document<Plans>(in, origin);
}

} // namespace aumbry::contract
