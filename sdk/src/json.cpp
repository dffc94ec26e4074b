#include "aumbry/json.hpp"

#include <cmath>
#include <unordered_set>
#include <vector>

namespace aumbry {
namespace {

/// Counts lines and characters up to a byte offset.
Position position_at(std::string_view text, std::size_t offset) {
    Position position{1, 1};
    for (std::size_t i = 0; i < offset && i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if (byte == '\n') {
            ++position.line;
            position.column = 1;
        } else if ((byte & 0xC0U) != 0x80U) {
            ++position.column;
        }
    }
    return position;
}

/// Walks a text by hand to the value that a pointer names. Tolerates any text: it stops where the text stops making sense.
class Walker {
  public:
    explicit Walker(std::string_view text) : text_(text) {}

    /// The offset of the value, or of its key in an object; `occurrence` counts equal keys of the last object.
    std::optional<std::size_t> find(std::string_view pointer, int occurrence) {
        skip_space();
        std::size_t at = offset_;
        while (!pointer.empty()) {
            if (pointer.front() != '/') return std::nullopt;
            const auto end = pointer.find('/', 1);
            const std::string token = unescape(pointer.substr(1, end == std::string_view::npos ? end : end - 1));
            pointer = end == std::string_view::npos ? std::string_view{} : pointer.substr(end);
            const auto child = step_into(token, pointer.empty() ? occurrence : 1);
            if (!child) return std::nullopt;
            at = *child;
        }
        return at;
    }

  private:
    static std::string unescape(std::string_view token) {
        std::string out;
        for (std::size_t i = 0; i < token.size(); ++i) {
            if (token[i] == '~' && i + 1 < token.size()) {
                ++i;
                out += token[i] == '1' ? '/' : '~';
            } else {
                out += token[i];
            }
        }
        return out;
    }
    void skip_space() {
        while (offset_ < text_.size() && (text_[offset_] == ' ' || text_[offset_] == '\n' || text_[offset_] == '\t' || text_[offset_] == '\r' ||
                                          static_cast<unsigned char>(text_[offset_]) >= 0x80U)) {
            ++offset_;
        }
    }
    [[nodiscard]] bool at_end() const { return offset_ >= text_.size(); }
    std::string_view read_string() {
        const std::size_t start = offset_++;
        while (!at_end() && text_[offset_] != '"') offset_ += text_[offset_] == '\\' ? 2U : 1U;
        if (!at_end()) ++offset_;
        return text_.substr(start, offset_ - start);
    }
    void skip_value() {
        int depth = 0;
        while (!at_end()) {
            const char c = text_[offset_];
            if (c == '"') {
                read_string();
                if (depth == 0) return;
                continue;
            }
            if (c == '{' || c == '[') ++depth;
            if (c == '}' || c == ']') {
                if (depth == 0) return;
                --depth;
                if (depth == 0) {
                    ++offset_;
                    return;
                }
            }
            if (c == ',' && depth == 0) return;
            ++offset_;
        }
    }
    /// From the start of an object or array to the start of its member's value; returns where the member begins.
    std::optional<std::size_t> step_into(const std::string& token, int occurrence) {
        skip_space();
        if (at_end()) return std::nullopt;
        const char open = text_[offset_];
        if (open != '{' && open != '[') return std::nullopt;
        ++offset_;
        for (std::size_t index = 0;; ++index) {
            skip_space();
            if (at_end() || text_[offset_] == '}' || text_[offset_] == ']') return std::nullopt;
            std::size_t at = offset_;
            bool found = open == '[' && token == std::to_string(index);
            if (open == '{') {
                if (text_[offset_] != '"') return std::nullopt;
                const std::string_view quoted = read_string();
                const Json key = Json::parse(quoted, nullptr, false);
                found = key.is_string() && key.get_ref<const std::string&>() == token;
                skip_space();
                if (at_end() || text_[offset_] != ':') return std::nullopt;
                ++offset_;
                skip_space();
            }
            if (found && --occurrence == 0) return at;
            skip_value();
            skip_space();
            if (at_end() || text_[offset_] != ',') return std::nullopt;
            ++offset_;
        }
    }

    std::string_view text_;
    std::size_t offset_ = 0;
};

std::optional<std::size_t> find_value(std::string_view text, std::string_view pointer, int occurrence = 1) {
    return Walker(text).find(pointer, occurrence);
}

/// Builds a document from parser events, refusing duplicate keys and deep nesting at the event that shows them.
class Builder : public nlohmann::json_sax<Json> {
  public:
    Builder(std::string_view text, const std::string& file) : text_(text), file_(file) {}

    Json take() { return std::move(root_); }

