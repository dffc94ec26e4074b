#include "documents/places.hpp"

#include "documents/pointer.hpp"
#include "values/characters.hpp"

#include <algorithm>

namespace aumbry {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

std::size_t start_of(std::string_view text) {
    return text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
}

void count(Position& position, std::string_view text, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to && i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if (byte == '\n') {
            ++position.line;
            position.column = 1;
        } else if ((byte & 0xC0U) != 0x80U) {
            ++position.column;
        }
    }
}

/// A key as it is written, quotes included, as it reads.
std::optional<std::string> unquoted(std::string_view quoted) {
    if (quoted.size() >= 2 && quoted.find('\\') == std::string_view::npos)
        return std::string(quoted.substr(1, quoted.size() - 2));
    const Json key = Json::parse(quoted, nullptr, false);
    return key.is_string() ? std::optional(key.get<std::string>()) : std::nullopt;
}

/// Walks a text by hand to the value that a pointer names. Tolerates any text: it stops where the
/// text stops making sense.
class Walker {
  public:
    explicit Walker(std::string_view text) : text_(text), offset_(start_of(text)) {}

    /// The offset of the value, or of its key in an object; `occurrence` counts equal keys of the
    /// last object.
    std::optional<std::size_t> find(std::string_view pointer, int occurrence) {
        skip_space();
        if (at_end()) return std::nullopt;
        std::size_t at = offset_;
        while (!pointer.empty()) {
            const auto token = take_token(pointer);
            if (!token) return std::nullopt;
            const auto child = step_into(*token, pointer.empty() ? occurrence : 1);
            if (!child) return std::nullopt;
            at = *child;
        }
        return at;
    }

  private:
    void skip_space() {
        while (!at_end() && is_space(text_[offset_])) ++offset_;
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
    /// From the start of an object or array to the start of its member's value; returns where the
    /// member begins.
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
    std::size_t offset_;
};

} // namespace

Position position_at(std::string_view text, std::size_t offset) {
    Position position{1, 1};
    count(position, text, start_of(text), offset);
    return position;
}

std::optional<std::size_t> find_offset(std::string_view text, std::string_view pointer,
                                       int occurrence) {
    return Walker(text).find(pointer, occurrence);
}

std::optional<Position> locate(std::string_view text, std::string_view pointer) {
    const auto offset = find_offset(text, pointer);
    if (!offset) return std::nullopt;
    return position_at(text, *offset);
}

// ---------------------------------------------------------------- all places in one walk

PlaceIndex::PlaceIndex(std::string_view text)
    : text_(text), offset_(start_of(text)), counted_(offset_) {
    skip_space();
    if (offset_ >= text_.size()) return;
    note("", offset_);
    std::string pointer;
    walk(pointer, 0);
}

std::optional<Position> PlaceIndex::nearest(std::string pointer) const {
    for (;;) {
        if (const auto found = places_.find(pointer); found != places_.end()) return found->second;
        const auto parent = pointer.rfind('/');
        if (parent == std::string::npos) return std::nullopt;
        pointer.resize(parent);
    }
}

void PlaceIndex::note(const std::string& pointer, std::size_t offset) {
    count(position_, text_, counted_, offset);
    counted_ = offset;
    places_.emplace(pointer, position_);
}

void PlaceIndex::skip_space() {
    while (offset_ < text_.size() && is_space(text_[offset_])) ++offset_;
}

std::string_view PlaceIndex::read_string() {
    const std::size_t start = offset_++;
    while (offset_ < text_.size() && text_[offset_] != '"')
        offset_ += text_[offset_] == '\\' ? 2U : 1U;
    offset_ = std::min(offset_ + 1, text_.size());
    return text_.substr(start, offset_ - start);
}

/// Over the value that begins here.
void PlaceIndex::walk(std::string& pointer, int depth) {
    const char first = text_[offset_];
    if (first == '{' || first == '[') return walk_members(pointer, depth + 1);
    if (first == '"') {
        read_string();
        return;
    }
    const std::size_t start = offset_;
    while (offset_ < text_.size() && text_[offset_] != ',' && text_[offset_] != '}' &&
           text_[offset_] != ']')
        ++offset_;
    sound_ = offset_ > start;
}

void PlaceIndex::walk_members(std::string& pointer, int depth) {
    sound_ = depth <= deepest_nesting;
    const char close = text_[offset_] == '{' ? '}' : ']';
    const std::size_t above = pointer.size();
    const auto next = [&] {
        skip_space();
        return offset_ < text_.size() ? text_[offset_] : '\0';
    };
    ++offset_;
    if (next() == close) {
        ++offset_;
        return;
    }
    for (std::size_t index = 0; sound_; ++index) {
        const std::size_t at = offset_;
        std::optional<std::string> token = std::to_string(index);
        if (close == '}') {
            token = next() == '"' ? unquoted(read_string()) : std::nullopt;
            sound_ = token && next() == ':';
            ++offset_;
        }
        sound_ = sound_ && next() != '\0';
        if (!sound_) return;
        pointer = pointer_to(pointer, *token);
        note(pointer, at);
        walk(pointer, depth);
        pointer.resize(above);
        const char after = next();
        sound_ = sound_ && (after == ',' || after == close);
        ++offset_;
        if (after == close) return;
        (void)next();
    }
}

} // namespace aumbry
