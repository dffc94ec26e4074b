// What names come to: formulas evaluated, modules asked, replies taken over.
#include "line/resolve/lines.hpp"

#include "modules/line_by_line.hpp"
#include "values/excerpt.hpp"

#include "aumbry/quantity.hpp"
#include "aumbry/rounding.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace aumbry::resolving {

using contract::Field;
using contract::FieldType;

namespace {

bool is_numeric(const Field& field) {
    return field.type == FieldType::quantity || field.type == FieldType::number ||
           field.type == FieldType::count;
}

/// Whether a plain quantity is written in inches or feet in a job in millimetres, or the other way
/// round.
bool is_of_other_system(const std::string& text, bool inches) {
    const std::string last = text.substr(text.find_last_of(" 0123456789") + 1);
    if (inches) return last == "mm" || last == "cm" || last == "m";
    return last == "in" || last == "ft" || last == "\"" || last == "'";
}

} // namespace

Quantity module_quantity(const std::string& module, const std::string& name, const Json& value,
                         const std::string& unit) {
    if (!value.is_number())
        throw ModuleError(module, "gives " + in_quotes(name) + " as " + in_words(value) +
                                      " where a number is expected");
    try {
        return unit.empty() ? Quantity(value.get<double>()) : from_unit(value.get<double>(), unit);
    } catch (const FaultError&) {
        throw ModuleError(module, "gives " + in_quotes(name) + " in the unit " + in_quotes(unit) +
                                      ", which is none of the contract's");
    }
}

std::vector<std::pair<std::string, Quantity>>
derived_quantities(const std::string& module, const contract::LineKind& kind,
                   const contract::DerivedLine& derived) {
    std::vector<std::pair<std::string, Quantity>> quantities;
    for (const contract::DerivedValue& value : kind.derived) {
        const auto found = derived.values.find(value.name);
        if (found != derived.values.end())
            quantities.emplace_back(derived.line + '.' + value.name,
                                    module_quantity(module, value.name, *found, value.unit));
    }
    return quantities;
}

Quantity LineReader::value_of(const std::string& name) {
    if (const auto found = values_.find(name); found != values_.end()) return found->second;
    const NameAnswer answer = find_name(name);
    if (!answer.node) fail("unknown-name", {}, answer.wrong, answer.right);
    const GraphNode& node = graph_[*answer.node];
    const std::string wrong = "the name " + in_quotes(name) + " has no value";
    if (node.state == NodeState::not_priced) fail("unknown-name", {}, wrong + ": " + node.reason);
    if (node.state == NodeState::known) fail("unknown-name", {}, wrong);
    if (node.state == NodeState::waiting && !settled_)
        fail("settings-too-early", {},
             wrong + " yet: it rests on what modules derive from lines, and they are told this "
                     "before they derive anything",
             "write a value, or a formula over names that rest on no derived value");
    fail("unknown-name", {}, wrong, "mend the fault of that name first");
}

FieldContext LineReader::names() {
    return {[this](std::string_view name) { return value_of(std::string(name)); },
            [this](const Field& field, const std::string& entry) { return expand(field, entry); }};
}

std::string LineReader::why_not_priced(const std::string& name) {
    if (values_.contains(name)) return {};
    const NameAnswer answer = find_name(name);
    return answer.node && graph_[*answer.node].state == NodeState::not_priced
               ? graph_[*answer.node].reason
               : std::string();
}

std::map<std::string, Quantity> LineReader::parameters() const {
    std::map<std::string, Quantity> found;
    for (NodeId id = 0; id < graph_.size(); ++id) {
        if (sources_[id].kind != Source::Kind::parameter) continue;
        const auto value = values_.find(graph_[id].name);
        if (value != values_.end()) found.emplace(value->first, value->second);
    }
    return found;
}

void LineReader::settle(const Derive& derive) {
    graph_.settle({[this](NodeId id) { evaluate(id); },
                   [&](const std::vector<NodeId>& ready) { derive_lines(ready, derive); }});
    settled_ = true;
    report_loops();
}

