#include "session/document.hpp"

#include "aumbry/fault.hpp"
#include "aumbry/project.hpp"
#include "aumbry/save_file.hpp"

namespace aumbry::gui {

namespace {

/// How far back undo leads: this many steps, and no more text than this in all.
constexpr std::size_t max_steps = 500;
constexpr std::size_t max_text = 40'000'000;

/// The tokens of a pointer, unescaped.
std::vector<std::string> tokens_of(const std::string& pointer) {
    std::vector<std::string> tokens;
    for (std::size_t at = 0; at < pointer.size();) {
        const std::size_t end = std::min(pointer.find('/', at + 1), pointer.size());
        std::string token;
        for (std::size_t i = at + 1; i < end; ++i) {
            if (pointer[i] == '~' && i + 1 < end) {
                token += pointer[++i] == '1' ? '/' : '~';
            } else {
                token += pointer[i];
            }
        }
        tokens.push_back(std::move(token));
        at = end;
    }
    return tokens;
}

/// The object with a new member behind the one named `after`.
Json with_member(const Json& object, const std::string& key, const Json& value,
                 const std::string& after) {
    Json result = Json::object();
    for (const auto& [name, member] : object.items()) {
        result[name] = member;
        if (name == after) result[key] = value;
    }
    result[key] = value;
    return result;
}

void apply_change(Json& document, const Change& change) {
    const std::vector<std::string> tokens = tokens_of(change.pointer);
    Json* at = &document;
    for (std::size_t i = 0; i + 1 < tokens.size(); ++i) {
        if (!at->contains(tokens[i])) {
            if (!change.value) return;
            (*at)[tokens[i]] = Json::object();
        }
        at = &(*at)[tokens[i]];
        if (!at->is_object())
            fail("bad-pointer", {"", change.pointer, 0, 0}, "there is no such place to edit");
    }
    if (tokens.empty() || !at->is_object())
        fail("bad-pointer", {"", change.pointer, 0, 0}, "there is no such place to edit");
    const std::string& key = tokens.back();
    if (!change.value) {
        at->erase(key);
    } else if (!at->contains(key) && !change.after.empty()) {
        *at = with_member(*at, key, *change.value, change.after);
    } else {
        (*at)[key] = *change.value;
    }
}

} // namespace

Json edited(Json document, const Edit& edit) {
    for (const Change& change : edit.changes) apply_change(document, change);
    return document;
}

Json changed_further(const Json& base, Json changes, const Json& difference) {
    if (!difference.is_object() || !changes.is_object()) return difference;
    for (const auto& [key, value] : difference.items()) {
        const Json* below = base.is_object() && base.contains(key) ? &base.at(key) : nullptr;
        if (value.is_null()) {
            if (below != nullptr) {
                changes[key] = nullptr;
            } else {
                changes.erase(key);
            }
        } else if (value.is_object() && changes.contains(key) && changes[key].is_object()) {
            changes[key] = changed_further(below == nullptr ? Json() : *below, changes[key], value);
        } else {
            changes[key] = value;
        }
    }
    return changes;
}

std::string new_id(const Json& document, const std::string& section, const std::string& title) {
    std::string id;
    for (const char c : title) {
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
            id += c;
        } else if (c >= 'A' && c <= 'Z') {
            id += static_cast<char>(c - 'A' + 'a');
        } else if (!id.empty() && id.back() != '_') {
            id += '_';
        }
    }
    while (!id.empty() && id.back() == '_') id.pop_back();
    if (id.empty() || (id.front() >= '0' && id.front() <= '9')) id = "new_" + id;
    while (id.back() == '_') id.pop_back();
    // Formulas know parameters, materials and lines by one name each.
    const auto free = [&](const std::string& name) {
        for (const std::string& place :
             {section, std::string("parameters"), std::string("materials"), std::string("lines")}) {
            const Json* taken = find_at(document, "/" + place);
            if (taken != nullptr && taken->is_object() && taken->contains(name)) return false;
        }
        return true;
    };
    if (free(id)) return id;
    int number = 2;
    while (!free(id + '_' + std::to_string(number))) ++number;
    return id + '_' + std::to_string(number);
}

Document::Document() {
    Json json = Json::object();
    json["aumbry"] = project_version;
    json["title"] = "New project";
    json["currency"] = "EUR";
    saved_ = std::make_shared<const Json>(json);
    now_.json = saved_;
    text_ = pretty(json);
}

Document Document::begun(Json json) {
    Document document;
    document.now_.json = std::make_shared<const Json>(std::move(json));
    document.changed();
    return document;
}

Document Document::open(const std::filesystem::path& file) {
    Document document;
    std::string text = read_file(file);
    try {
        document.saved_ = std::make_shared<const Json>(read_project(text, file.string()).document);
    } catch (const FaultError& error) {
        if (error.faults().front().code != "newer-version") throw;
        document.read_only_ = error.faults().front().sentence() + ". It is shown, not edited";
        document.saved_ = std::make_shared<const Json>(parse_json(text, file.string()));
    }
    document.now_ = {"", document.saved_, text.size()};
    document.text_ = std::move(text);
    document.file_ = file;
    return document;
}

std::string Document::bytes() const {
    return unsaved_ ? pretty(*now_.json) : text_;
}

void Document::changed() {
    // The order of keys counts too, which comparing values would not see.
    unsaved_ = now_.json != saved_ && now_.json->dump() != saved_->dump();
    ++revision_;
}

void Document::apply(const Edit& edit) {
    if (read_only_.empty()) replace(edited(*now_.json, edit), edit.label);
}

void Document::replace(Json json, const std::string& label) {
    if (!read_only_.empty()) return;
    const std::string text = json.dump();
    if (text == now_.json->dump()) return;
    past_.push_back(std::move(now_));
    now_ = {label, std::make_shared<const Json>(std::move(json)), text.size()};
    future_.clear();
    std::size_t all = 0;
    for (const Step& step : past_) all += step.size;
    while (past_.size() > 1 && (past_.size() > max_steps || all > max_text)) {
        all -= past_.front().size;
        past_.erase(past_.begin());
    }
    changed();
}

std::string Document::undo_label() const {
    return past_.empty() ? "" : now_.label;
}

std::string Document::redo_label() const {
    return future_.empty() ? "" : future_.back().label;
}

void Document::undo() {
    if (past_.empty()) return;
    future_.push_back(std::move(now_));
    now_ = std::move(past_.back());
    past_.pop_back();
    changed();
}

void Document::redo() {
    if (future_.empty()) return;
    past_.push_back(std::move(now_));
    now_ = std::move(future_.back());
    future_.pop_back();
    changed();
}

void Document::save(bool overwrite) {
    if (file_.empty()) fail("no-file", {}, "the project has no file yet", "save it under a name");
    if (!read_only_.empty()) fail("read-only-file", {file_.string(), "", 0, 0}, read_only_);
    std::error_code error;
    if (!overwrite && std::filesystem::exists(file_, error) && read_file(file_) != text_) {
        fail("changed-meanwhile", {file_.string(), "", 0, 0},
             "somebody else changed the file since it was read",
             "save under another name, or overwrite it");
    }
    write(file_);
}

void Document::save_as(const std::filesystem::path& file) {
    if (!read_only_.empty()) fail("read-only-file", {file.string(), "", 0, 0}, read_only_);
    write(file);
    file_ = file;
}

void Document::write(const std::filesystem::path& file) {
    std::string text = bytes();
    save_file(file, text);
    text_ = std::move(text);
    saved_ = now_.json;
    unsaved_ = false;
}

} // namespace aumbry::gui
