#include "aumbry/formula.hpp"

#include "aumbry/fault.hpp"
#include "values/excerpt.hpp"
#include "values/formula_tree.hpp"
#include "values/reading.hpp"
#include "values/units.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

namespace aumbry {

namespace {

using Node = FormulaNode;
using Kind = Node::Kind;

// Evaluates in two passes: dimensions first, for the whole formula, then values.
class Evaluation {
  public:
    Evaluation(const FormulaTree& tree, const std::vector<Quantity>& values)
        : tree_(tree), nodes_(tree.nodes), values_(values), dimensions_(tree.nodes.size()) {}

    Quantity result() {
        // Parts stand before the whole, so one walk in order settles every dimension.
        for (std::size_t i = 0; i < nodes_.size(); ++i) dimensions_[i] = find_dimension(nodes_[i]);
        const double number = value(nodes_.size() - 1);
        return Quantity(number == 0 ? 0 : number, dimensions_.back());
    }

  private:
    // The part of the text that a node covers.
    [[nodiscard]] std::string shown(const Node& node) const {
        return in_quotes(std::string_view(tree_.text).substr(node.begin, node.end - node.begin),
                         80);
    }

    // The common dimension of parts that are added, compared or chosen from. A bare 0 fits any.
    // `wrong` words the clash of two kinds.
    template <typename Wrong>
    Dimension common(const Node& node, std::size_t first, Wrong wrong) const {
        std::optional<Dimension> leading;
        for (std::size_t i = first; i < node.parts.size(); ++i) {
            if (nodes_[node.parts[i]].bare_zero) continue;
            const Dimension d = dimensions_[node.parts[i]];
            if (!leading) leading = d;
            if (d != *leading)
                fail("dimension-clash", {},
                     "cannot " + wrong(dimension_name(*leading), dimension_name(d)) + " in " +
                         shown(node),
                     "both must be of one kind");
        }
        return leading.value_or(dimension::none);
    }

    // As above, with the sentence "cannot `verb` a `joint` b".
    Dimension common(const Node& node, std::size_t first, const char* verb,
                     const char* joint) const {
        return common(node, first, [&](const std::string& a, const std::string& b) {
            return std::string(verb) + " " + a + " " + joint + " " + b;
        });
    }

    void need_number(const Node& node, std::size_t part, const std::string& what) const {
        if (!dimensions_[node.parts[part]].is_none())
            fail("dimension-clash", {},
                 what + " a number, not a " + dimension_name(dimensions_[node.parts[part]]) +
                     ", in " + shown(node),
                 "give a step of the same kind, or divide by a unit first");
    }

    Dimension find_dimension(const Node& node) const {
        switch (node.kind) {
        case Kind::literal:
            return node.quantity.dimension;
        case Kind::name:
            return values_[node.name].dimension;
        case Kind::negate:
            return dimensions_[node.parts[0]];
        case Kind::add:
            return common(node, 0, "add", "and");
        case Kind::subtract:
            return common(node, 0, [](const std::string& a, const std::string& b) {
                return "subtract " + b + " from " + a;
            });
        case Kind::multiply:
            return dimensions_[node.parts[0]] * dimensions_[node.parts[1]];
        case Kind::divide:
            return dimensions_[node.parts[0]] / dimensions_[node.parts[1]];
        case Kind::power:
            return power(dimensions_[node.parts[0]], node.exponent);
        case Kind::compare:
            common(node, 0, "compare", "and");
            return dimension::none;
        case Kind::call:
            return find_call_dimension(node);
        }
        return dimension::none;
    }

    Dimension find_call_dimension(const Node& node) const {
        switch (node.function) {
        case Function::min:
        case Function::max:
            return common(node, 0, "choose between", "and");
        case Function::abs:
            return dimensions_[node.parts[0]];
        case Function::sqrt: {
            const Dimension d = dimensions_[node.parts[0]];
            if (d.length % 2 != 0 || d.mass % 2 != 0 || d.time % 2 != 0 || d.angle % 2 != 0)
                fail("dimension-clash", {},
                     "cannot take the square root of a " + dimension_name(d) + " in " + shown(node),
                     "take the root of a number or an area");
            return {static_cast<std::int8_t>(d.length / 2), static_cast<std::int8_t>(d.mass / 2),
                    static_cast<std::int8_t>(d.time / 2), static_cast<std::int8_t>(d.angle / 2)};
        }
        case Function::round:
        case Function::floor:
        case Function::ceil:
        case Function::round_up:
        case Function::round_down:
            if (node.parts.size() == 2) return common(node, 0, "round", "to steps of");
            need_number(node, 0, "rounding without a step needs");
            return dimension::none;
        case Function::choose:
            need_number(node, 0, "the condition must be");
            return common(node, 1, "choose between", "and");
        }
        return dimension::none;
    }

    // A value as it decides: free of the noise of binary arithmetic.
    static double settled(double value, Dimension d) {
        for (const UnitSpec& unit : contract_units())
            if (unit.dimension == d) {
                value = in_unit(Quantity(value, d), unit.name);
                break;
            }
        return round_to_significant(round_to(value, 9), 12);
    }

    double finite(const Node& node, double value) const {
        if (!std::isfinite(value))
            fail("not-finite", {}, "the value of " + shown(node) + " is too large to be a number",
                 "check the sizes it is made of");
        return value;
    }

    double value(std::size_t index) const {
        const Node& node = nodes_[index];
        return finite(node, unchecked_value(node));
    }