void LineReader::evaluate(NodeId id) {
    const Source& source = sources_[id];
    const std::size_t before = faults_.size();
    if (source.kind == Source::Kind::parameter) {
        try {
            values_[graph_[id].name] =
                source.raw->is_number() ? Quantity(source.raw->get<double>())
                                        : Formula::parse(source.raw->get_ref<const std::string&>())
                                              .evaluate(names().lookup);
        } catch (const FaultError& error) {
            for (const Fault& fault : error.faults()) faults_.add_at(fault, source.pointer);
        }
    } else if (auto value =
                   read_value(*source.field, *source.raw, source.pointer, names(), faults_)) {
        store(source, std::move(*value));
    }
    if (faults_.size() != before) return graph_.set_faulty(id);
    graph_.set_known(id);
    explain(id);
    if (source.kind == Source::Kind::parameter) warn_of_unit(id);
}

/// A parameter in the other system of units makes sizes that no rule of this job shows: 1/4 in
/// among millimetres gives 2011.35.
void LineReader::warn_of_unit(NodeId id) {
    const Source& source = sources_[id];
    const Quantity& value = values_.at(graph_[id].name);
    if (!source.raw->is_string() || value.dimension != dimension::length) return;
    const std::string& text = source.raw->get_ref<const std::string&>();
    const Json* unit = find_at(project_.document, "/length_unit");
    const bool inches = unit != nullptr && *unit == "in";
    const double steps = inches ? value.value / 25.4 * 32 : value.value;
    if (!is_of_other_system(text, inches) || std::abs(steps - round_to(steps, 0)) < 1e-6) return;
    const LengthUnit here = inches ? LengthUnit::inch : LengthUnit::mm;
    out_.findings[""].push_back(
        {contract::Severity::caution, "parameter-in-other-unit", "",
         "The parameter '" + graph_[id].name + "' is written '" + text + "' in a job in " +
             (inches ? "inches: sizes that rest on it are no whole 1/32 in. Write it in inches, as "
                     : "millimetres: sizes that rest on it are no whole millimetres. Write it in "
                       "mm, as ") +
             format_length(Length::mm(inches ? value.value : round_to(value.value, 0)), here) +
             ", unless it must be so."});
}

void LineReader::store(const Source& source, Json value) {
    const Field& field = *source.field;
    const bool attribute = source.kind == Source::Kind::attribute;
    const std::string& owner =
        attribute ? materials_[source.owner].material.id : out_.lines[source.owner].line.id;
    if (value.is_number() && is_numeric(field))
        values_[owner + '.' + field.name] = field.unit.empty()
                                                ? Quantity(value.get<double>())
                                                : from_unit(value.get<double>(), field.unit);
    if (attribute)
        materials_[source.owner].material.attributes[field.name] = std::move(value);
    else if (field.name == "count")
        out_.lines[source.owner].line.count = value.get<std::int64_t>();
    else
        out_.lines[source.owner].line.fields[field.name] = std::move(value);
}

/// A working for every value that a formula gave.
void LineReader::explain(NodeId id) {
    const Source& source = sources_[id];
    const std::string& name = graph_[id].name;
    const bool parameter = source.kind == Source::Kind::parameter;
    if (!source.raw->is_string() || (!parameter && !is_numeric(*source.field))) return;
    const Json* unit = find_at(project_.document, "/length_unit");
    const LengthUnit written = unit != nullptr && *unit == "in" ? LengthUnit::inch : LengthUnit::mm;
    const Formula formula = Formula::parse(source.raw->get_ref<const std::string&>());
    contract::Working working;
    working.ref = name;
    working.title = parameter ? "parameter " + name : source.field->title;
    working.formula = formula.text();
    for (const std::string& used : formula.names())
        working.inputs.push_back({used, format_quantity(values_.at(used), written), used});
    working.result = format_quantity(values_.at(name), written);
    working.source = "project, " + project_.origin(source.pointer);
    out_.workings.push_back(std::move(working));
}

