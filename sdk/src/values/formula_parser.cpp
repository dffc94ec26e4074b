#include "aumbry/fault.hpp"
#include "values/excerpt.hpp"
#include "values/formula_tree.hpp"
#include "values/reading.hpp"
#include "values/units.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace aumbry {

namespace {

using Node = FormulaNode;
using Kind = Node::Kind;

// Recursive descent: each function reads one level of precedence and returns the index of its node.
class FormulaParser {
  public:
    explicit FormulaParser(std::string_view text) { tree_.text = text; }

    FormulaTree parse() {
        constexpr std::size_t longest = 2000;
        if (text().size() > longest)
            fail("bad-formula", {}, "a formula is longer than 2000 bytes",
                 "name its parts as parameters");
        skip();
        if (at_end())
            fail("bad-formula", {}, "a formula is empty", "write a quantity or an expression");
        comparison();
        if (!at_end()) refuse_left_over();
        return std::move(tree_);
    }

  private:
    static constexpr int deepest = 64;

    [[nodiscard]] std::string_view text() const { return tree_.text; }
    [[nodiscard]] bool at_end() const { return at_ >= text().size(); }
    [[nodiscard]] char here() const { return at_end() ? '\0' : text()[at_]; }
    void skip() { at_ = skip_spaces(text(), at_); }

    // 1-based, in characters.
    [[nodiscard]] std::string column(std::size_t offset) const {
        std::size_t column = 1;
        for (std::size_t at = 0; at < offset; at += character_length(text(), at)) ++column;
        return std::to_string(column);
    }

    [[noreturn]] void refuse(std::size_t offset, const std::string& wrong,
                             const std::string& right) const {
        fail("bad-formula", {},
             "formula " + in_quotes(text(), 80) + ", column " + column(offset) + ": " + wrong,
             right);
    }

    // What stands at the current place, for a sentence.
    [[nodiscard]] std::string found() const {
        if (at_end()) return "the end";
        const std::size_t length =
            starts_name(here()) ? end_of_name(text(), at_) - at_ : character_length(text(), at_);
        return in_quotes(text().substr(at_, length));
    }

    [[noreturn]] void refuse_left_over() const {
        if (here() == ',')
            refuse(at_, "a comma only separates the arguments of a function",
                   "the decimal sign is a point");
        if (starts_name(here()) || here() == '(' || starts_amount(text(), at_))
            refuse(at_, "an operator was expected, but " + found() + " stands here",
                   "write * to multiply");
        refuse(at_, "an operator or the end was expected, but " + found() + " stands here",
               "operators are + - * / ^ and comparisons");
    }

    std::size_t add(Node node) {
        tree_.nodes.push_back(std::move(node));
        return tree_.nodes.size() - 1;
    }

    std::size_t join(Kind kind, std::size_t left, std::size_t right) {
        Node node;
        node.kind = kind;
        node.parts = {left, right};
        node.begin = tree_.nodes[left].begin;
        node.end = end_;
        return add(std::move(node));
    }

    std::size_t comparison() {
        if (++depth_ > deepest)
            refuse(at_, "it is nested deeper than " + std::to_string(deepest) + " levels",
                   "name its parts as parameters");
        std::size_t result = sum();
        if (const auto which = read_comparison()) {
            const std::size_t right = sum();
            result = join(Kind::compare, result, right);
            tree_.nodes[result].comparison = *which;
            const std::size_t place = at_;
            if (read_comparison())
                refuse(place, "comparisons cannot be chained", "compare two values at a time");
        }
        --depth_;
        return result;
    }

    std::optional<Comparison> read_comparison() {
        struct Sign {
            std::string_view text;
            Comparison comparison;
        };
        static constexpr Sign signs[] = {
            {"<=", Comparison::less_equal}, {">=", Comparison::greater_equal},
            {"==", Comparison::equal},      {"!=", Comparison::not_equal},
            {"<", Comparison::less},        {">", Comparison::greater},
        };
        for (const Sign& sign : signs)
            if (text().substr(at_, sign.text.size()) == sign.text) {
                take(sign.text.size());
                return sign.comparison;
            }
        if (here() == '=') refuse(at_, "a single = stands here", "write == to compare");
        return std::nullopt;
    }

