#include "aumbry/json.hpp"

#include "documents/places.hpp"
#include "values/characters.hpp"

#include <algorithm>
#include <unordered_set>
#include <vector>

namespace aumbry {
namespace {

bool is_word(char c) {
    return is_letter(c) || is_digit(c) || c == '_' || c == '.' || c == '+' || c == '-';
}

/// At most `end` bytes of a text, cut between characters.
std::string shortened(const std::string& text, std::size_t end) {
    if (text.size() <= end) return text;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
    return text.substr(0, end) + "...";
}

/// What stands where JSON stops making sense: where it begins, and how it reads.
struct Stumble {
    std::size_t offset = 0;
    std::string found;
};

/// The quote that opens the text that ends in the quote at `close`.
std::size_t opening_quote(std::string_view text, std::size_t close) {
    for (std::size_t at = close; at > 0;) {
        --at;
        if (text[at] != '"') continue;
        std::size_t slashes = 0;
        while (slashes < at && text[at - slashes - 1] == '\\') ++slashes;
        if (slashes % 2 == 0) return at;
    }
    return close;
}

/// From the last byte read to the whole word, text or sign that it belongs to.
Stumble stumble_at(std::string_view text, std::size_t last) {
    if (last >= text.size()) return {text.size(), "the end"};
    if (text[last] == '"') {
        const std::size_t begin = opening_quote(text, last);
        return {begin, std::string(text.substr(begin, last + 1 - begin))};
    }
    if (static_cast<unsigned char>(text[last]) < 0x20U) return {last, "a control character"};
    std::size_t begin = last;
    while (begin > 0 && is_word(text[begin - 1])) --begin;
    std::size_t end = begin;
    while (end < text.size() && is_word(text[end])) ++end;
    if (end == begin) ++end;
    while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
    return {begin, '\'' + std::string(text.substr(begin, end - begin)) + '\''};
}

/// Builds a document from parser events, refusing duplicate keys and deep nesting at the event that
/// shows them. Its sentences are its own: those of the parser speak of its grammar and change with
/// its versions.
class Builder : public nlohmann::json_sax<Json> {
  public:
    Builder(std::string_view text, const std::string& file) : text_(text), file_(file) {}

    Json take() { return std::move(root_); }

    bool null() override { return put(Json()); }
    bool boolean(bool value) override { return put(Json(value)); }
    bool number_integer(number_integer_t value) override { return put(Json(value)); }
    bool number_unsigned(number_unsigned_t value) override { return put(Json(value)); }
    bool number_float(number_float_t value, const string_t&) override { return put(Json(value)); }
    bool string(string_t& value) override { return put(Json(std::move(value))); }
    bool binary(binary_t&) override { return false; }
    bool start_object(std::size_t) override { return open(Json::object()); }
    bool start_array(std::size_t) override { return open(Json::array()); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }

    bool key(string_t& name) override {
        Level& level = levels_.back();
        level.key = name;
        level.key_read = true;
        if (is_known(level, name)) {
            refuse("duplicate-key", "the key '" + name + "' is written twice", "keep one of them",
                   2);
        }
        return true;
    }

    bool parse_error(std::size_t offset, const std::string& token,
                     const nlohmann::json::exception& error) override {
        constexpr int number_overflow = 406; // as the library documents it
        if (error.id == number_overflow)
            refuse("bad-json", "the number " + token + " is too large",
                   "write a number that a computer can hold");
        const std::size_t last = offset == 0 ? 0 : offset - 1;
        const auto byte = last >= text_.size() ? 0U : static_cast<unsigned char>(text_[last]);
        const std::string_view reason = error.what();
        if (reason.find("invalid string") != std::string_view::npos)
            stumbled_in_quotes(reason, last, byte);
        const Stumble stumble = stumble_at(text_, last);
        const char before = significant_before(stumble.offset);
        const Expected expected = expected_after(before);
        std::string right = expected.right;
        if (before == ',' && (byte == '}' || byte == ']'))
            right = "take away the comma before it";
        else if (byte == '\'')
            right = "write texts in double quotes";
        else if (byte == '/' || byte == '#')
            right = "JSON has no comments; write a note under a key that begins with x-";
        refuse_text(stumble.offset,
                    "found " + shortened(stumble.found, 60) + " where " + expected.what +
                        " is expected",
                    right);
    }

  private:
    struct Level {
        Json* value = nullptr;
        std::string key;
        bool key_read = false;                ///< the key of a member whose value is still to come
        std::unordered_set<std::string> keys; ///< of an object with many members
    };
    struct Expected {
        const char* what;
        const char* right;
    };

    /// Whether the object has the key already. Most objects are small, and looking through them is
    /// quicker than keeping a set.
    static bool is_known(Level& level, const std::string& name) {
        constexpr std::size_t small = 16;
        const auto& members = level.value->get_ref<const Json::object_t&>();
        if (members.size() < small) {
            return std::any_of(members.begin(), members.end(),
                               [&](const auto& member) { return member.first == name; });
        }
        if (level.keys.empty()) {
            for (const auto& member : members) level.keys.insert(member.first);
        }
        return !level.keys.insert(name).second;
    }

