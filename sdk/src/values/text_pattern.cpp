#include "aumbry/text_pattern.hpp"

#include "values/characters.hpp"

#include "aumbry/fault.hpp"

#include <algorithm>

namespace aumbry {
namespace {

constexpr std::size_t longest_text = 500;

char small(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

std::string_view without_spaces_around(std::string_view text) {
    while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_space(text.back())) text.remove_suffix(1);
    return text;
}

/// Other signs for the same thing: no-break blanks, the multiplication sign.
std::string plain(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size();) {
        const std::string_view rest = text.substr(i);
        if (rest.starts_with("\u00A0"))
            out += ' ', i += 2;
        else if (rest.starts_with("\u202F") || rest.starts_with("\u2009"))
            out += ' ', i += 3;
        else if (rest.starts_with("\u00D7"))
            out += 'x', i += 2;
        else
            out += text[i++];
    }
    return out;
}

[[noreturn]] void bad_pattern(std::string_view pattern, const std::string& wrong,
                              const std::string& right) {
    fail("bad-pattern", {}, "the pattern '" + std::string(pattern) + "' " + wrong, right);
}

} // namespace

TextPattern TextPattern::parse(std::string_view written) {
    const std::string pattern = plain(written);
    TextPattern made;
    std::vector<std::size_t> open; // optional nodes whose end is to come
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        const char c = pattern[i];
        const bool doubled = i + 1 < pattern.size() && pattern[i + 1] == c;
        Node node;
        if (is_space(c)) {
            if (!made.nodes_.empty() && made.nodes_.back().kind == Node::Kind::blanks) continue;
            node.kind = Node::Kind::blanks;
        } else if ((c == '{' || c == '}' || c == '[' || c == ']') && doubled) {
            node.letter = c;
            ++i;
        } else if (c == '{') {
            const auto close = pattern.find('}', i);
            if (close == std::string::npos)
                bad_pattern(written, "opens a brace that it does not close",
                            "write {name}, or {{ for a brace itself");
            const std::string name(
                without_spaces_around(std::string_view(pattern).substr(i + 1, close - i - 1)));
            const bool follows =
                !made.nodes_.empty() && (made.nodes_.back().kind == Node::Kind::value ||
                                         made.nodes_.back().kind == Node::Kind::anything);
            if (follows)
                bad_pattern(written, "has two values with nothing between them",
                            "write what stands between them");
            if (std::find(made.names_.begin(), made.names_.end(), name) != made.names_.end()) {
                bad_pattern(written, "names '" + name + "' twice",
                            "name it once, and write {} for text that is not kept");
            }
            node.kind = name.empty() ? Node::Kind::anything : Node::Kind::value;
            node.name = made.names_.size();
            if (!name.empty()) made.names_.push_back(name);
            i = close;
        } else if (c == '[') {
            node.kind = Node::Kind::optional;
            open.push_back(made.nodes_.size());
        } else if (c == ']') {
            if (open.empty())
                bad_pattern(written, "closes a bracket that it did not open",
                            "write [ before what may be absent, or ]] for a bracket itself");
            made.nodes_[open.back()].behind = made.nodes_.size();
            open.pop_back();
            continue;
        } else if (c == '}') {
            bad_pattern(written, "closes a brace that it did not open",
                        "write {name}, or }} for a brace itself");
        } else {
            node.letter = small(c);
        }
        made.nodes_.push_back(node);
    }
    if (!open.empty())
        bad_pattern(written, "opens a bracket that it does not close",
                    "write ] behind what may be absent, or [[ for a bracket itself");
    return made;
}

/// Tries readings from the left; what failed once from a node and a place fails again and is not
/// tried twice.
class TextPattern::Matcher {
  public:
    Matcher(const TextPattern& pattern, std::string_view text, std::vector<Reading> readings)
        : pattern_(pattern), text_(text), readings_(std::move(readings)),
          failed_((pattern.nodes_.size() + 1) * (text.size() + 1), false),
          values_(pattern.names_.size()) {}

    bool match(std::size_t node, std::size_t at) {
        const std::size_t state = node * (text_.size() + 1) + at;
        if (failed_[state]) return false;
        const bool fits = try_node(node, at);
        if (!fits) failed_[state] = true;
        return fits;
    }
    [[nodiscard]] const std::vector<std::string_view>& values() const { return values_; }

  private:
    bool try_node(std::size_t number, std::size_t at) {
        if (number == pattern_.nodes_.size()) return at == text_.size();
        const Node& node = pattern_.nodes_[number];
        switch (node.kind) {
        case Node::Kind::literal:
            return at < text_.size() && small(text_[at]) == node.letter &&
                   match(number + 1, at + 1);
        case Node::Kind::blanks: {
            std::size_t end = at;
            while (end < text_.size() && is_space(text_[end])) ++end;
            return end > at && match(number + 1, end);
        }
        case Node::Kind::optional:
            return match(number + 1, at) || match(node.behind, at);
        case Node::Kind::anything:
            for (std::size_t end = at; end <= text_.size(); ++end) {
                if (match(number + 1, end)) return true;
            }
            return false;
        case Node::Kind::value: {
            const Reading& reading = readings_[node.name];
            for (std::size_t step = 1; at + step <= text_.size(); ++step) {
                const std::size_t end = reading.greedy ? text_.size() + 1 - step : at + step;
                const std::string_view value = without_spaces_around(text_.substr(at, end - at));
                if (value.empty() || (reading.accepts && !reading.accepts(value)) ||
                    !match(number + 1, end))
                    continue;
                values_[node.name] = value; // all that is behind it fits too: this is the answer
                return true;
            }
            return false;
        }
        }
        return false;
    }

    const TextPattern& pattern_;
    std::string_view text_;
    std::vector<Reading> readings_;
    std::vector<bool> failed_;
    std::vector<std::string_view> values_;
};

std::optional<TextPattern::Values> TextPattern::match(std::string_view written,
                                                      const Readings& readings) const {
    if (written.size() > longest_text) return std::nullopt;
    const std::string text = plain(written);
    std::vector<Reading> by_name;
    for (const std::string& name : names_) by_name.push_back(readings ? readings(name) : Reading{});
    const std::string_view whole = without_spaces_around(text);
    Matcher matcher(*this, whole, std::move(by_name));
    if (!matcher.match(0, 0)) return std::nullopt;
    Values values;
    for (std::size_t i = 0; i < names_.size(); ++i) {
        if (!matcher.values()[i].empty()) values.emplace_back(names_[i], matcher.values()[i]);
    }
    return values;
}

} // namespace aumbry