    // Takes a sign and the spaces after it.
    void take(std::size_t length) {
        at_ += length;
        end_ = at_;
        skip();
    }

    std::size_t sum() {
        std::size_t left = product();
        while (here() == '+' || here() == '-') {
            const Kind kind = here() == '+' ? Kind::add : Kind::subtract;
            if (joins_feet_and_inches(text(), at_))
                refuse(at_, "a stroke between feet and inches could be a minus",
                       "write 5' 3\" for the length, 5' - 3\" for the difference");
            take(1);
            const std::size_t right = product();
            left = join(kind, left, right);
        }
        return left;
    }

    std::size_t product() {
        std::size_t left = negated();
        while (here() == '*' || here() == '/') {
            const bool divides = here() == '/';
            const bool plain_number_before = ends_in_plain_number(left);
            take(1);
            const std::size_t place = at_;
            const std::size_t right = negated();
            if (divides) check_divisor(place, right, plain_number_before);
            left = join(divides ? Kind::divide : Kind::multiply, left, right);
        }
        return left;
    }

    // True when the last thing read was a literal without unit: "3" in "a * 3".
    [[nodiscard]] bool ends_in_plain_number(std::size_t index) const {
        const Node* node = &tree_.nodes[index];
        while (!node->enclosed && (node->kind == Kind::multiply || node->kind == Kind::divide ||
                                   node->kind == Kind::negate))
            node = &tree_.nodes[node->parts.back()];
        return node->kind == Kind::literal && !node->has_unit && !node->enclosed;
    }

    void check_divisor(std::size_t place, std::size_t right, bool plain_number_before) const {
        const Node& divisor = tree_.nodes[right];
        if (divisor.kind != Kind::literal || !divisor.has_unit || divisor.enclosed) return;
        if (last_literal_is_fraction_)
            refuse(place, "dividing by a fraction of a unit is unclear",
                   "put it in parentheses: a / (3/4 in)");
        if (plain_number_before)
            refuse(place, "this can be read as a fraction or as a division",
                   "write 3/4 in for the fraction, 3 / (4 in) for the division");
    }

    std::size_t negated() {
        if (here() != '-') return raised();
        if (++depth_ > deepest)
            refuse(at_, "it is nested deeper than " + std::to_string(deepest) + " levels",
                   "name its parts as parameters");
        Node node;
        node.kind = Kind::negate;
        node.begin = at_;
        take(1);
        node.parts = {negated()};
        node.end = end_;
        --depth_;
        return add(std::move(node));
    }

    std::size_t raised() {
        const std::size_t base = primary();
        if (here() != '^') return base;
        const Node& read = tree_.nodes[base];
        if (read.kind == Kind::literal && read.has_unit && !read.enclosed)
            refuse(at_, "a power after a unit is unclear",
                   "write 3 mm2 for an area, (3 mm)^2 for the power");
        take(1);
        Node node;
        node.kind = Kind::power;
        node.parts = {base};
        node.begin = read.begin;
        node.exponent = exponent();
        node.end = end_;
        if (here() == '^') refuse(at_, "powers cannot be chained", "use parentheses");
        return add(std::move(node));
    }

    int exponent() {
        const std::size_t place = at_;
        const bool negative = here() == '-';
        if (negative) ++at_;
        int value = 0;
        std::size_t digits = 0;
        while (here() >= '0' && here() <= '9' && digits < 3) {
            value = value * 10 + (here() - '0');
            ++at_;
            ++digits;
        }
        constexpr int largest = 12;
        if (digits == 0 || value > largest || here() == '.')
            refuse(place, "a whole exponent from -12 to 12 was expected", "such as a^2");
        end_ = at_;
        skip();
        return negative ? -value : value;
    }