    Json* attach(Json value) {
        if (levels_.empty()) {
            root_ = std::move(value);
            root_read_ = true;
            return &root_;
        }
        Level& level = levels_.back();
        level.key_read = false;
        if (level.value->is_array())
            return &level.value->get_ref<Json::array_t&>().emplace_back(std::move(value));
        // Keys are known to be distinct: pushed at the end without the search that emplace() makes.
        auto& object = level.value->get_ref<Json::object_t&>();
        object.push_back({level.key, std::move(value)});
        return &object.back().second;
    }
    bool put(Json value) {
        attach(std::move(value));
        return true;
    }
    bool open(Json value) {
        if (levels_.size() >= static_cast<std::size_t>(deepest_nesting)) {
            refuse("deep-nesting",
                   "nested deeper than " + std::to_string(deepest_nesting) + " levels",
                   "no document of this kind needs that");
        }
        Json* attached = attach(std::move(value));
        levels_.push_back({attached, {}, false, {}});
        return true;
    }
    bool close() {
        levels_.pop_back();
        return true;
    }

    [[noreturn]] void stumbled_in_quotes(std::string_view reason, std::size_t last,
                                         unsigned byte) const {
        if (reason.find("UTF-8") != std::string_view::npos) {
            // A character cut short shows at the byte after it.
            refuse_text(byte >= 0x80U ? last : last - 1, "a byte inside quotes is not UTF-8",
                        "save the file as UTF-8");
        }
        if (last >= text_.size())
            refuse_text(last, "the text ends inside quotes", "close them with \"");
        if (byte < 0x20U) {
            refuse_text(
                last, "a line break or control character stands inside quotes",
                "close the quotes before it, or write \\n for a line break and \\t for a tab");
        }
        refuse_text(last, "there is no such escape inside quotes",
                    "write \\\\ for a backslash and \\\" for a quote");
    }
    [[nodiscard]] char significant_before(std::size_t offset) const {
        while (offset > 0 && is_space(text_[offset - 1])) --offset;
        return offset > 0 ? text_[offset - 1] : '\0';
    }
    [[nodiscard]] Expected expected_after(char before) const {
        if (levels_.empty()) {
            if (root_read_) return {"the end", "take away what follows the value"};
            return {"a value", "write a JSON document"};
        }
        const Level& level = levels_.back();
        if (level.value->is_array()) {
            if (before == '[')
                return {"a value or ']'",
                        "write texts and formulas in double quotes, and ] after the last value"};
            if (before == ',') return {"a value", "write texts and formulas in double quotes"};
            return {"',' or ']'", "write a comma between two values and ] after the last"};
        }
        if (level.key_read && before == ':')
            return {"a value", "write texts and formulas in double quotes"};
        if (level.key_read) return {"':'", "write a colon between a key and its value"};
        if (before == '{')
            return {"a key or '}'", "write keys in double quotes, and } after the last member"};
        if (before == ',') return {"a key", "write keys in double quotes"};
        return {"',' or '}'", "write a comma between two members and } after the last"};
    }

    /// The pointer of the value that is being read.
    [[nodiscard]] std::string pointer_here() const {
        std::string pointer;
        for (const Level& level : levels_) {
            // Of the levels above the last, an array holds the one below as its last item already.
            const std::size_t index = level.value->size() - (&level == &levels_.back() ? 0 : 1);
            pointer = level.value->is_array() ? pointer + '/' + std::to_string(index)
                                              : pointer_to(pointer, level.key);
        }
        return pointer;
    }
    /// Fails at the value being read; `occurrence` counts equal keys.
    [[noreturn]] void refuse(std::string code, std::string wrong, std::string right,
                             int occurrence = 1) const {
        std::string pointer = pointer_here();
        Place place{file_, "", 0, 0};
        if (const auto offset = find_offset(text_, pointer, occurrence)) {
            const Position position = position_at(text_, *offset);
            place.line = position.line;
            place.column = position.column;
        }
        place.pointer = shortened(pointer, 120);
        fail(std::move(code), std::move(place), std::move(wrong), std::move(right));
    }
    /// Fails at a byte of the text.
    [[noreturn]] void refuse_text(std::size_t offset, const std::string& wrong,
                                  std::string right) const {
        const Position position = position_at(text_, offset);
        fail("bad-json", {file_, "", position.line, position.column}, "this is not JSON: " + wrong,
             std::move(right));
    }

    std::string_view text_;
    const std::string& file_;
    Json root_;
    bool root_read_ = false;
    std::vector<Level> levels_;
};

} // namespace

Json parse_json(std::string_view text, const std::string& file) {
    Builder builder(text, file);
    // A failed parse has thrown from the builder.
    (void)Json::sax_parse(text.begin(), text.end(), &builder, nlohmann::json::input_format_t::json,
                          true);
    return builder.take();
}

std::string in_words(const Json& value) {
    switch (value.type()) {
    case Json::value_t::string:
        return "the text '" + shortened(value.get_ref<const std::string&>(), 60) + "'";
    case Json::value_t::array:
        return "a list";
    case Json::value_t::object:
        return "an object";
    case Json::value_t::boolean:
    case Json::value_t::null:
        return value.dump();
    default:
        return "the number " + value.dump();
    }
}

std::string pretty(const Json& value) {
    return value.dump(2) + '\n';
}

Json merge_patch(Json target, const Json& patch) {
    target.merge_patch(patch);
    return target;
}

} // namespace aumbry