// ---------------------------------------------------------------- modules

void LineReader::derive_lines(const std::vector<NodeId>& ready, const Derive& derive) {
    std::map<std::string, std::vector<NodeId>> by_module;
    for (const NodeId node : ready)
        by_module[out_.lines[sources_[node].owner].module].push_back(node);
    for (const auto& [module, nodes] : by_module) {
        std::vector<contract::Line> lines;
        for (const NodeId node : nodes) {
            complete(sources_[node].owner);
            lines.push_back(out_.lines[sources_[node].owner].line);
        }
        const auto answered =
            derive_line_by_line(std::move(lines), [&](const std::vector<contract::Line>& part) {
                return derive(module, part);
            });
        try {
            if (answered.reply != nullptr) take_derived(module, *answered.reply);
            for (const NodeId node : nodes) graph_.set_known(node);
        } catch (const ModuleError& error) {
            module_failed(module, error.reason(), nodes);
        }
        for (const LineLeftOut& each : answered.left_out)
            graph_.set_not_priced(entries_[line_index_.at(each.line)].node,
                                  "module '" + module + "' " + each.reason);
        for (AbsentModule& absent : absences(module, answered.left_out))
            out_.absent.push_back(std::move(absent));
    }
}

void LineReader::module_failed(const std::string& module, const std::string& reason,
                               std::span<const NodeId> lines) {
    out_.absent.push_back({module, reason});
    for (const NodeId node : lines)
        graph_.set_not_priced(node, "module '" + module + "' " + reason);
}

/// All of a reply or nothing.
void LineReader::take_derived(const std::string& module, const contract::DeriveReply& reply) {
    std::vector<std::pair<std::string, Quantity>> quantities;
    for (const contract::DerivedLine& derived : reply.lines) {
        const contract::Line& line = out_.lines[line_index_.at(derived.line)].line;
        for (auto& each : derived_quantities(module, *modules_.find_kind(line.kind), derived))
            quantities.push_back(std::move(each));
    }
    for (const contract::DerivedLine& derived : reply.lines)
        out_.lines[line_index_.at(derived.line)].line.derived = derived.values;
    // What the line states itself wins.
    for (auto& [name, quantity] : quantities) values_.emplace(std::move(name), quantity);
    auto& findings = out_.findings[module];
    findings.insert(findings.end(), reply.findings.begin(), reply.findings.end());
    out_.workings.insert(out_.workings.end(), reply.workings.begin(), reply.workings.end());
}

/// The line with its material and the lines that it names, as far as they are known.
void LineReader::complete(std::size_t index) {
    contract::Line& line = out_.lines[index].line;
    if (const auto material = entries_[index].material)
        line.material = materials_[*material].material;
    std::vector<std::string> ids;
    for (const Field& field : modules_.find_kind(line.kind)->fields) {
        const auto found = line.fields.find(field.name);
        if (found != line.fields.end()) collect_lines(field, *found, index, ids);
    }
    line.references.clear();
    for (const std::string& id : ids) {
        contract::Line named = out_.lines[line_index_.at(id)].line;
        named.references.clear();
        line.references.push_back(std::move(named));
    }
}

// ---------------------------------------------------------------- the end

void LineReader::report_loops() {
    for (const std::vector<NodeId>& loop : graph_.loops()) {
        std::string told;
        for (const NodeId id : loop) told += graph_[id].name + " -> ";
        faults_.add("cycle", sources_[loop.front()].pointer,
                    "the value depends on itself: " + told + graph_[loop.front()].name,
                    "give one of them a value of its own");
    }
}

ReadLines LineReader::take() {
    for (std::size_t index = 0; index < out_.lines.size(); ++index) {
        const GraphNode& node = graph_[entries_[index].node];
        if (node.state == NodeState::not_priced)
            out_.lines[index].not_priced = node.reason;
        else if (node.state == NodeState::known)
            complete(index); // what it names carries derived values now
    }
    return std::move(out_);
}

} // namespace aumbry::resolving