    std::size_t primary() {
        if (starts_amount(text(), at_)) return literal();
        if (starts_name(here())) return name_or_call();
        if (here() == '(') return parenthesis();
        refuse(at_, "a quantity, a name or '(' was expected, but " + found() + " stands here",
               "such as 18 mm or bed.length");
    }

    std::size_t literal() {
        const ReadQuantity read = read_quantity(text(), at_, false);
        Node node;
        node.quantity = read.quantity;
        node.bare_zero = !read.has_unit && read.quantity.value == 0;
        node.has_unit = read.has_unit;
        node.begin = at_;
        node.end = end_ = at_ = read.end;
        last_literal_is_fraction_ = read.is_fraction;
        skip();
        return add(std::move(node));
    }

    std::size_t parenthesis() {
        const std::size_t place = at_;
        take(1);
        const std::size_t inside = comparison();
        close(place);
        tree_.nodes[inside].begin = place;
        tree_.nodes[inside].end = end_;
        tree_.nodes[inside].enclosed = true;
        return inside;
    }

    void close(std::size_t opened) {
        if (here() != ')') {
            if (here() == ',')
                refuse(at_, "a comma only separates the arguments of a function",
                       "the decimal sign is a point");
            refuse(at_, "')' was expected, but " + found() + " stands here",
                   "close the parenthesis of column " + column(opened));
        }
        take(1);
    }

    std::size_t name_or_call() {
        const std::size_t begin = at_;
        const std::size_t end = end_of_name(text(), at_);
        const std::string name(text().substr(begin, end - begin));
        at_ = end;
        end_ = end;
        skip();
        if (here() == '(') return call(name, begin);
        Node node;
        node.kind = Kind::name;
        node.begin = node.token = begin;
        node.end = end;
        const auto known = std::find(tree_.names.begin(), tree_.names.end(), name);
        node.name = static_cast<std::size_t>(known - tree_.names.begin());
        if (known == tree_.names.end()) tree_.names.push_back(name);
        return add(std::move(node));
    }

    std::size_t call(const std::string& name, std::size_t begin) {
        const FunctionSpec* spec = nullptr;
        for (const FunctionSpec& candidate : functions)
            if (candidate.name == name) spec = &candidate;
        if (!spec) refuse_function(name, begin);
        const std::size_t opened = at_;
        take(1);
        Node node;
        node.kind = Kind::call;
        node.function = spec->function;
        node.begin = begin;
        if (here() != ')') {
            node.parts.push_back(comparison());
            while (here() == ',') {
                take(1);
                node.parts.push_back(comparison());
            }
        }
        close(opened);
        node.end = end_;
        if (node.parts.size() < spec->fewest || node.parts.size() > spec->most)
            refuse(begin,
                   in_quotes(name) + " has " + std::to_string(node.parts.size()) + " arguments",
                   "it takes " + std::to_string(spec->fewest) +
                       (spec->most == spec->fewest ? "" : " to " + std::to_string(spec->most)));
        return add(std::move(node));
    }

    [[noreturn]] void refuse_function(const std::string& name, std::size_t begin) const {
        std::vector<std::string> known;
        for (const FunctionSpec& candidate : functions) known.emplace_back(candidate.name);
        const std::string nearest = nearest_name(name.substr(0, 40), known);
        refuse(
            begin, "there is no function " + in_quotes(name),
            nearest.empty()
                ? "functions are min, max, abs, sqrt, round, floor, ceil, round_up, round_down, if"
                : "did you mean '" + nearest + "'?");
    }

    FormulaTree tree_;
    std::size_t at_ = 0;  ///< the next character that is not a space
    std::size_t end_ = 0; ///< after the last character taken, before spaces
    int depth_ = 0;
    bool last_literal_is_fraction_ = false;
};

} // namespace

FormulaTree parse_formula(std::string_view text) {
    return FormulaParser(text).parse();
}

} // namespace aumbry