    bool null() override { return put(Json()); }
    bool boolean(bool value) override { return put(Json(value)); }
    bool number_integer(number_integer_t value) override { return put(Json(value)); }
    bool number_unsigned(number_unsigned_t value) override { return put(Json(value)); }
    bool number_float(number_float_t value, const string_t& text) override {
        if (!std::isfinite(value)) fail("bad-json", here_without_position(), "the number " + text + " is too large");
        return put(Json(value));
    }
    bool string(string_t& value) override { return put(Json(std::move(value))); }
    bool binary(binary_t&) override { return false; }
    bool start_object(std::size_t) override { return open(Json::object()); }
    bool start_array(std::size_t) override { return open(Json::array()); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }

    bool key(string_t& name) override {
        Level& level = levels_.back();
        if (!level.keys.insert(name).second) {
            std::string pointer = pointer_to(pointer_here(), name);
            Place place{file_, pointer, 0, 0};
            if (const auto offset = find_value(text_, pointer, 2)) {
                const Position position = position_at(text_, *offset);
                place.line = position.line;
                place.column = position.column;
            }
            fail("duplicate-key", place, "the key '" + name + "' is written twice", "keep one of them");
        }
        level.key = name;
        return true;
    }

    bool parse_error(std::size_t offset, const std::string&, const nlohmann::json::exception& error) override {
        const std::size_t at = offset == 0 ? 0 : offset - 1;
        const Position position = position_at(text_, at);
        std::string reason = error.what();
        // The library's sentence without its own prefix and position.
        if (const auto cut = reason.find(": syntax error "); cut != std::string::npos) reason = reason.substr(cut + 15);
        else if (const auto id = reason.find("] "); id != std::string::npos) reason = reason.substr(id + 2);
        fail("bad-json", {file_, "", position.line, position.column}, "this is not JSON: " + reason,
             "mend the text before this place");
    }

  private:
    struct Level {
        Json* value = nullptr;
        std::string key;
        std::unordered_set<std::string> keys;
    };

    Json* attach(Json value) {
        if (levels_.empty()) {
            root_ = std::move(value);
            return &root_;
        }
        Level& level = levels_.back();
        if (level.value->is_array()) return &level.value->get_ref<Json::array_t&>().emplace_back(std::move(value));
        auto& object = level.value->get_ref<Json::object_t&>();
        object.emplace_back(level.key, std::move(value));
        return &object.back().second;
    }
    bool put(Json value) {
        attach(std::move(value));
        return true;
    }
    bool open(Json value) {
        if (levels_.size() >= static_cast<std::size_t>(deepest_nesting)) {
            fail("deep-nesting", here_without_position(), "nested deeper than " + std::to_string(deepest_nesting) + " levels",
                 "no document of this kind needs that");
        }
        Json* attached = attach(std::move(value));
        levels_.push_back({attached, "", {}});
        return true;
    }
    bool close() {
        levels_.pop_back();
        return true;
    }

    [[nodiscard]] std::string pointer_here() const {
        std::string pointer;
        for (std::size_t i = 0; i + 1 < levels_.size(); ++i) {
            const Level& level = levels_[i];
            pointer = level.value->is_array() ? pointer + '/' + std::to_string(level.value->size() - 1)
                                              : pointer_to(pointer, level.key);
        }
        return pointer;
    }
    [[nodiscard]] Place here_without_position() const {
        std::string pointer = pointer_here();
        if (pointer.size() > 120) pointer = pointer.substr(0, 120) + "...";
        return {file_, pointer, 0, 0};
    }

    std::string_view text_;
    const std::string& file_;
    Json root_;
    std::vector<Level> levels_;
};

} // namespace

Json parse_json(std::string_view text, const std::string& file) {
    Builder builder(text, file);
    // A failed parse has thrown from the builder.
    (void)Json::sax_parse(text.begin(), text.end(), &builder, nlohmann::json::input_format_t::json, true);
    return builder.take();
}

std::optional<Position> locate(std::string_view text, std::string_view pointer) {
    const auto offset = find_value(text, pointer);
    if (!offset) return std::nullopt;
    return position_at(text, *offset);
}

std::string pointer_to(std::string_view base, std::string_view token) {
    std::string pointer(base);
    pointer += '/';
    for (const char c : token) {
        if (c == '~') pointer += "~0";
        else if (c == '/') pointer += "~1";
        else pointer += c;
    }
    return pointer;
}

const Json* find_at(const Json& document, std::string_view pointer) {
    const Json::json_pointer path{std::string(pointer)};
    return document.contains(path) ? &document.at(path) : nullptr;
}

std::string pretty(const Json& value) { return value.dump(2) + '\n'; }

Json merge_patch(Json target, const Json& patch) {
    target.merge_patch(patch);
    return target;
}

} // namespace aumbry
