#include "formula_parser.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/formula.hpp"
#include "units.hpp"

#include <algorithm>

namespace aumbry {

using Node = Formula::Node;
using Kind = Node::Kind;

// Recursive descent; each function reads one level of precedence and returns the index of its node.
class FormulaParser {
  public:
    explicit FormulaParser(std::string_view text) { formula_.text_ = text; }

    Formula parse() {
        constexpr std::size_t longest = 2000;
        if (text().size() > longest)
            fail("bad-formula", {}, "a formula is longer than 2000 bytes",
                 "name its parts as parameters");
        skip();
        if (at_end())
            fail("bad-formula", {}, "a formula is empty", "write a quantity or an expression");
        comparison();
        if (!at_end()) refuse_left_over();
        return std::move(formula_);
    }

  private:
    static constexpr int deepest = 64;

    [[nodiscard]] std::string_view text() const { return formula_.text_; }
    [[nodiscard]] bool at_end() const { return at_ >= text().size(); }
    [[nodiscard]] char here() const { return at_end() ? '\0' : text()[at_]; }
    void skip() { at_ = skip_spaces(text(), at_); }

    [[noreturn]] void refuse(std::size_t offset, const std::string& wrong,
                             const std::string& right) const {
        std::size_t column = 1;
        for (const char c : text().substr(0, offset))
            if ((static_cast<unsigned char>(c) & 0xC0) != 0x80) ++column;
        const std::string shown(text().substr(0, 80));
        fail("bad-formula", {},
             "formula '" + shown + (text().size() > 80 ? "..." : "") + "', column " +
                 std::to_string(column) + ": " + wrong,
             right);
    }

    // What stands at the current place, for a sentence.
    [[nodiscard]] std::string found() const {
        if (at_end()) return "the end";
        if (starts_name(here()))
            return "'" + std::string(text().substr(at_, end_of_name(text(), at_) - at_)) + "'";
        std::size_t end = at_ + 1;
        while (end < text().size() && (static_cast<unsigned char>(text()[end]) & 0xC0) == 0x80)
            ++end;
        return "'" + std::string(text().substr(at_, end - at_)) + "'";
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
        formula_.nodes_.push_back(std::move(node));
        return formula_.nodes_.size() - 1;
    }

    std::size_t join(Kind kind, std::size_t left, std::size_t right, std::size_t which = 0) {
        Node node;
        node.kind = kind;
        node.which = which;
        node.parts = {left, right};
        node.begin = formula_.nodes_[left].begin;
        node.end = end_;
        return add(std::move(node));
    }

    std::size_t comparison() {
        if (++depth_ > deepest)
            refuse(at_, "it is nested deeper than " + std::to_string(deepest) + " levels",
                   "name its parts as parameters");
        const std::size_t left = sum();
        std::size_t result = left;
        if (const auto which = read_comparison()) {
            result = join(Kind::compare, left, sum(), static_cast<std::size_t>(*which));
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
            const std::size_t left_place = left;
            const bool plain_number_before = ends_in_plain_number(left_place);
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
        const Node* node = &formula_.nodes_[index];
        while (!node->enclosed && (node->kind == Kind::multiply || node->kind == Kind::divide ||
                                   node->kind == Kind::negate))
            node = &formula_.nodes_[node->parts.back()];
        return node->kind == Kind::literal && !node->has_unit && !node->enclosed;
    }

    void check_divisor(std::size_t place, std::size_t right, bool plain_number_before) const {
        const Node& divisor = formula_.nodes_[right];
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
        const Node& read = formula_.nodes_[base];
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
        // The node keeps its own extent; the parenthesis is shown by the whole around it.
        formula_.nodes_[inside].begin = place;
        formula_.nodes_[inside].end = end_;
        formula_.nodes_[inside].enclosed = true;
        return inside;
    }

    void close(std::size_t opened) {
        if (here() != ')') {
            if (here() == ',')
                refuse(at_, "a comma only separates the arguments of a function",
                       "the decimal sign is a point");
            refuse(at_, "')' was expected, but " + found() + " stands here",
                   "close the parenthesis of column " + std::to_string(opened + 1));
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
        const auto known = std::find(formula_.names_.begin(), formula_.names_.end(), name);
        node.which = static_cast<std::size_t>(known - formula_.names_.begin());
        if (known == formula_.names_.end()) formula_.names_.push_back(name);
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
        node.which = static_cast<std::size_t>(spec->function);
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
            refuse(begin, "'" + name + "' has " + std::to_string(node.parts.size()) + " arguments",
                   "it takes " + std::to_string(spec->fewest) +
                       (spec->most == spec->fewest ? "" : " to " + std::to_string(spec->most)));
        return add(std::move(node));
    }

    [[noreturn]] void refuse_function(const std::string& name, std::size_t begin) const {
        std::vector<std::string> known;
        for (const FunctionSpec& candidate : functions) known.emplace_back(candidate.name);
        const std::string nearest = nearest_name(name, known);
        refuse(
            begin, "there is no function '" + name + "'",
            nearest.empty()
                ? "functions are min, max, abs, sqrt, round, floor, ceil, round_up, round_down, if"
                : "did you mean '" + nearest + "'?");
    }

    Formula formula_;
    std::size_t at_ = 0;  ///< the next character that is not a space
    std::size_t end_ = 0; ///< after the last character taken, before spaces
    int depth_ = 0;
    bool last_literal_is_fraction_ = false;
};

Formula Formula::parse(std::string_view text) {
    return FormulaParser(text).parse();
}

} // namespace aumbry