    double unchecked_value(const Node& node) const {
        const auto part = [&](std::size_t i) { return value(node.parts[i]); };
        switch (node.kind) {
        case Kind::literal:
            return node.quantity.value;
        case Kind::name:
            return values_[node.name].value;
        case Kind::negate:
            return -part(0);
        case Kind::add:
            return part(0) + part(1);
        case Kind::subtract:
            return part(0) - part(1);
        case Kind::multiply:
            return part(0) * part(1);
        case Kind::divide:
            return quotient(node, part(0), part(1));
        case Kind::power:
            return raised(node, part(0));
        case Kind::compare:
            return comparison(node, part(0), part(1));
        case Kind::call:
            return call(node);
        }
        return 0;
    }

    double quotient(const Node& node, double above, double below) const {
        if (below == 0)
            fail("division-by-zero", {}, "division by zero in " + shown(node), "check the divisor");
        return above / below;
    }

    double raised(const Node& node, double base) const {
        double product = 1;
        for (int i = 0; i < std::abs(node.exponent); ++i) product *= base;
        return node.exponent < 0 ? quotient(node, 1, product) : product;
    }

    double comparison(const Node& node, double left, double right) const {
        const Dimension d = common(node, 0, "compare", "and");
        left = settled(left, d);
        right = settled(right, d);
        switch (node.comparison) {
        case Comparison::less:
            return left < right;
        case Comparison::less_equal:
            return left <= right;
        case Comparison::greater:
            return left > right;
        case Comparison::greater_equal:
            return left >= right;
        case Comparison::equal:
            return left == right;
        case Comparison::not_equal:
            return left != right;
        }
        return 0;
    }

    double call(const Node& node) const {
        const auto part = [&](std::size_t i) { return value(node.parts[i]); };
        switch (node.function) {
        case Function::min:
        case Function::max: {
            double best = part(0);
            for (std::size_t i = 1; i < node.parts.size(); ++i)
                best = node.function == Function::min ? std::min(best, part(i))
                                                      : std::max(best, part(i));
            return best;
        }
        case Function::abs:
            return std::fabs(part(0));
        case Function::sqrt: {
            const double square = part(0);
            if (square < 0)
                fail("bad-argument", {}, "the square root of a negative value in " + shown(node),
                     "check what is under the root");
            return std::sqrt(square);
        }
        case Function::choose:
            return part(0) != 0 ? part(1) : part(2);
        case Function::round:
        case Function::floor:
        case Function::ceil:
        case Function::round_up:
        case Function::round_down:
            return stepped(node);
        }
        return 0;
    }

    double stepped(const Node& node) const {
        const double step = node.parts.size() == 2 ? value(node.parts[1]) : 1;
        if (step <= 0)
            fail("bad-argument", {}, "the step of a rounding is not above zero in " + shown(node),
                 "give a step such as 5 mm");
        const double steps = settled(finite(node, value(node.parts[0]) / step), dimension::none);
        switch (node.function) {
        case Function::floor:
        case Function::round_down:
            return std::floor(steps) * step;
        case Function::ceil:
        case Function::round_up:
            return std::ceil(steps) * step;
        default:
            return std::round(steps) * step;
        }
    }

    const FormulaTree& tree_;
    const std::vector<Node>& nodes_;
    const std::vector<Quantity>& values_;
    std::vector<Dimension> dimensions_;
};

// True when a value put between two texts would not be read as one operand there.
bool reads_differently(const std::string& before, const std::string& value,
                       const std::string& after) {
    if (value.front() == '-') return true;
    const std::size_t last = before.find_last_not_of(" \t");
    if (last != std::string::npos && before[last] == '/') return true;
    if (!before.empty() && joins_feet_and_inches(before + value, before.size() - 1)) return true;
    const std::size_t next = skip_spaces(after, 0);
    if (next == after.size()) return false;
    if (after[next] == '^') return true;
    const std::size_t divisor = skip_spaces(after, next + 1);
    return after[next] == '/' && starts_amount(after, divisor) &&
           read_quantity(after, divisor, false).has_unit;
}

} // namespace

Formula Formula::parse(std::string_view text) {
    return Formula(std::make_shared<const FormulaTree>(parse_formula(text)));
}

const std::string& Formula::text() const {
    return tree_->text;
}

std::vector<std::string> Formula::names() const {
    return tree_->names;
}

Quantity Formula::evaluate(const Lookup& lookup) const {
    std::vector<Quantity> values;
    values.reserve(tree_->names.size());
    for (const std::string& name : tree_->names) values.push_back(lookup(name));
    return Evaluation(*tree_, values).result();
}

std::string Formula::substituted(const Lookup& lookup, LengthUnit unit) const {
    const std::string& text = tree_->text;
    std::vector<std::string> values;
    std::vector<const Node*> places;
    for (const std::string& name : tree_->names)
        values.push_back(format_quantity(lookup(name), unit));
    for (const Node& node : tree_->nodes)
        if (node.kind == Kind::name) places.push_back(&node);
    std::sort(places.begin(), places.end(),
              [](const Node* a, const Node* b) { return a->token < b->token; });
    std::string result;
    std::size_t at = 0;
    for (const Node* place : places) {
        result += text.substr(at, place->token - at);
        at = place->token + tree_->names[place->name].size();
        const std::string& value = values[place->name];
        result += reads_differently(result, value, text.substr(at)) ? "(" + value + ")" : value;
    }
    return result + text.substr(at);
}

bool Formula::is_plain_quantity() const {
    const Node& whole = tree_->nodes.back();
    if (whole.enclosed) return false;
    const Node& inner = whole.kind == Kind::negate ? tree_->nodes[whole.parts[0]] : whole;
    return inner.kind == Kind::literal && !inner.enclosed;
}

} // namespace aumbry
