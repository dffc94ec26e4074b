#include "aumbry/formula.hpp"

#include "aumbry/fault.hpp"
#include "formula_parser.hpp"
#include "units.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace aumbry {

namespace {

using Node = Formula::Node;
using Kind = Node::Kind;

// Evaluates in two passes: dimensions first, for the whole formula, then values.
class Evaluation {
  public:
    Evaluation(const std::string& text, const std::vector<Node>& nodes,
               const std::vector<Quantity>& values)
        : text_(text), nodes_(nodes), values_(values), dimensions_(nodes.size()) {}

    Quantity result() {
        // Parts stand before the whole, so one walk in order settles every dimension.
        for (std::size_t i = 0; i < nodes_.size(); ++i) dimensions_[i] = find_dimension(nodes_[i]);
        const double number = value(nodes_.size() - 1);
        return Quantity(number == 0 ? 0 : number, dimensions_.back());
    }

  private:
    [[nodiscard]] std::string excerpt(const Node& node) const {
        const std::string part = text_.substr(node.begin, node.end - node.begin);
        return "'" + (part.size() > 80 ? part.substr(0, 77) + "..." : part) + "'";
    }

    // The common dimension of parts that are added, compared or chosen from. A bare 0 fits any.
    Dimension common(const Node& node, std::size_t first, const char* verb,
                     const char* joint) const {
        std::optional<std::size_t> leading;
        for (std::size_t i = first; i < node.parts.size(); ++i) {
            const std::size_t part = node.parts[i];
            if (nodes_[part].bare_zero) continue;
            if (!leading) {
                leading = part;
            } else if (dimensions_[part] != dimensions_[*leading]) {
                fail("dimension-clash", {},
                     std::string("cannot ") + verb + " " + dimension_name(dimensions_[*leading]) +
                         " " + joint + " " + dimension_name(dimensions_[part]) + " in " +
                         excerpt(node),
                     "both must be of one kind");
            }
        }
        return leading ? dimensions_[*leading] : dimension::none;
    }

    void need_number(const Node& node, std::size_t part, const std::string& what) const {
        if (!dimensions_[node.parts[part]].is_none())
            fail("dimension-clash", {},
                 what + " a number, not a " + dimension_name(dimensions_[node.parts[part]]) +
                     ", in " + excerpt(node),
                 "give a step of the same kind, or divide by a unit first");
    }

    Dimension find_dimension(const Node& node) const {
        switch (node.kind) {
        case Kind::literal:
            return node.quantity.dimension;
        case Kind::name:
            return values_[node.which].dimension;
        case Kind::negate:
            return dimensions_[node.parts[0]];
        case Kind::add:
            return common(node, 0, "add", "and");
        case Kind::subtract:
            return common(node, 0, "subtract from", "a");
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
        switch (static_cast<Function>(node.which)) {
        case Function::min:
        case Function::max:
            return common(node, 0, "choose between", "and");
        case Function::abs:
            return dimensions_[node.parts[0]];
        case Function::sqrt: {
            const Dimension d = dimensions_[node.parts[0]];
            if (d.length % 2 != 0 || d.mass % 2 != 0 || d.time % 2 != 0 || d.angle % 2 != 0)
                fail("dimension-clash", {},
                     "cannot take the square root of a " + dimension_name(d) + " in " +
                         excerpt(node),
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
            fail("not-finite", {}, "the value of " + excerpt(node) + " is too large to be a number",
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
            return values_[node.which].value;
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
            fail("division-by-zero", {}, "division by zero in " + excerpt(node),
                 "check the divisor");
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
        switch (static_cast<Comparison>(node.which)) {
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
        switch (static_cast<Function>(node.which)) {
        case Function::min:
        case Function::max: {
            double best = part(0);
            for (std::size_t i = 1; i < node.parts.size(); ++i)
                best = static_cast<Function>(node.which) == Function::min ? std::min(best, part(i))
                                                                          : std::max(best, part(i));
            return best;
        }
        case Function::abs:
            return std::fabs(part(0));
        case Function::sqrt: {
            const double square = part(0);
            if (square < 0)
                fail("bad-argument", {}, "the square root of a negative value in " + excerpt(node),
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
            fail("bad-argument", {}, "the step of a rounding is not above zero in " + excerpt(node),
                 "give a step such as 5 mm");
        const double steps = settled(finite(node, value(node.parts[0]) / step), dimension::none);
        switch (static_cast<Function>(node.which)) {
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

    const std::string& text_;
    const std::vector<Node>& nodes_;
    const std::vector<Quantity>& values_;
    std::vector<Dimension> dimensions_;
};

} // namespace

std::vector<std::string> Formula::names() const {
    return names_;
}

Quantity Formula::evaluate(const Lookup& lookup) const {
    std::vector<Quantity> values;
    values.reserve(names_.size());
    for (const std::string& name : names_) values.push_back(lookup(name));
    return Evaluation(text_, nodes_, values).result();
}

std::string Formula::substituted(const Lookup& lookup, LengthUnit unit) const {
    std::vector<std::string> values;
    std::vector<const Node*> places;
    for (const std::string& name : names_) values.push_back(format_quantity(lookup(name), unit));
    for (const Node& node : nodes_)
        if (node.kind == Kind::name) places.push_back(&node);
    std::sort(places.begin(), places.end(),
              [](const Node* a, const Node* b) { return a->token < b->token; });
    std::string result;
    std::size_t at = 0;
    for (const Node* place : places) {
        result += text_.substr(at, place->token - at);
        const std::string& value = values[place->which];
        const std::size_t end = place->token + names_[place->which].size();
        const std::size_t before = result.find_last_not_of(' ');
        const std::size_t after = skip_spaces(text_, end);
        const bool wrapped = value.front() == '-' ||
                             (before != std::string::npos && result[before] == '/') ||
                             (after < text_.size() && text_[after] == '^');
        result += wrapped ? "(" + value + ")" : value;
        at = end;
    }
    return result + text_.substr(at);
}

bool Formula::is_plain_quantity() const {
    const Node& whole = nodes_.back();
    if (whole.enclosed) return false;
    const Node& inner = whole.kind == Kind::negate ? nodes_[whole.parts[0]] : whole;
    return inner.kind == Kind::literal && !inner.enclosed;
}

} // namespace aumbry
